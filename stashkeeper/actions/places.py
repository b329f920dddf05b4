"""Places: what lies where."""

from dataclasses import dataclass

from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.places import (
    find_place,
    list_places,
    move_place,
    path_of,
    place_at,
    rename_place,
)
from stashkeeper.errors import BadRequestError


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A place: its path, how many pieces lie right there, and how many with all inside it."""

    path: str
    pieces: int
    pieces_inside: int


@dataclass(frozen=True, slots=True)
class Places:
    """The places of the stash, in the order of their paths."""

    places: tuple[PlaceView, ...]
    _told: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done, then a line for each place, indented as they lie inside one another."""
        if not self.places:
            return ('No places yet: `stashkeeper change CODE --at "Shelf 1"` makes one.',)
        return (self._told, *(_line(place) for place in self.places))


def places(
    stash: Stash, path: str | None = None, *, rename: str | None = None, into: str | None = None
) -> Places:
    """List the places, or those at and inside `path`; rename or move that one first.

    Args:
        stash: the open stash.
        path: of one place.
        rename: its new name.
        into: the place to put it in, added where it is new; an empty text takes it out of all.

    Raises:
        StashkeeperError: there is no such place, the name is taken or bad, or it cannot move there.
    """
    if path is None and (rename is not None or into is not None):
        raise BadRequestError(
            "Which place is meant was not given.",
            'Name it first: stashkeeper places "Shelf 2" --rename "Shelf 3"',
        )
    told = "" if path is None else _changed(stash, path, rename, into)
    with stash.reading() as session:
        rows = list_places(session)
        top = find_place(session, told or path) if path else None
        inside = path_of(session, top.id) if top else ""
    shown = [
        PlaceView(row.path, row.pieces, row.pieces_inside)
        for row in rows
        if not inside or row.path == inside or row.path.startswith(f"{inside} / ")
    ]
    return Places(tuple(shown), f"It is “{told}” now." if told else "")


def _changed(stash: Stash, path: str, rename: str | None, into: str | None) -> str:
    """Rename or move a place; return its new path, or nothing where nothing was asked."""
    if rename is None and into is None:
        return ""
    with stash.deed("place") as deed:
        place = find_place(deed.session, path)
        before = path_of(deed.session, place.id)
        if rename is not None:
            rename_place(deed, place, rename)
        if into is not None:
            move_place(deed, place, place_at(deed, into) if into.strip() else None)
        after = path_of(deed.session, place.id)
        deed.summary = f"“{before}” is “{after}” now."
    return after


def _line(place: PlaceView) -> str:
    count = f"{place.pieces_inside} piece{'' if place.pieces_inside == 1 else 's'}"
    return f"{place.path}: {count}"
