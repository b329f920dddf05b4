"""Stretches for a choice with sets: where darks end, mediums lie and lights begin, over all sets.

For an overall gap, every pair of thresholds is looked at: how many sets could each colour family
give, counting its fabrics in each stretch? Pairs that give enough are worth a closer look.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.choosing.chains import NO_LIMIT
from stashkeeper.choosing.search import Stretch
from stashkeeper.choosing.shelf import Flags, Whole
from stashkeeper.cloth.value import Value

type Stretches = Mapping[Value, Stretch]

MOST_THRESHOLDS: Final = 400
"""On larger shelves so many thresholds, evenly spread over the fabrics, stand for all."""

WORTH_A_LOOK: Final = 16
"""So many pairs of thresholds are looked at closely."""


@dataclass(frozen=True, slots=True)
class Supply:
    """How many sets each family could give one value, counted from the dark end.

    Attributes:
        running: a row for each family: sets from the fabrics before each position, not rounded.
        count: how many fabrics one set takes.
    """

    running: Whole
    count: int

    @classmethod
    def of(cls, able: Flags, family: Whole, families: int, count: int) -> "Supply":
        """Return the supply of the fabrics that are able."""
        running = np.zeros((families, able.size + 1), dtype=np.int64)
        here = np.flatnonzero(able)
        running[family[here], here + 1] = 1
        return cls(np.cumsum(running, axis=1), count)

    def between(self, start: Whole | int, end: Whole | int) -> Whole:
        """Return how many sets each family could give from these stretches."""
        found = self.running[:, np.atleast_1d(end)] - self.running[:, np.atleast_1d(start)]
        return found if self.count == 1 else found // self.count


def stretches_for(
    light: Whole, supply: Mapping[Value, Supply], values: Sequence[Value], number: int, gap: int
) -> list[Stretches]:
    """Return stretches at least `gap` apart whose counts allow so many sets, the best first.

    Args:
        light: the lightness of the fabrics, rising.
        supply: of every value that all sets take.
        values: every value asked for, from dark to light.
        number: how many sets.
        gap: the least difference between neighbouring stretches, at least 1.
    """
    size = len(light)
    if len(values) == 1:
        return [{values[0]: (0, size)}]
    ends = _thinned(np.flatnonzero(np.diff(light, append=light[-1:] + 1)) + 1)
    after = np.searchsorted(light, light[ends - 1] + gap, "left")
    if len(values) == 2:
        return _two(values, supply, ends, after, number, size)
    found: list[tuple[int, Stretches]] = []
    dark, medium, pale = values
    darks = _sets(supply, dark, 0, ends)
    lights = _sets(supply, pale, after, size)
    for place, end in enumerate(ends.tolist()):
        start = int(after[place])
        tops = int(np.searchsorted(ends, start, "right"))
        if tops == ends.size or (darks is not None and int(darks[:, place].sum()) < number):
            continue
        parts = [None if darks is None else darks[:, place : place + 1]]
        parts += [_sets(supply, medium, start, ends[tops:])]
        parts += [None if lights is None else lights[:, tops:]]
        sets = _together(parts, ends.size - tops)
        for best in _worth_it(sets, number):
            middle, top = (start, int(ends[tops + best])), int(after[tops + best])
            found.append((int(sets[best]), {dark: (0, end), medium: middle, pale: (top, size)}))
    return _best(found)


def _two(
    values: Sequence[Value],
    supply: Mapping[Value, Supply],
    ends: Whole,
    after: Whole,
    number: int,
    size: int,
) -> list[Stretches]:
    parts = [_sets(supply, values[0], 0, ends), _sets(supply, values[1], after, size)]
    known = [part for part in parts if part is not None]
    sets = np.minimum.reduce(known).sum(axis=0) if known else np.full(ends.size, number)
    return _best(
        [
            (int(sets[place]), {values[0]: (0, int(ends[place])),
                                values[1]: (int(after[place]), size)})
            for place in np.flatnonzero(sets >= number).tolist()
        ]
    )  # fmt: skip


def _sets(
    supply: Mapping[Value, Supply], value: Value, start: Whole | int, end: Whole | int
) -> Whole | None:
    return supply[value].between(start, end) if value in supply else None


def _together(parts: Sequence[Whole | None], width: int) -> Whole:
    """Return how many sets the families give together at each threshold."""
    known = [part for part in parts if part is not None]
    if not known:
        return np.full(width, NO_LIMIT)
    least = known[0]
    for part in known[1:]:
        least = np.minimum(least, part)
    return np.asarray(np.broadcast_to(least, (len(least), width)).sum(axis=0))


def _worth_it(sets: Whole, number: int) -> list[int]:
    """Return the threshold with the most sets, and the last with enough: most mediums there."""
    enough = np.flatnonzero(sets >= number)
    return sorted({int(np.argmax(sets)), int(enough[-1])}) if enough.size else []


def _best(found: list[tuple[int, Stretches]]) -> list[Stretches]:
    found.sort(key=lambda one: -one[0])
    return [stretches for _, stretches in found[:WORTH_A_LOOK]]


def _thinned(ends: Whole) -> Whole:
    if ends.size <= MOST_THRESHOLDS:
        return ends
    return ends[np.unique(np.linspace(0, ends.size - 1, MOST_THRESHOLDS).astype(np.int64))]
