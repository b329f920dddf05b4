"""Places: shelves, boxes and drawers, inside one another."""

import uuid
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from sqlalchemy import CTE, Text, cast, func, literal
from sqlmodel import Session, col, select

from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.names import clean_name, fold
from stashkeeper.catalogue.tables import Piece, Place
from stashkeeper.errors import (
    AlreadyThereError,
    BadNameError,
    BadRequestError,
    NotFoundError,
    quoted,
)

BETWEEN: Final = " / "
"""How the names of a path are joined when shown."""

DEEPEST: Final = 20


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """One place of the list.

    Attributes:
        id: its key.
        path: its names from the outside in.
        depth: how many places it is inside of.
        pieces: how many pieces lie right there, ended ones not counted.
        pieces_inside: those and the ones in the places inside it.
    """

    id: uuid.UUID
    path: str
    depth: int
    pieces: int
    pieces_inside: int


def names_of(path: str) -> list[str]:
    """Split a path as typed, `Sewing room / Shelf 2`, into cleaned names from the outside in.

    Raises:
        BadNameError: a name is empty, too long, or cannot be shown.
    """
    names = [clean_name(name, "place") for name in path.strip().strip("/").split("/")]
    if len(names) > DEEPEST:
        raise BadNameError(
            f"The place “{path[:30]}…” is {len(names)} places deep; at most {DEEPEST} work.",
            "Leave some of the outer places away.",
        )
    return names


def place_at(deed: Deed, path: str) -> Place:
    """Return the place at a path, adding what is missing of it. Letter case makes no difference.

    Outer places may be left away where only one place answers: `Blue box` is enough where there
    is one blue box.

    Raises:
        BadNameError: a name is empty, too long, or cannot be shown.
        BadRequestError: several places answer; they are named.
    """
    names = names_of(path)
    known = _the_one(deed.session, names)
    if known is not None:
        return known
    place: Place | None = None
    for name in names:
        inside = None if place is None else place.id
        place = _child(deed.session, inside, name) or _new(deed, name, inside)
    assert place is not None
    return place


def find_place(session: Session, path: str) -> Place:
    """Return the place at a path; its outer places may be left away.

    Raises:
        BadNameError: a name is empty, too long, or cannot be shown.
        BadRequestError: several places answer; they are named.
        NotFoundError: there is none; near ones are named.
    """
    found = _the_one(session, names_of(path))
    if found is None:
        raise no_such_place(session, path)
    return found


def no_such_place(session: Session, path: str) -> NotFoundError:
    """Return the error for a place that is not there, naming near ones."""
    paths = [row.path for row in list_places(session)]
    by_name = {fold(part): path for path in paths for part in (path, path.split(BETWEEN)[-1])}
    near = get_close_matches(fold(path), by_name, n=3, cutoff=0.5)
    known = list(dict.fromkeys(by_name[match] for match in near))
    remedy = (
        f"Did you mean {' or '.join(f'“{one}”' for one in known)}?"
        if known
        else ("`stashkeeper places` shows the places there are.")
    )
    return NotFoundError(f"There is no place {quoted(path)}.", remedy)


def path_of(session: Session, place_id: uuid.UUID | None) -> str:
    """Return the names of a place from the outside in, or an empty text for no place."""
    names: list[str] = []
    while place_id is not None:
        place = session.get_one(Place, place_id)
        names.append(place.name)
        place_id = place.parent_id
    return BETWEEN.join(reversed(names))


def rename_place(
    deed: Deed, place: Place, name: str, *, expected_version: int | None = None
) -> bool:
    """Give a place another name; return whether it is another.

    Raises:
        BadNameError: the name is empty, too long, cannot be shown, or holds a “/”.
        AlreadyThereError: another place beside it bears the name.
        ChangedMeanwhileError: somebody changed it after `expected_version`.
    """
    (cleaned, *more) = names_of(name)
    if more:
        raise BadNameError(
            f"“{name}” names places inside one another.",
            "Give one name; move the place to put it elsewhere.",
        )
    _must_be_free(deed.session, place, place.parent_id, cleaned)
    return deed.change(place, expected_version, name=cleaned, folded=fold(cleaned))


