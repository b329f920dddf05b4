"""The shelf page: the whole shelf along the value rule, a page of it at a time.

It is the ranking of `sort`, a swatch for each fabric. What a search found is remembered until the
next deed, so that turning the page costs nothing.
"""

from collections import OrderedDict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from threading import Lock
from typing import Final

from stashkeeper.actions.shelf_tiles import Found, Gap, Tile, find
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.history import newest_number
from stashkeeper.cloth.value import Value
from stashkeeper.pictures.web_rule import Span, WebRule, span_of

TILES: Final = 42
"""Swatches on a page: whole rows of 2, 3, 6 and 7."""

REMEMBERED: Final = 6
"""Searches whose outcome is remembered."""


@dataclass(frozen=True, slots=True)
class Group:
    """A value group, as far as it is on this page.

    Attributes:
        value: which; None for what is not measured yet.
        fabrics, pieces: how many there are in all.
        lightest, darkest: L*; None where it is empty or not measured.
        tiles: those on this page.
        begins, ends: whether its first and its last tile are on this page.
        gap: to the group above; None for the first.
    """

    value: Value | None
    fabrics: int
    pieces: int
    lightest: float | None
    darkest: float | None
    tiles: tuple[Tile, ...]
    begins: bool
    ends: bool
    gap: Gap | None


@dataclass(frozen=True, slots=True)
class Jump:
    """Where ten steps of lightness begin: the page and the code of the first fabric there."""

    lightness: int
    page: int
    code: str
    fabrics: int


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """One page of the shelf.

    Attributes:
        sentence: how many pieces answer, and what was searched.
        fabrics, pieces: how many there are in all.
        groups: those on this page, from light to dark, then what is not measured.
        page, pages: which page it is, and how many there are, from 1.
        rule: the value rule of the whole shelf.
        here: the part of the rule that this page shows; None where it shows all or none of it.
        jumps: from the light end.
        remarks: what the marks mean.
    """

    sentence: str
    fabrics: int
    pieces: int
    groups: tuple[Group, ...]
    page: int
    pages: int
    rule: WebRule
    here: Span | None
    jumps: tuple[Jump, ...]
    remarks: tuple[str, ...]

    @property
    def tiles(self) -> tuple[Tile, ...]:
        """The tiles of this page."""
        return tuple(tile for group in self.groups for tile in group.tiles)


@dataclass(slots=True)
class Shelf:
    """The shelf of a stash, shared by all who look at it."""

    stash: Stash
    _found: OrderedDict[tuple[str, str], tuple[int, Found]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def page(self, words: str = "", *, by: str = "bands", number: int = 1) -> ShelfPage:
        """Return a page of what search words find.

        Args:
            words: as typed; none find the whole shelf.
            by: bands or split, as `sort`.
            number: which page; one beyond the last is the last.

        Raises:
            BadSearchError, BadSizeError, NotFoundError, BadRequestError: as `sort`.
        """
        return _page(self._search(words, by), number)

    def _search(self, words: str, by: str) -> Found:
        with self.stash.reading() as session:
            newest = newest_number(session)
        key = (words, by)
        with self._lock:
            number, found = self._found.get(key, (-1, None))
        if found is None or number != newest:
            found = find(self.stash, words, by)
            with self._lock:
                self._found[key] = newest, found
                while len(self._found) > REMEMBERED:
                    self._found.popitem(last=False)
        return found


def _page(found: Found, wanted: int) -> ShelfPage:
    pages = max(1, -(-len(found.tiles) // TILES))
    number = min(max(1, wanted), pages)
    start = (number - 1) * TILES
    shown = found.tiles[start : start + TILES]
    return ShelfPage(
        found.sentence,
        len(found.tiles),
        sum(pieces for _value, _fabrics, pieces in found.groups),
        tuple(_shown_groups(found, start, start + TILES)),
        number,
        pages,
        found.rule,
        _here(shown) if pages > 1 else None,
        tuple(_jumps(found.tiles)),
        found.remarks,
    )


def _shown_groups(found: Found, start: int, end: int) -> Iterator[Group]:
    first = 0
    for index, (value, fabrics, pieces) in enumerate(found.groups):
        after = first + fabrics
        tiles = found.tiles[max(first, start) : min(after, end)]
        begins = start <= first < end or (fabrics == 0 and start <= first <= end)
        if tiles or begins:
            members = found.tiles[first:after]
            yield Group(
                value,
                fabrics,
                pieces,
                members[0].lightness if members else None,
                members[-1].lightness if members else None,
                tiles,
                begins,
                after <= end,
                found.gaps[index - 1] if begins and value and index > 0 else None,
            )
        first = after


def _here(shown: Sequence[Tile]) -> Span | None:
    known = [tile.lightness for tile in shown if tile.lightness is not None]
    return span_of(max(known), min(known)) if known else None


def _jumps(tiles: Sequence[Tile]) -> Iterator[Jump]:
    known = [tile for tile in tiles if tile.lightness is not None]
    index = 0
    for ten, inside in groupby(known, key=_ten):
        members = list(inside)
        yield Jump(ten, index // TILES + 1, members[0].code, len(members))
        index += len(members)


def _ten(tile: Tile) -> int:
    return min(90, int((tile.lightness or 0.0) // 10) * 10)
