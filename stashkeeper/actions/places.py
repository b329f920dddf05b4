"""Places: what lies where."""

from dataclasses import dataclass

from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.places import (
    BETWEEN,
    find_place,
    list_places,
    move_place,
    path_of,
    place_at,
    rename_place,
)
from stashkeeper.errors import AlreadyThereError, BadRequestError


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A place: its path, its depth, how many pieces lie right there, and with all inside it."""

    path: str
    depth: int
    pieces: int
    pieces_inside: int

    @property
    def name(self) -> str:
        """Its own name, without those of the places outside of it."""
        return self.path.rpartition(BETWEEN)[2]

    @property
    def outside(self) -> str:
        """The path of the place that it is in; empty for an outermost one."""
        return self.path.rpartition(BETWEEN)[0]

    def holds(self, other: "PlaceView") -> bool:
        """Tell whether another place is inside it, or is itself."""
        return f"{other.path}{BETWEEN}".startswith(f"{self.path}{BETWEEN}")


@dataclass(frozen=True, slots=True)
class Branch:
    """A place, and the places right inside it."""

    place: PlaceView
    inside: list["Branch"]


@dataclass(frozen=True, slots=True)
class Places:
    """The places of the stash, in the order of their paths."""

    places: tuple[PlaceView, ...]
    _told: str

    @property
    def tree(self) -> list[Branch]:
        """The outermost places, each with those inside it."""
        top: list[Branch] = []
        above: list[Branch] = []
        for place in self.places:
            branch = Branch(place, [])
            del above[place.depth - self.places[0].depth :]
            (above[-1].inside if above else top).append(branch)
            above.append(branch)
        return top

    @property
    def told(self) -> tuple[str, ...]:
        """What was done, if anything was."""
        return (self._told,) if self._told else ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done, then a line for each place, indented as they lie inside one another."""
        if not self.places:
            return ('No places yet: `stashkeeper places "Shelf 1" --make` makes one.',)
        return (self._told, *(_line(place) for place in self.places))


def places(
    stash: Stash,
    path: str | None = None,
    *,
    make: bool = False,
    rename: str | None = None,
    into: str | None = None,
) -> Places:
    """List the places, or those at and inside `path`; make, rename or move that one first.

    Args:
        stash: the open stash.
        path: of one place.
        make: whether it is a new one; the places outside of it are made as well where need be.
        rename: its new name.
        into: the place to put it in, added where it is new; an empty text takes it out of all.

    Raises:
        StashkeeperError: there is no such place, the name is taken or bad, or it cannot move there.
    """
    if path is None and (make or rename is not None or into is not None):
        raise BadRequestError(
            "Which place is meant was not given.",
            'Name it first: stashkeeper places "Shelf 2" --rename "Shelf 3"',
            on_page="Type its name.",
        )
    if path is not None and make:
        _made(stash, path)
    told = "" if path is None else _changed(stash, path, rename, into)
    with stash.reading() as session:
        rows = list_places(session)
        top = None if path is None else find_place(session, told or path)
        inside = path_of(session, top.id) if top else ""
    shown = [
        PlaceView(row.path, row.depth, row.pieces, row.pieces_inside)
        for row in rows
        if not inside or row.path == inside or row.path.startswith(f"{inside}{BETWEEN}")
    ]
    sentence = f"It is “{told}” now." if told else ""
    return Places(tuple(shown), sentence or (f"Made “{inside}”." if make else ""))


def _made(stash: Stash, path: str) -> None:
    """Make a place, and those outside of it that are missing."""
    with stash.deed("place") as deed:
        before = {row.id for row in list_places(deed.session)}
        place = place_at(deed, path)
        made = path_of(deed.session, place.id)
        if place.id in before:
            raise AlreadyThereError(
                f"There is a place “{made}” already.", "Use it, or give another name."
            )
        deed.summary = f"Made “{made}”."


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