def move_place(
    deed: Deed, place: Place, inside: Place | None, *, expected_version: int | None = None
) -> bool:
    """Put a place, with all in it, inside another one or outside of all; return whether it moved.

    Raises:
        BadRequestError: that would put it inside itself.
        AlreadyThereError: a place of its name is there.
        ChangedMeanwhileError: somebody changed it after `expected_version`.
    """
    outer = inside
    while outer is not None:
        if outer.id == place.id:
            raise BadRequestError(
                f"“{place.name}” cannot be put inside itself.", "Choose a place outside of it."
            )
        outer = None if outer.parent_id is None else deed.session.get_one(Place, outer.parent_id)
    parent_id = None if inside is None else inside.id
    _must_be_free(deed.session, place, parent_id, place.name)
    return deed.change(place, expected_version, parent_id=parent_id)


def list_places(session: Session) -> list[PlaceRow]:
    """Return every place in the order of paths, with its counts of pieces."""
    paths = place_paths()
    lying = (
        select(col(Piece.place_id), func.count())
        .where(col(Piece.ended_how).is_(None), col(Piece.place_id).is_not(None))
        .group_by(col(Piece.place_id))
    )
    counts = {place_id: int(count) for place_id, count in session.exec(lying)}
    rows = session.execute(
        select(paths.c.id, paths.c.path, paths.c.folded, paths.c.depth).order_by(paths.c.folded)
    ).all()
    return [
        PlaceRow(
            row.id,
            row.path,
            row.depth,
            counts.get(row.id, 0),
            sum(counts.get(one.id, 0) for one in rows if one.folded.startswith(row.folded)),
        )
        for row in rows
    ]


def place_paths() -> CTE:
    """Return a query of all places: id, path as shown, path folded as `/shelf 2/blue box/`."""
    outside = (
        select(
            col(Place.id).label("id"),
            cast(col(Place.name), Text).label("path"),
            cast(literal("/") + col(Place.folded) + literal("/"), Text).label("folded"),
            literal(0).label("depth"),
        )
        .where(col(Place.parent_id).is_(None), col(Place.voided).is_(False))
        .cte("place_paths", recursive=True)
    )
    inside = (
        select(
            col(Place.id),
            cast(outside.c.path + literal(BETWEEN) + col(Place.name), Text),
            cast(outside.c.folded + col(Place.folded) + literal("/"), Text),
            outside.c.depth + 1,
        )
        .join(outside, col(Place.parent_id) == outside.c.id)
        .where(col(Place.voided).is_(False))
    )
    return outside.union_all(inside)


def places_ending_in(session: Session, names: list[str]) -> list[tuple[Place, int, str]]:
    """Return the places whose path ends in these names, each with its depth and path."""
    paths = place_paths()
    ending = "/" + "/".join(fold(name) for name in names) + "/"
    exact = func.substr(paths.c.folded, func.length(paths.c.folded) - len(ending) + 1) == ending
    found = (
        select(Place, paths.c.depth, paths.c.path)
        .join(paths, col(Place.id) == paths.c.id)
        .where(func.length(paths.c.folded) >= len(ending), exact)
        .order_by(paths.c.depth, paths.c.folded)
    )
    return [(place, depth, path) for place, depth, path in session.exec(found)]


def _the_one(session: Session, names: list[str]) -> Place | None:
    """Return the place that is the whole path or the only one to end in it, or None."""
    found = places_ending_in(session, names)
    whole = [place for place, depth, _ in found if depth == len(names) - 1]
    if not whole and len(found) > 1:
        paths = ", ".join(f"“{path}”" for _, _, path in found[:5])
        raise BadRequestError(
            f"{quoted(BETWEEN.join(names))} may be any of {len(found)} places: {paths}.",
            "Type the place it is in as well, as “Sewing room / Shelf 2”.",
        )
    return next(iter(whole or [place for place, _, _ in found]), None)


def _child(session: Session, inside: uuid.UUID | None, name: str) -> Place | None:
    within = col(Place.parent_id).is_(None) if inside is None else col(Place.parent_id) == inside
    named = select(Place).where(
        within, col(Place.folded) == fold(name), col(Place.voided).is_(False)
    )
    return session.exec(named).first()


def _new(deed: Deed, name: str, inside: uuid.UUID | None) -> Place:
    place = deed.add(Place(name=name, folded=fold(name), parent_id=inside))
    deed.session.flush()
    return place


def _must_be_free(session: Session, place: Place, inside: uuid.UUID | None, name: str) -> None:
    there = _child(session, inside, name)
    if there is not None and there.id != place.id:
        raise AlreadyThereError(
            f"There is a place “{there.name}” there already.",
            "Choose another name, or move the pieces into that place.",
        )
