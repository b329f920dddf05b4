"""What search words ask of a row of the shelf, as SQL: the one place where a search is answered."""

from collections.abc import Callable
from typing import Final

from sqlalchemy import CTE, ColumnElement, and_, false, func, not_, or_
from sqlmodel import Session, col

from stashkeeper.catalogue.codes import is_code, normalise_code
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.names import fold
from stashkeeper.catalogue.places import names_of, no_such_place, places_ending_in
from stashkeeper.catalogue.tables import Fabric, Piece, Reading
from stashkeeper.catalogue.thresholds import Thresholds


def conditions_of(search: Search, paths: CTE, bands: Thresholds) -> list[ColumnElement[bool]]:
    """Return what a search asks of pieces, fabrics, their places and the readings that count.

    Sizes are compared as stored, straight or turned; what can be cut from a piece is less. Ended
    pieces are left out unless the search speaks of them.

    Args:
        search: what is wanted.
        paths: the query of all places that the pieces are joined to.
        bands: where light, medium and dark part.
    """
    wanted = [_condition(term, paths, bands) for term in search.terms]
    if not search.speaks_of_ends:
        wanted.append(col(Piece.ended_how).is_(None))
    return wanted


def must_know_places(session: Session, search: Search) -> None:
    """Refuse a search for a place that is not there; to be asked where nothing was found.

    Raises:
        NotFoundError: it names such a place; near ones are named.
    """
    for term in search.terms:
        if term.key == "at" and not places_ending_in(session, names_of(term.words[0])):
            raise no_such_place(session, term.words[0])


def _condition(term: Term, paths: CTE, bands: Thresholds) -> ColumnElement[bool]:
    """Return what a term asks of a row; a row without the column asked for does not answer."""
    if term.key == "at":
        found = _is_at(term, paths)
    elif term.key == "value":
        found = _has_value(term, bands)
    else:
        found = _CONDITIONS[term.key](term)
    return not_(func.coalesce(found, false())) if term.excluded else found


def _is_at(term: Term, paths: CTE) -> ColumnElement[bool]:
    names = [fold(name.strip()) for name in term.words[0].strip("/ ").split("/")]
    inside: ColumnElement[bool] = paths.c.folded.contains(f"/{'/'.join(names)}/", autoescape=True)
    return inside


def _has_value(term: Term, bands: Thresholds) -> ColumnElement[bool]:
    lightness = col(Reading.lightness)
    known = {
        "light": lightness >= bands.light_from,
        "medium": and_(lightness >= bands.dark_below, lightness < bands.light_from),
        "dark": lightness < bands.dark_below,
        "unknown": lightness.is_(None),
    }
    return or_(*(known[word] for word in term.words))


def _has_text(term: Term) -> ColumnElement[bool]:
    (word,) = term.words
    return or_(
        col(Fabric.searchable).contains(fold(word), autoescape=True),
        col(Piece.searchable).contains(fold(word), autoescape=True),
        col(Piece.code) == normalise_code(word),
    )


def _has_tag(term: Term) -> ColumnElement[bool]:
    return col(Fabric.searchable).contains(f"\n#{fold(term.words[0])}\n", autoescape=True)


def _has_code(term: Term) -> ColumnElement[bool]:
    codes = map(normalise_code, term.words)
    return col(Piece.code).in_([code for code in codes if is_code(code)])


def _is_large_enough(term: Term) -> ColumnElement[bool]:
    size = term.size
    assert size is not None, "a size was read for this key"
    width, length = col(Piece.width), col(Piece.length)
    return or_(
        and_(width >= size.width, length >= size.length),
        and_(width >= size.length, length >= size.width),
    )


def _is_colour(term: Term) -> ColumnElement[bool]:
    return col(Fabric.colour_family).in_(term.words)


def _is_washed(term: Term) -> ColumnElement[bool]:
    return or_(*(col(Piece.washed).is_(word == "yes") for word in term.words))


def _has_ended(term: Term) -> ColumnElement[bool]:
    ended = col(Piece.ended_how)
    by_mistake = func.coalesce(ended == End.MISTAKE, false())
    known = {
        "yes": and_(ended.is_not(None), not_(by_mistake)),
        "no": ended.is_(None),
        "any": not_(by_mistake),
    }
    return or_(*(known.get(word, ended == word) for word in term.words), false())


_CONDITIONS: Final[dict[str, Callable[[Term], ColumnElement[bool]]]] = {
    "text": _has_text,
    "tag": _has_tag,
    "code": _has_code,
    "size": _is_large_enough,
    "colour": _is_colour,
    "washed": _is_washed,
    "ended": _has_ended,
}
