"""Swatches and photos as pages show them: drawn once, kept as previews, drawn anew when gone."""

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.photo_files import kept_photo, preview_path, write_preview
from stashkeeper.catalogue.photos import photo_by_checksum
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.errors import NotFoundError, quoted
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop
from stashkeeper.pictures.web_pictures import Tone, draw_web_photo, draw_web_swatches

SHELF_WIDTHS: Final = (160, 240)
"""Widths of swatches on the shelf page, in pixels; drawn together, at the first look."""

SWATCH_WIDTHS: Final = (*SHELF_WIDTHS, 640)
PHOTO_WIDTHS: Final = (640, 1280)
"""The widths there are; no others, so that nobody can fill the disk by asking."""

METHOD: Final = 1
"""Raised when swatches come out another way, so that old previews are left behind."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture for a page.

    Attributes:
        content: a WebP file.
        lasting: whether its address shows this very picture for ever.
    """

    content: bytes
    lasting: bool


def look_of(row: PieceRow) -> str:
    """Return a mark of what a piece's swatch shows: it changes with photo, region and reading."""
    lightness = "" if row.lightness is None else f"{row.lightness:.2f}"
    shown = f"{METHOD} {row.checksum} {row.corners} {lightness}"
    return hashlib.sha256(shown.encode()).hexdigest()[:12]


def crop_of_row(row: PieceRow) -> Crop:
    """Return the upright rectangle around the corners of a piece's region."""
    if row.corners is None:
        return WHOLE_LESS_MARGIN
    across, down = [x for x, _ in row.corners], [y for _, y in row.corners]
    return Crop(min(across), min(down), max(across), max(down))


def swatch(stash: Stash, code: str, look: str, tone: Tone, width: int) -> Picture:
    """Return the swatch of a piece's fabric as it is now.

    Args:
        stash: the open stash.
        code: of the piece.
        look: what the asker believes it shows, as `look_of`.
        tone: in colour or in grey.
        width: one of `SWATCH_WIDTHS`.

    Raises:
        NotFoundError: no such piece or width, no photo, or its file is gone.
        BadPhotoError: the kept photo cannot be opened any more.
    """
    row = _row(stash, code)
    if row is None or row.checksum is None or width not in SWATCH_WIDTHS:
        raise NotFoundError(
            f"There is no swatch of {quoted(code)} here.",
            "Add a photo of it, or look at the shelf.",
        )
    current = look_of(row)
    path = preview_path(stash.home, row.checksum, f"{current}-{tone}-{width}.webp")
    content = _kept(path) or in_turn(lambda: _kept(path) or _draw(stash, row, tone, width))
    return Picture(content, lasting=look == current)


def whole_photo(stash: Stash, checksum: str, width: int) -> Picture:
    """Return a photo on record, whole and upright.

    Args:
        stash: the open stash.
        checksum: of the photo.
        width: one of `PHOTO_WIDTHS`.

    Raises:
        NotFoundError: no such photo or width, or its file is gone.
        BadPhotoError: the kept photo cannot be opened any more.
    """
    with stash.reading() as session:
        photo = photo_by_checksum(session, checksum)
        known = None if photo is None else (photo.checksum, photo.format)
    if known is None or width not in PHOTO_WIDTHS:
        raise NotFoundError("There is no such photo here.", "Look at the shelf.")
    path = preview_path(stash.home, known[0], f"{METHOD}-whole-{width}.webp")
    content = _kept(path)
    if content is None:
        file = kept_photo(stash.home, *known)
        content = in_turn(lambda: draw_web_photo(file, width))
        write_preview(path, content)
    return Picture(content, lasting=True)


def _kept(path: Path) -> bytes | None:
    """Return a preview drawn before; None where there is none, or no longer."""
    try:
        return path.read_bytes()
    except OSError:
        return None


def _row(stash: Stash, code: str) -> PieceRow | None:
    search = Search((Term("code", (code,)), Term("ended", ("any",))))
    with stash.reading() as session:
        return next(iter(select_pieces(session, search, Thresholds())), None)


def _draw(stash: Stash, row: PieceRow, tone: Tone, width: int) -> bytes:
    """Draw a swatch with those that will be wanted along with it, and keep them all."""
    assert row.checksum is not None and row.photo_format is not None
    photo = kept_photo(stash.home, row.checksum, row.photo_format)
    widths = SHELF_WIDTHS if width in SHELF_WIDTHS else (width,)
    drawn = draw_web_swatches(photo, crop_of_row(row), row.lightness, widths)
    look = look_of(row)
    for (kind, wide), content in drawn.items():
        write_preview(preview_path(stash.home, row.checksum, f"{look}-{kind}-{wide}.webp"), content)
    return drawn[tone, width]
