"""Every chain: sets where levels share some of their fabrics, not all.

Sorted darks, mediums and lights go together in order, so sets are made from the dark end on. The
first fabric that a level can use is taken, unless another level could use it too: then both are
tried. The argument (a fabric no other level could use may always come first) is ours.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from stashkeeper.choosing.shelf import Whole

MOST_TRIES: Final = 6_000
"""So many steps, at most; then the question stays open."""

type _Row = tuple[list[int], list[int]]
"""The fabrics of a set so far, and where each level goes on."""


class EveryChain:
    """The sets that these levels give, all ways tried.

    Attributes:
        open: whether the last search ended before it was done.
    """

    def __init__(
        self, light: Whole, levels: Sequence[Whole], counts: Sequence[int], gap: int
    ) -> None:
        self._light = light
        self._levels = [level.tolist() for level in levels]
        self._lights = [light[level] for level in levels]
        self._counts = list(counts)
        self._gap = gap
        uses = np.concatenate(levels) if levels else np.zeros(0, dtype=np.int64)
        fabrics, times = np.unique(uses, return_counts=True)
        self._shared = set(fabrics[times > 1].tolist())
        self._tries = 0
        self.open = False

    def laid(self, number: int) -> list[list[int]] | None:
        """Return `number` sets, the fabrics of each from dark to light, or None."""
        self._tries, self.open = 0, False
        rows: list[list[int]] = []
        return rows if self._go_on(number, [0] * len(self._levels), set(), rows) else None

    def _go_on(
        self, number: int, starts: Sequence[int], used: set[int], rows: list[list[int]]
    ) -> bool:
        """Make the sets from here on."""
        if len(rows) == number:
            return True
        left = number - len(rows) - 1
        for row, ends in self._level(starts, used, left, [], []):
            rows.append(row)
            if self._go_on(number, ends, used | set(row), rows):
                return True
            rows.pop()
        return False

    def _level(
        self, starts: Sequence[int], used: set[int], left: int, row: list[int], ends: list[int]
    ) -> Iterator[_Row]:
        """Yield one more set in every way worth trying, from the level after `ends` on."""
        place = len(ends)
        if place == len(self._levels):
            yield row, ends
            return
        start = starts[place]
        if row:
            floor = int(self._light[row[-1]]) + self._gap
            start = max(start, int(np.searchsorted(self._lights[place], floor, "left")))
        for mine, end in self._some(place, start, self._counts[place], used, left):
            yield from self._level(starts, used, left, [*row, *mine], [*ends, end])

    def _some(
        self, place: int, start: int, count: int, used: set[int], left: int
    ) -> Iterator[tuple[list[int], int]]:
        """Yield so many fabrics of a level from `start` on, and where it goes on."""
        if not count:
            yield [], start
            return
        fabrics = self._levels[place]
        needed = count + left * self._counts[place]
        for number in range(start, len(fabrics) - needed + 1):
            fabric = fabrics[number]
            if fabric in used:
                continue
            self._tries += 1
            if self._tries > MOST_TRIES:
                self.open = True
                return
            for others, end in self._some(place, number + 1, count - 1, used, left):
                yield [fabric, *others], end
            if fabric not in self._shared:
                return
