"""Pieces: add, list, show, change, end."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.actions.listing import Listing, listing
from stashkeeper.actions.measuring import (
    MeasuredPhoto,
    measure_photos,
    put_on_record,
    refuse_known,
)
from stashkeeper.actions.piece_view import PieceView, piece_view, titled
from stashkeeper.actions.piece_words import (
    PieceWords,
    fabric_changes,
    piece_details,
    read_lightness,
    with_place,
)
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.fabrics import add_fabric, change_fabric, fabric_by_id
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.pieces import add_pieces, change_piece, end_piece, piece_by_code
from stashkeeper.catalogue.readings import add_reading
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.tables import Fabric, Piece
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.luminance.naming import propose_name
from stashkeeper.luminance.readings import typed_reading


@dataclass(frozen=True, slots=True)
class Done:
    """What a deed did to a piece: the piece as it is now, and what to tell."""

    piece: PieceView
    sentences: tuple[str, ...]


def add(
    stash: Stash,
    words: PieceWords,
    *,
    photos: Sequence[Path] = (),
    crop: str | None = None,
    count: int = 1,
    fabric: str | None = None,
    lightness: str | None = None,
) -> Done:
    """Add a piece, or `count` pieces alike, of a new fabric or of that of the piece `fabric`.

    Photos are measured first; then all of it is one deed.

    Raises:
        StashkeeperError: a word cannot be read, a photo is bad or on record already, the piece
            named is unknown, or the stash cannot be written; then nothing was added.
    """
    if not words.size or not words.size.strip():
        raise BadRequestError(
            "A piece needs a size.", 'Give one, as in --size "18 x 21" or --size "fat quarter".'
        )
    if crop is not None and not photos:
        raise BadRequestError("A crop is part of a photo, and none was given.", "Add --photo FILE.")
    details = piece_details(words, stash.measure)
    changes = fabric_changes(words, stash.measure)
    typed = None if lightness is None else read_lightness(lightness)
    measured = measure_photos(photos, crop)
    with stash.deed("add") as deed:
        refuse_known(deed, measured)
        if fabric is None:
            changes["name"] = words.name or _proposed(measured)
            of_fabric = add_fabric(deed, **changes)
        else:
            of_fabric = _fabric_of(deed, fabric, words)
        pieces = add_pieces(deed, of_fabric, count, **with_place(deed, words, details))
        put_on_record(stash, deed, measured, of_fabric)
        if typed is not None:
            _type_lightness(deed, of_fabric, typed)
        deed.summary = _added_words(pieces, of_fabric)
    with stash.reading() as session:
        piece = piece_view(stash, session, piece_by_code(session, pieces[0].code))
    return Done(piece, _told(_added_words(pieces, of_fabric), piece))


def list_pieces(stash: Stash, words: Sequence[str]) -> Listing:
    """List the pieces that answer to search words.

    Raises:
        BadSearchError, BadSizeError, NotFoundError: a word cannot be read or names no place.
    """
    search = parse_search(words, stash.measure)
    with stash.reading() as session:
        limits = thresholds(session)
        rows = select_pieces(session, search, limits)
    return listing(rows, limits, explain(search), stash.measure)


def show(stash: Stash, code: str) -> PieceView:
    """Return one piece with all that is known of it.

    Raises:
        NotFoundError: no piece has the code.
    """
    with stash.reading() as session:
        return piece_view(stash, session, piece_by_code(session, code))


def change(
    stash: Stash, code: str, words: PieceWords, version: tuple[int, int] | None = None
) -> Done:
    """Change what is written down of a piece or its fabric.

    Args:
        stash: the open stash.
        code: of the piece.
        words: what is to be another way.
        version: of piece and fabric as the person saw them, for pages that lie open a while.

    Raises:
        StashkeeperError: nothing to change, a word cannot be read, the code is unknown, or
            somebody else changed it meanwhile; then nothing was changed.
    """
    details = piece_details(words, stash.measure)
    if not (details or words.about_the_fabric or words.at is not None):
        raise BadRequestError("Nothing was given to change.", 'Say what, as in --at "Shelf 2".')
    of_piece, of_fabric = version or (None, None)
    with stash.deed("change") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        changes = fabric_changes(words, stash.measure, fabric)
        moved = change_piece(
            deed, piece, expected_version=of_piece, **with_place(deed, words, details)
        )
        named = change_fabric(deed, fabric, expected_version=of_fabric, **changes)
        sentence = f"{'Changed' if moved or named else 'Nothing new for'} "
        deed.summary = sentence = f"{sentence}{titled(piece.code, fabric.name)}."
    return Done(changed := show(stash, code), (sentence, *changed.sentences))


def end(stash: Stash, code: str, how: str, version: tuple[int, int] | None = None) -> Done:
    """Take a piece off the shelf; it stays on record.

    Raises:
        BadRequestError: `how` is not one of the five ways, or it ended before in another.
        NotFoundError: no piece has the code.
    """
    wanted = _end_of(how)
    with stash.deed("end") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        end_piece(deed, piece, wanted, expected_version=version[0] if version else None)
        deed.summary = sentence = f"{titled(piece.code, fabric.name)} is off the shelf: {wanted}."
    return Done(show(stash, code), (sentence,))


def _proposed(measured: Sequence[MeasuredPhoto]) -> str:
    if not measured:
        raise BadRequestError(
            "A fabric without a photo needs a name.", "Type one, or add --photo FILE."
        )
    return propose_name(measured[0].reading)


def _fabric_of(deed: Deed, code: str, words: PieceWords) -> Fabric:
    try:
        piece = piece_by_code(deed.session, code)
    except NotFoundError as unknown:
        raise NotFoundError(
            unknown.problem, f"--fabric takes the code of a piece of it. {unknown.remedy}"
        ) from None
    if words.about_the_fabric:
        raise BadRequestError(
            f"Name and tags belong to the fabric, and that of {piece.code} is on record already.",
            f"Leave them away here, and use `stashkeeper change {piece.code}` to change them.",
        )
    return fabric_by_id(deed.session, piece.fabric_id)


def _type_lightness(deed: Deed, fabric: Fabric, lightness: float) -> None:
    deed.session.flush()
    add_reading(deed, fabric, typed_reading(lightness, f"typed:{fabric.id}"))


def _added_words(pieces: Sequence[Piece], fabric: Fabric) -> str:
    first, last = pieces[0], pieces[-1]
    codes = first.code if len(pieces) == 1 else f"{first.code} to {last.code}"
    return f"Added {titled(codes, fabric.name)}."


def _told(sentence: str, piece: PieceView) -> tuple[str, ...]:
    """Return what was added, how it reads, and what its photo makes less sure."""
    reading = piece.reading
    if reading is None:
        return (sentence, "Its lightness is not measured yet: add a photo, or type it.")
    doubts = doubt_sentences(reading.doubts)
    return (sentence, f"Lightness {reading.sentence}.", *(f"The photo: {one}." for one in doubts))


def _end_of(how: str) -> End:
    word = " ".join(how.casefold().split())
    short = {"cut": End.ALL_CUT, "mistake": End.MISTAKE}
    try:
        return short.get(word) or End(word)
    except ValueError:
        ways = ", ".join(End)
        problem = f"{quoted(how)} is no way a piece ends." if how else "How it ended is missing."
        raise BadRequestError(problem, f"Say --how with one of: {ways}.") from None
