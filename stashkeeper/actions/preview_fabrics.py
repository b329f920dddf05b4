"""Fabrics as a preview shows them: a look at the cloth, and how large it is really."""

import io
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from PIL import Image

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import crop_of_row, look_of
from stashkeeper.catalogue.photo_files import kept_photo, preview_path, write_preview
from stashkeeper.catalogue.print_scales import Scale
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.cloth.reading import Doubt, Reading
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.format import format_length
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.pictures.greys import grey
from stashkeeper.pictures.preview import draw_preview
from stashkeeper.pictures.preview_scene import PreviewFabric
from stashkeeper.pictures.value_rule import Mark

LOOK_WIDTH: Final = 1000
"""How wide the looks at cloth are that previews are painted from, in pixels."""

LARGEST_WHOLE: Final = Length.from_inches(24)
"""A piece with a longer side is not photographed as a whole, but for a part of it (ours)."""

USUALLY_SHOWN: Final = {
    Measure.INCHES: Length.from_inches(10),
    Measure.CENTIMETRES: Length.from_millimetres(250),
}
"""How wide a photo is taken to show its cloth where nothing tells (ours)."""

SEVERAL_SHOWN: Final = {
    Measure.INCHES: Length.from_inches(30),
    Measure.CENTIMETRES: Length.from_millimetres(750),
}
"""The same where the cloth is but a part of the photo, as in a line-up (ours)."""

PART: Final = 0.4
"""A region that is less than this share of its photo is but a part of it (ours)."""

WHOLE: Final = "the whole piece"


@dataclass(frozen=True, slots=True)
class Width:
    """How wide the region of a photo is in inches, and what that was taken from.

    Attributes:
        inches: the width of the region.
        assumed: what the photo is taken to show, in words; empty where the card tells.
    """

    inches: float
    assumed: str


def fabrics_of(
    stash: Stash,
    rows: Iterable[PieceRow],
    readings: Mapping[uuid.UUID, Reading],
    scales: Mapping[uuid.UUID, Scale],
) -> dict[str, PreviewFabric]:
    """Return pieces as a preview shows them, by their codes."""
    return {
        row.code: _fabric(stash, row, readings.get(row.fabric_id), scales.get(row.fabric_id))
        for row in rows
    }


def region_width(row: PieceRow, scale: Scale, measure: Measure) -> Width:
    """Return how wide the cloth is that the region of a piece's photo shows.

    The card in the photo tells; without one the photo is taken to show the whole piece, longer
    side along longer side, or a usual width where the piece is too large for that, or where the
    photo shows several fabrics.
    """
    crop = crop_of_row(row)
    across = crop.right - crop.left
    if scale.pixels_per_inch is not None:
        return Width(across * scale.width / scale.pixels_per_inch, "")
    if across * (crop.bottom - crop.top) < PART:
        usual = SEVERAL_SHOWN[measure]
        return Width(across * float(usual.inches), f"{format_length(usual, measure)} side by side")
    if row.size is not None and max(row.size.width, row.size.length) <= LARGEST_WHOLE:
        sides = sorted((float(row.size.width.inches), float(row.size.length.inches)))
        whole = sides[1] if scale.width >= scale.height else sides[0]
        return Width(across * whole, WHOLE)
    usual = USUALLY_SHOWN[measure]
    return Width(across * float(usual.inches), f"{format_length(usual, measure)} of it")


def scale_sentences(fabrics: Iterable[PreviewFabric]) -> tuple[str, ...]:
    """Return how sure the scale of the prints is: beside the card, or assumed and how."""
    shown = [one for one in fabrics if one.look is not None]
    if not shown:
        return ()
    known = sorted({one.code for one in shown if not one.assumed})
    told = [f"Prints at true scale: {', '.join(known)}, by the card in the photo."] if known else []
    for why in dict.fromkeys(one.assumed for one in shown if one.assumed):
        codes = ", ".join(sorted({one.code for one in shown if one.assumed == why}))
        photo = "its photo shows" if "," not in codes else "their photos show"
        told.append(f"Scale of print assumed for {codes}: as if {photo} {why}.")
    return tuple(told)


def _fabric(
    stash: Stash, row: PieceRow, reading: Reading | None, scale: Scale | None
) -> PreviewFabric:
    look = None if scale is None else _look(stash, row)
    width = Width(0.0, "") if scale is None else region_width(row, scale, stash.measure)
    known = reading is not None
    return PreviewFabric(
        code=row.code,
        name=row.name,
        lightness=reading.lightness if reading is not None else None,
        uncertainty=reading.uncertainty if reading is not None else None,
        mark=_mark(reading) if reading is not None else Mark.SURE,
        look=look,
        inches=width.inches,
        assumed=width.assumed if look is not None else "",
        colour=grey(row.lightness if known and row.lightness is not None else 50.0),
    )


def _mark(reading: Reading) -> Mark:
    if set(reading.doubts) - {Doubt.NO_REFERENCE}:
        return Mark.DOUBTFUL
    return Mark.PROVISIONAL if reading.provisional else Mark.SURE


def _look(stash: Stash, row: PieceRow) -> Image.Image | None:
    """Return the region of a piece's photo, reduced; None where the photo is gone or damaged."""
    if row.checksum is None or row.photo_format is None:
        return None
    path = preview_path(stash.home, row.checksum, f"{look_of(row)}-cloth-{LOOK_WIDTH}.jpg")
    try:
        try:
            content = path.read_bytes()
        except OSError:
            photo = kept_photo(stash.home, row.checksum, row.photo_format)
            content = in_turn(lambda: draw_preview(photo, crop_of_row(row), LOOK_WIDTH))
            write_preview(path, content)
        with Image.open(io.BytesIO(content)) as opened:
            return opened.convert("RGB")
    except (StashkeeperError, OSError):
        return None
