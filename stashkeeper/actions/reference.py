"""A fabric beside the reference card, a chart, or plain paper: looked at first, then kept."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

from stashkeeper.actions.beside import (
    Beside,
    Points,
    beside_chart,
    beside_paper,
    doubts_told,
    measured_part,
)
from stashkeeper.actions.card import known_levels
from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.measuring import (
    Reference,
    put_on_record,
    put_reading_on_record,
    refuse_known,
)
from stashkeeper.actions.piece_view import bands_of, titled
from stashkeeper.actions.pieces import Done, show
from stashkeeper.actions.reading_view import reading_view, shown_lightness
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.photos import region_of
from stashkeeper.catalogue.pieces import change_piece, piece_by_code
from stashkeeper.catalogue.readings import all_readings_of, readings_of
from stashkeeper.catalogue.tables import Fabric, Region
from stashkeeper.cloth.reading import Reading, difference_uncertainty
from stashkeeper.errors import BadReferenceError, BadRequestError
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.format import RULER_MARK, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.card_finder import FoundCard, find_card
from stashkeeper.luminance.card_layout import usual_lightness
from stashkeeper.luminance.card_reading import CardReading, read_card
from stashkeeper.luminance.cloth_finder import find_cloth, size_of
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.patches import stored_points, upright_fractions
from stashkeeper.luminance.referenced import card_reading
from stashkeeper.luminance.region import Crop, crop_inside, parse_corners, parse_crop


@dataclass(frozen=True, slots=True)
class _Seen:
    """The card in a photo, and what it says."""

    card: CardReading
    known: bool
    corners: Points
    remarks: tuple[str, ...]

    @property
    def inputs(self) -> dict[str, Any]:
        found = self.card.found
        return {
            "card": found.card_id,
            "known": self.known,
            "corners": [list(corner) for corner in self.corners],
            "pixels_per_inch": found.per_inch,
            "slope": list(self.card.slope),
        }


def look_beside(
    stash: Stash,
    file: Path,
    *,
    crop: str | None = None,
    cloth: str | None = None,
    chart: str | None = None,
    paper: str | None = None,
    lightness: str | None = None,
) -> Beside:
    """Return what a photo says of cloth beside the reference card, a chart, or plain paper.

    Args:
        stash: the open stash.
        file: the photo.
        crop: the part that is cloth; where None, the piece beside the card is looked for.
        cloth: the four corners of the piece, "x,y x,y x,y x,y", in fractions of the upright photo.
        chart: the outer corners of the patches of a chart likewise; where None, the card is
            looked for.
        paper: the part that is white paper or a grey card, as a crop, where that is all there is.
        lightness: its L* as typed; that of white paper where None.

    Raises:
        StashkeeperError: the photo is bad, there is no card or chart in it, a crop or corners are
            needed or cannot be read, or two known things are given at once.
    """
    if (chart is not None and paper is not None) or (lightness is not None and paper is None):
        raise BadRequestError(
            "It is not clear what of known lightness lies beside the cloth.",
            "Give --chart, or --paper (with --paper-lightness where it is not white), or neither "
            "for the reference card.",
        )

    def look() -> Beside:
        photo = open_photo(file)
        if chart is not None:
            return beside_chart(photo, file, crop, chart)
        if paper is not None:
            return beside_paper(photo, file, crop, paper, lightness)
        return _beside_card(stash, photo, file, crop, cloth)

    return in_turn(look)


def keep_beside(stash: Stash, code: str, seen: Beside, *, keep_size: bool = False) -> Done:
    """Put on record what a photo says of a piece's fabric, and its size if that was agreed to.

    Raises:
        StashkeeperError: the code is unknown, this part of the photo is on record already, there
            is no size to keep, or the stash cannot be written; then nothing was changed.
    """
    if keep_size and seen.size is None:
        raise BadRequestError(
            "The photo gives no size to keep.",
            "Lay the reference card beside it and give its corners with --cloth, or type the size: "
            f"change {code} --size 18x21.",
            on_page="Mark the four corners of the cloth, then look again.",
        )
    with stash.deed("reference") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        refuse_known(deed, [seen.measured], but=fabric)
        region = _region_read_otherwise(deed, fabric, seen)
        if region is None:
            put_on_record(stash, deed, [seen.measured], fabric, piece)
        else:
            put_reading_on_record(deed, seen.measured, region, fabric)
        if keep_size and seen.size is not None:
            change_piece(deed, piece, size=seen.size, basis=Basis.ABOUT)
        beside = seen.reading.method.value
        sentence = f"Measured {titled(piece.code, fabric.name)} beside the {beside}."
        deed.summary = sentence
        fabric_id = fabric.id
    with stash.reading() as session:
        other = _beside_what_counts(seen.reading, readings_of(session, [fabric_id])[fabric_id])
    shown = show(stash, code)
    counts = f"Lightness {shown.reading.sentence}." if shown.reading else ""
    size = f"Its size is about {offered_size(stash, seen)} now." if keep_size else ""
    return Done(shown, (sentence, *other, counts, size, *seen.remarks))


def _beside_what_counts(said: Reading, counts: Reading) -> tuple[str, ...]:
    """Return what a photo says, where another reading counts, and whether the two agree."""
    if _same(said, counts):
        return ()
    here = (
        f"This photo says {shown_lightness(said.lightness, said.provisional)} "
        f"±{said.uncertainty:.0f}; another reading is surer, so that one counts."
    )
    apart = abs(said.lightness - counts.lightness)
    if apart <= difference_uncertainty(said, counts):
        return (here,)
    far = f"The two are {apart:.0f} apart, more than they should be: is this the right cloth?"
    return here, far


def _region_read_otherwise(deed: Deed, fabric: Fabric, seen: Beside) -> Region | None:
    """Return the region on record that is this one, where the photo says something new of it.

    So it does once its card's greys are known, or another thing beside the cloth was marked.
    """
    past = all_readings_of(deed.session, fabric)
    if any(_same(one.reading, seen.reading) for one in past):
        return None
    return region_of(deed.session, fabric, seen.measured.checksum, seen.measured.corners)


def _same(one: Reading, other: Reading) -> bool:
    return one.method is other.method and all(
        math.isclose(ours, its, abs_tol=0.01)
        for ours, its in (
            (one.lightness, other.lightness),
            (one.uncertainty, other.uncertainty),
        )
    )


def offered_size(stash: Stash, seen: Beside) -> str:
    """Return the size of the piece that a photo shows, as it is typed; empty where it shows none.

    It is offered, and never kept without a yes.
    """
    return format_size(seen.size, stash.measure) if seen.size else ""


def seen_words(stash: Stash, seen: Beside) -> tuple[str, ...]:
    """Return what a photo says of the cloth, before anything is kept."""
    with stash.reading() as session:
        view = reading_view(seen.reading, bands_of(session))
    size = offered_size(stash, seen)
    return (
        f"Lightness {view.sentence}." if view else "",
        f"It seems to be about {size}." if size else "",
        *seen.remarks,
    )


def _beside_card(
    stash: Stash, photo: Photo, file: Path, crop: str | None, cloth: str | None
) -> Beside:
    seen = _see_card(stash, photo)
    corners, missing = _cloth_corners(photo, seen.card.found, cloth, asked=crop is None)
    part = _part(crop, corners)
    measured = measured_part(photo, file, part)
    middle = [(part.left + part.right) / 2, (part.top + part.bottom) / 2]
    at = seen.card.calibration_at(stored_points(photo, [middle])[0].tolist())
    reading = card_reading(measured.measurement, seen.card, at, measured.keys, known=seen.known)
    return Beside(
        replace(measured, reference=Reference(reading, seen.inputs, at.to_record())),
        _size(photo, seen.card.found, corners, stash.measure),
        seen.corners,
        corners,
        (*seen.remarks, *missing, *doubts_told(reading)),
    )


def _see_card(stash: Stash, photo: Photo) -> _Seen:
    """Return the card in a photo, read by its own greys where they are known."""
    found = find_card(photo)
    with stash.reading() as session:
        levels = known_levels(session, found.card_id)
    card = read_card(photo, found, levels or usual_lightness())
    remarks = []
    if levels is None:
        remarks.append(
            f"The greys of card {found.card_id} were never measured: fabrics read with it compare "
            "well with each other, less well with the rest of the shelf."
        )
    if card.burnt:
        remarks.append("The paper of the card is burnt out: take it again with less light.")
    return _Seen(card, levels is not None, _upright(photo, found.corners), tuple(remarks))


def _cloth_corners(
    photo: Photo, found: FoundCard, typed: str | None, *, asked: bool
) -> tuple[Points, tuple[str, ...]]:
    """Return the corners of the piece, given or found, and what to tell where there are none.

    Raises:
        BadReferenceError: they are needed, for nothing else says where the cloth is.
    """
    if typed is not None:
        return parse_corners(typed), ()
    try:
        return _upright(photo, find_cloth(photo, found)), ()
    except BadReferenceError as unclear:
        if asked:
            raise BadReferenceError(
                unclear.problem,
                "Say with --crop where the cloth is, or with --cloth its corners.",
                on_page="Mark its four corners in the photo, or the part of it that is cloth, "
                "then look again.",
            ) from unclear
        return (), (f"{unclear.problem} Its size was not looked at.",)


def _part(crop: str | None, corners: Points) -> Crop:
    return parse_crop(crop) if crop is not None else crop_inside(corners)


def _size(photo: Photo, found: FoundCard, corners: Points, measure_in: Measure) -> Size | None:
    """Return the size of the piece at a ruler mark, on the safe side."""
    if not corners:
        return None
    width, length = (
        Length.from_millimetres(Fraction(side)).rounded_to(RULER_MARK[measure_in], Rounding.DOWN)
        for side in size_of(found, stored_points(photo, corners))
    )
    return Size(width, length) if width and length else None


def _upright(photo: Photo, points: Sequence[Sequence[float]] | np.ndarray) -> Points:
    return tuple((float(x), float(y)) for x, y in upright_fractions(photo, points))
