"""Search: how far apart the values can be kept when every role draws on the whole shelf.

Fabrics lie sorted from dark to light. If any choice keeps the values in order, so does one whose
darks come from the shortest stretch at the dark end that gives enough, and whose lights from the
shortest at the light end: exchanging a fabric for one nearer the end never narrows a gap. Between
the two, mediums are a window; as it slides, one gap grows and the other shrinks, so the best place
is where they cross, found by halving. The exchange argument is ours.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.choosing.levels import Level
from stashkeeper.choosing.shelf import BLACK, WHITE, Whole

MOST_EDGES: Final = 5
"""So many places are tried for a group that has some room."""

type Stretch = tuple[int, int]
"""Fabrics from the first to before the second."""

type Enough = Callable[[Level, int, int], bool]


def may(level: Level, start: int, end: int) -> bool:
    """Ask a level what may be (for a bound)."""
    return level.enough(start, end)


def surely(level: Level, start: int, end: int) -> bool:
    """Ask a level what surely is (for a plan)."""
    return level.surely(start, end)


@dataclass(frozen=True, slots=True)
class Search:
    """The search over some levels, from dark to light.

    Attributes:
        light: the lightness of the fabrics in millionths, rising.
        levels: one to three of them.
        ask: how a level is asked.
        floor, ceiling: where a level lies that wants nothing, in millionths of L*.
    """

    light: Whole
    levels: tuple[Level, ...]
    ask: Enough = surely
    floor: int = BLACK
    ceiling: int = WHITE

    def best_gap(self) -> int | None:
        """Return the largest smaller gap in millionths of L*, or None where there is no choice.

        Groups must not touch: a gap is at least 1. With one level only there is no gap, and the
        whole scale is returned. A level that wants nothing (a fabric to be imagined has served
        it) lies wherever it leaves the most room.
        """
        first, last = self.levels[0], self.levels[-1]
        size = len(self.light)
        if len(self.levels) == 1:
            return WHITE if self.ask(first, 0, size) else None
        end, start = self.first_end(first, 0), self.last_start(last, size)
        if end is None or start is None:
            return None
        dark, light = self._edge_below(end), self._edge_above(start)
        if len(self.levels) == 2:
            return light - dark if light > dark else None
        return self._best_window(dark, light)

    def first_end(self, level: Level, start: int) -> int | None:
        """Return the shortest end of a stretch from `start` that gives enough."""
        size = len(self.light)
        if not self.ask(level, start, size):
            return None
        low, high = start, size
        while low < high:
            middle = (low + high) // 2
            if self.ask(level, start, middle):
                high = middle
            else:
                low = middle + 1
        return low

    def last_start(self, level: Level, end: int) -> int | None:
        """Return the latest start of a stretch up to `end` that gives enough."""
        if not self.ask(level, 0, end):
            return None
        low, high = 0, end
        while low < high:
            middle = (low + high + 1) // 2
            if self.ask(level, middle, end):
                low = middle
            else:
                high = middle - 1
        return low

    def from_light(self, lightness: int) -> int:
        """Return the first fabric of at least this lightness."""
        return int(np.searchsorted(self.light, lightness, "left"))

    def beyond_light(self, lightness: int) -> int:
        """Return the first fabric lighter than this."""
        return int(np.searchsorted(self.light, lightness, "right"))

    def stretches(self, gap: int) -> Iterator[tuple[Stretch, ...]]:
        """Yield ways to part the shelf into one stretch a level, at least `gap` apart.

        Some are as generous as can be to the mediums, others leave more room to darks and lights.
        There is at least one where `gap` is at most the best.
        """
        size = len(self.light)
        if len(self.levels) == 1:
            yield ((0, size),)
            return
        end, start = self.first_end(self.levels[0], 0), self.last_start(self.levels[-1], size)
        if end is None or start is None:
            return
        dark, light = self._edge_below(end), self._edge_above(start)
        if len(self.levels) == 2:
            for edge in self._edges(end - 1, self.beyond_light(light - gap) - 1):
                yield (0, self.beyond_light(edge)), (self.from_light(edge + gap), size)
            return
        low, high = self.from_light(dark + gap), self.beyond_light(light - gap)
        yield (0, self.beyond_light(dark)), (low, high), (self.from_light(light), size)
        begin = self.last_start(self.levels[1], high)
        for bottom in self._edges(low, begin):
            middle = self.first_end(self.levels[1], self.from_light(bottom))
            if middle:
                top = int(self.light[middle - 1])
                yield (
                    (0, self.beyond_light(bottom - gap)),
                    (self.from_light(bottom), self.beyond_light(top)),
                    (self.from_light(top + gap), size),
                )

    def _edges(self, first: int, last: int | None) -> list[int]:
        """Return a few lightnesses of fabrics between two places, both included."""
        if last is None or not 0 <= first <= last:
            return []
        places = np.unique(np.linspace(first, last, MOST_EDGES).astype(np.int64))
        return sorted({int(self.light[place]) for place in places.tolist()})

    def span(self, place: int, gap: int) -> tuple[int, int]:
        """Return between which lightnesses one more fabric of a level may lie, at this gap.

        Args:
            place: which level, counted from the dark.
            gap: the least gap, at most the best; in millionths of L*.
        """
        low, high = BLACK, WHITE
        if place > 0:
            first = self.first_end(self.levels[0], 0) or 0
            low = self._edge_below(first) + gap
        if place == 2:
            middle = self.first_end(self.levels[1], self.from_light(low))
            low = (low if not middle else max(low, self._edge_below(middle))) + gap
        if place < len(self.levels) - 1:
            last = self.last_start(self.levels[-1], len(self.light))
            high = self._edge_above(len(self.light) if last is None else last) - gap
        if place == 0 and len(self.levels) == 3:
            begin = self.last_start(self.levels[1], self.beyond_light(high))
            high = self._edge_above(len(self.light) if begin is None else begin) - gap
        return low, high

    def _best_window(self, dark: int, light: int) -> int | None:
        """Return the best smaller gap to mediums between these two edges."""
        level = self.levels[1]
        if self.ask(level, 0, 0):  # whatever it is, it may lie in the middle
            return (light - dark) // 2 or None
        low, high = self.beyond_light(dark), self.from_light(light)
        while low < high:  # the first start at which the gap below is at least the one above
            middle = (low + high) // 2
            below, above = self._gaps(middle, dark, light)
            if above is None or below >= above:
                high = middle
            else:
                low = middle + 1
        best = 0
        for start in (low - 1, low):
            if start < self.beyond_light(dark) or start >= len(self.light):
                continue
            below, above = self._gaps(start, dark, light)
            best = max(best, min(below, above or 0))
        return best or None

    def _gaps(self, start: int, dark: int, light: int) -> tuple[int, int | None]:
        """Return the gaps below and above a window that starts here; None where there is none."""
        end = self.first_end(self.levels[1], start)
        below = int(self.light[start]) - dark
        return below, None if end is None else light - int(self.light[end - 1])

    def _edge_below(self, end: int) -> int:
        return int(self.light[end - 1]) if end else self.floor

    def _edge_above(self, start: int) -> int:
        return int(self.light[start]) if start < len(self.light) else self.ceiling
