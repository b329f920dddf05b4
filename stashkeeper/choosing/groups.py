"""Groups: a choice from the whole shelf, every role drawing on all of it; no sets."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.assigning import assigned
from stashkeeper.choosing.levels import Level
from stashkeeper.choosing.needs import FROM_DARK
from stashkeeper.choosing.picking import Picked, Picker, Room
from stashkeeper.choosing.score import Favour, Score
from stashkeeper.choosing.search import Search, Stretch, may
from stashkeeper.choosing.shelf import Shelf, Whole


@dataclass(frozen=True, slots=True)
class Found:
    """The largest smaller gap in millionths of L*: of a plan, and what no plan can beat.

    Attributes:
        gap: None where no plan was found.
        bound: None where there can be none.
    """

    gap: int | None
    bound: int | None

    @property
    def proven(self) -> bool:
        """Whether nothing better can be."""
        return self.gap == self.bound


def levels_of(asks: Sequence[Ask]) -> tuple[Level, ...]:
    """Return the levels of these asks, from dark to light; asks for any value are in none."""
    mine = ((value, [ask for ask in asks if ask.need.value is value]) for value in FROM_DARK)
    return tuple(Level(value, some) for value, some in mine if some)


class Groups:
    """The choice of groups from one shelf."""

    def __init__(self, shelf: Shelf, asks: Sequence[Ask]) -> None:
        self.asks = tuple(asks)
        self.light = shelf.light
        self._shelf = shelf
        self._any = [ask for ask in asks if ask.need.value is None]
        self._levels = levels_of(asks)
        self._search = Search(shelf.light, self._levels) if self._levels else None
        self._reserving: Groups | None = None

    def best(self) -> Found:
        """Return how far apart the groups can be."""
        found = self._best()
        if self._any and found.gap is not None and next(self._starts(found.gap), None) is None:
            self._reserving = self._reserved()
            gap = None if self._reserving is None else self._reserving.best().gap
            return Found(gap, found.bound)
        return found

    def _best(self) -> Found:
        if self._search is None:
            served = self._with_any({}) is not None
            return Found(0, 0) if served else Found(None, None)
        gap = self._search.best_gap()
        if all(level.counts_all for level in self._levels):
            return Found(gap, gap)
        return Found(gap, replace(self._search, ask=may).best_gap())

    def pick(self, gap: int, favour: Favour) -> tuple[Picked, Score] | None:
        """Return the best selection found whose groups are at least `gap` apart."""
        if self._reserving is not None:
            return self._reserving.pick(gap, favour)
        picker = Picker(self._shelf, self.asks)
        ways = [picker.improved(start, room, favour) for start, room in self._starts(gap)]
        return min(ways, key=lambda way: (way[1].by(favour), _order(way[0])), default=None)

    def _starts(self, gap: int) -> Iterator[tuple[Picked, Room]]:
        """Yield first selections, each with the stretches in which it may be changed."""
        if self._search is None:
            start = self._with_any({})
            if start is not None:
                yield start, _room({})
            return
        for stretches in self._search.stretches(gap):
            start = self._start(stretches)
            if start is not None:
                values = [level.value for level in self._levels]
                yield start, _room(dict(zip(values, stretches, strict=True)))

    def _start(self, stretches: Sequence[Stretch]) -> Picked | None:
        picked: Picked = {}
        for level, stretch in zip(self._levels, stretches, strict=True):
            found = level.assign(*stretch)
            if found is None:
                return None
            picked |= {ask.number: [*ask.kept, *found[ask.number]] for ask in level.asks}
        return self._with_any(picked)

    def _with_any(self, picked: Picked) -> Picked | None:
        """Return a selection with fabrics for the roles that take any value."""
        if not self._any:
            return picked
        free = np.ones(len(self._shelf), dtype=np.bool_)
        free[[fabric for fabrics in picked.values() for fabric in fabrics]] = False
        found = assigned(self._any, 0, len(self._shelf), free)
        if found is None:
            return None
        return picked | {ask.number: [*ask.kept, *found[ask.number]] for ask in self._any}

    def _reserved(self) -> "Groups | None":
        """Return the same choice with fabrics set aside first for the roles that take any value.

        Those go that the fewest other roles could use.
        """
        others = [ask for ask in self.asks if ask.need.value is not None]
        wanted = np.add.reduce([ask.able.astype(np.float64) for ask in others])
        shy = [replace(ask, costs=np.asarray(wanted)) for ask in self._any]
        found = assigned(shy, 0, len(self._shelf))
        if found is None:
            return None
        able = np.ones(len(self._shelf), dtype=np.bool_)
        able[[fabric for fabrics in found.values() for fabric in fabrics]] = False
        settled = [
            replace(ask, count=0, totals=(), kept=(*ask.kept, *found[ask.number]))
            for ask in self._any
        ]
        left = [replace(ask, able=ask.able & able) for ask in others]
        return Groups(self._shelf, [*left, *settled])


def _room(stretches: dict[object, Stretch]) -> Room:
    """Return which fabrics may be exchanged within these stretches."""

    def room(ask: Ask, _: int, __: Picked) -> Whole:
        start, end = stretches.get(ask.need.value, (0, len(ask.able)))
        return np.flatnonzero(ask.able[start:end]) + start

    return room


def _order(picked: Picked) -> list[tuple[int, list[int]]]:
    """Return what equally good selections are sorted by, the same whatever the shelf's order."""
    return sorted(picked.items())
