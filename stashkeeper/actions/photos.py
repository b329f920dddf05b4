"""Photos of pieces on record already."""

from collections.abc import Sequence
from pathlib import Path

from stashkeeper.actions.measuring import measure_photos, put_on_record, refuse_known
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.pieces import Done, show
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import Side
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.pieces import piece_by_code
from stashkeeper.errors import BadRequestError


def photo(
    stash: Stash, code: str, files: Sequence[Path], *, crop: str | None = None, back: bool = False
) -> Done:
    """Measure photos of a piece's fabric and put them on record; all of them, or none.

    Raises:
        StashkeeperError: no file is named, the code is unknown, a photo is bad or on record
            already, or the stash cannot be written.
    """
    if not files:
        raise BadRequestError(
            "No photo was given.", "Name its file.", on_page="Choose one, then measure it."
        )
    with stash.reading() as session:
        piece_by_code(session, code)
    measured = measure_photos(files, crop)
    with stash.deed("photo") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        refuse_known(deed, measured, but=fabric)
        put_on_record(stash, deed, measured, fabric, piece, side=Side.BACK if back else Side.FACE)
        count = f"{len(files)} photos" if len(files) != 1 else "a photo"
        sentence = f"Added {count} to {titled(piece.code, fabric.name)}."
        deed.summary = sentence
    shown = show(stash, code)
    counts = f"Lightness {shown.reading.sentence}." if shown.reading else ""
    doubts = {one for item in measured for one in doubt_sentences(item.measurement.doubts)}
    return Done(shown, (sentence, counts, *(f"The photo: {one}." for one in sorted(doubts))))
