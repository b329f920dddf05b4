"""Changing which part of a photo is measured."""

import uuid
from collections.abc import Sequence

from sqlmodel import Session

from stashkeeper.actions.measuring import measure_in_turn, put_reading_on_record
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.pieces import Done, show
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import corners_text
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.names import fold
from stashkeeper.catalogue.photo_files import kept_photo
from stashkeeper.catalogue.photos import (
    RegionRow,
    add_region,
    corners_of_crop,
    photo_by_checksum,
    regions_of,
    void_region,
)
from stashkeeper.catalogue.pieces import piece_by_code
from stashkeeper.catalogue.tables import Piece
from stashkeeper.errors import BadRequestError, ChangedMeanwhileError, NotFoundError, quoted
from stashkeeper.luminance.region import Crop, parse_crop


def region(
    stash: Stash,
    code: str,
    crop: str,
    *,
    photo: str | None = None,
    region_id: uuid.UUID | None = None,
) -> Done:
    """Measure another part of a photo of a piece's fabric, in place of the part measured before.

    Args:
        stash: the open stash.
        code: of the piece.
        crop: the part of the upright photo that is cloth, as left,top,right,bottom.
        photo: its file name; needed where there are several.
        region_id: the part that is to be replaced, where a page names it instead.

    Raises:
        StashkeeperError: the code, the photo or the crop cannot be understood, the part was
            changed meanwhile, or the kept photo is gone; then nothing was changed.
    """
    wanted = parse_crop(crop)
    with stash.reading() as session:
        piece = piece_by_code(session, code)
        before = _meant(session, piece, photo, region_id)
    new = corners_of_crop(wanted.left, wanted.top, wanted.right, wanted.bottom)
    if corners_text(new) == corners_text(before.corners):
        shown = show(stash, code)
        return Done(shown, (f"Nothing new for {shown.title}.",))
    return _measured_anew(stash, code, before, wanted)


def _measured_anew(stash: Stash, code: str, before: RegionRow, wanted: Crop) -> Done:
    measured = measure_in_turn(kept_photo(stash.home, before.checksum, before.format), wanted)
    with stash.deed("region") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        photo = photo_by_checksum(deed.session, before.checksum)
        assert photo is not None, "a photo on record is never deleted"
        void_region(deed, before.id)
        of_piece = deed.session.get(Piece, before.piece_id) if before.piece_id else None
        added = add_region(deed, photo, fabric, measured.corners, piece=of_piece, side=before.side)
        put_reading_on_record(deed, measured, added, fabric)
        sentence = (
            f"Measured another part of {_named(before)} of {titled(piece.code, fabric.name)}."
        )
        deed.summary = sentence
    shown = show(stash, code)
    counts = f"Lightness {shown.reading.sentence}." if shown.reading else ""
    doubts = doubt_sentences(measured.measurement.doubts)
    return Done(shown, (sentence, counts, *(f"The photo: {one}." for one in doubts)))


def _meant(
    session: Session, piece: Piece, photo: str | None, region_id: uuid.UUID | None
) -> RegionRow:
    """Return the region that is meant, by its key or by the name of its photo."""
    known = regions_of(session, piece.fabric_id)
    if region_id is not None:
        return _by_key(known, region_id)
    named = [row for row in known if photo is None or fold(row.file_name) == fold(photo)]
    if len(named) == 1:
        return named[0]
    raise _unclear(piece.code, photo, known, named)


def _by_key(known: Sequence[RegionRow], region_id: uuid.UUID) -> RegionRow:
    for row in known:
        if row.id == region_id:
            return row
    raise ChangedMeanwhileError(
        "This part of the photo was changed by somebody else meanwhile.",
        "Look at the photo again, then repeat your change if it is still wanted.",
    )


def _unclear(
    code: str, photo: str | None, known: Sequence[RegionRow], named: Sequence[RegionRow]
) -> NotFoundError | BadRequestError:
    names = ", ".join(dict.fromkeys(_named(row) for row in known))
    if not known:
        return NotFoundError(f"There is no photo of {code}.", f"Add one: `photo {code} FILE`.")
    if not named:
        return NotFoundError(
            f"There is no photo {quoted(photo or '')} of {code}.", f"Name one of: {names}."
        )
    if photo is None:
        return BadRequestError(
            f"There are {len(known)} photos of {code}.", f"Say which with --photo: {names}."
        )
    return BadRequestError(
        f"Several parts of {quoted(photo)} show {code}.", "Change them on the page of the piece."
    )


def _named(row: RegionRow) -> str:
    return quoted(row.file_name or "the photo")
