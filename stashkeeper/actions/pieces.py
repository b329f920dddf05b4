"""Pieces: list, show, change, end."""

from collections.abc import Sequence
from dataclasses import dataclass

from stashkeeper.actions.listing import Listing, listing
from stashkeeper.actions.piece_view import PieceView, piece_view, titled
from stashkeeper.actions.piece_words import (
    PieceWords,
    fabric_changes,
    piece_details,
    with_place,
)
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.fabrics import change_fabric, fabric_by_id
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.catalogue.pieces import change_piece, end_piece, piece_by_code
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.errors import BadRequestError, quoted


@dataclass(frozen=True, slots=True)
class Done:
    """What a deed did to a piece: the piece as it is now, and what to tell."""

    piece: PieceView
    sentences: tuple[str, ...]


def list_pieces(stash: Stash, words: Sequence[str]) -> Listing:
    """List the pieces that answer to search words.

    Raises:
        BadSearchError, BadSizeError, NotFoundError: a word cannot be read or names no place.
    """
    search = parse_search(words, stash.measure)
    with stash.reading() as session:
        limits = thresholds(session)
        rows = select_pieces(session, search, limits)
        taken = reserved(session)
    return listing(rows, limits, explain(search), stash.measure, taken)


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
        raise BadRequestError(
            "Nothing was given to change.",
            'Say what, as in --at "Shelf 2".',
            on_page="Change something, then send it.",
        )
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


def _end_of(how: str) -> End:
    word = " ".join(how.casefold().split())
    short = {"cut": End.ALL_CUT, "mistake": End.MISTAKE}
    try:
        return short.get(word) or End(word)
    except ValueError:
        ways = ", ".join(End)
        problem = f"{quoted(how)} is no way a piece ends." if how else "How it ended is missing."
        raise BadRequestError(
            problem, f"Say --how with one of: {ways}.", on_page=f"Choose one of: {ways}."
        ) from None
