"""How many equal cuts one piece holds, exactly, when it is cut edge to edge and cuts may be turned.

A best way to cut a rectangle into equal ones has at most three stages: two first cuts, parallel,
make three sections; each section is cut into strips, some as high as the cut is wide and some as
high as it is long; the strips are cross-cut. (Tarnowski, Terno and Scheithauer, "A polynomial time
algorithm for the guillotine pallet loading problem", INFOR 32, 1994, split the problem into three
such parts. The tests compare with a full Gilmore-Gomory table.)

So a table needs only the lengths that sums of the two sides can reach (raster points). Beyond
three common multiples of the sides, one common multiple more adds the same number every time:
one of the three sections is then longer than it and can be split there.

Lengths in this file are whole numbers in units of the greatest common divisor of the two sides.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

type Whole = NDArray[np.int64]
type Counts = NDArray[np.signedinteger]

LARGEST_LOOKUP = 4_000_000
MOST_COLUMNS = 2_000


def raster(short: int, long: int, limit: int) -> Whole:
    """Return every sum of whole multiples of two lengths that does not exceed `limit`, sorted."""
    ones = np.arange(0, limit + 1, short, dtype=np.int64)
    others = np.arange(0, limit + 1, long, dtype=np.int64)
    sums = np.add.outer(ones, others).ravel()
    return np.unique(sums[sums <= limit])


def floor_index(points: Whole, values: Whole) -> Whole:
    """Return for each value the index of the last point that does not exceed it."""
    top = int(points[-1])
    if top > LARGEST_LOOKUP or values.size < 1_000:
        return np.searchsorted(points, values, side="right").astype(np.int64) - 1
    lookup = np.searchsorted(points, np.arange(top + 1), side="right") - 1
    return np.asarray(lookup[np.minimum(values, top)], dtype=np.int64)


def breakpoints(p: int, q: int, limit: int) -> Whole:
    """Return the multiples of `p` or `q` up to `limit`: where a section holds more in a strip."""
    return np.unique(
        np.concatenate([np.arange(0, limit + 1, p), np.arange(0, limit + 1, q)]).astype(np.int64)
    )


def strips_in_sections(p: int, q: int, sections: Whole, heights: Whole) -> Whole:
    """Return how many p × q one section holds in strips: a row a section, a column a height.

    A strip of height p holds ⌊section / q⌋, one of height q holds ⌊section / p⌋. Where many of
    both kinds fit, p/1 of one kind can be exchanged for q/1 of the other at a common multiple, so
    few of one of the kinds suffice.
    """
    low, high = (sections // q)[:, None], (sections // p)[:, None]
    tallest = int(heights[-1]) if heights.size else 0
    best = np.zeros((sections.size, heights.size), dtype=np.int64)
    for step, fill, single, rest in ((p, q, low, high), (q, p, high, low)):
        for strips in range(min(tallest // step, fill) + 1):
            left = heights - strips * step
            counts = np.where(left >= 0, left // fill, 0)
            held = rest * counts + np.where(left >= 0, strips, 0) * single
            np.maximum(best, held, out=best)
    return best


def best_sections(p: int, q: int, points: Whole, heights: Whole) -> Whole:
    """Return how many p × q three sections hold: a row a total of the sections, a column a height.

    `points` are the totals, raster points from 0 without gaps.
    """
    stops = breakpoints(p, q, int(points[-1]))
    one = strips_in_sections(p, q, stops, heights).astype(_narrowest(p, q, points, heights))
    alone = one[floor_index(stops, points)]
    two = _with_a_section(alone, one, stops, points, 2)
    return _with_a_section(two, one, stops, points, 3)


def _narrowest(p: int, q: int, points: Whole, heights: Whole) -> type[np.signedinteger]:
    """Return the smallest type that holds every count: small types are several times faster."""
    most = int(points[-1]) * int(heights[-1] if heights.size else 0) // (p * q)
    return np.int16 if most < 2**15 else np.int32 if most < 2**31 else np.int64


def _with_a_section(others: Counts, one: Counts, stops: Whole, points: Whole, parts: int) -> Counts:
    """Add one more section, no longer than its share of the total, wherever that holds more."""
    best = others.copy()
    for row, stop in enumerate(stops.tolist()[1:], start=1):
        first = int(np.searchsorted(points, stop * parts))
        if first == points.size:
            break
        rest = np.searchsorted(points, points[first:] - stop, side="right") - 1
        np.maximum(best[first:], others[rest] + one[row], out=best[first:])
    return best


@dataclass(frozen=True, slots=True)
class Sections:
    """Counts for one way round: sections along one axis, strips within them along the other.

    Attributes:
        points: totals of the sections, below three common multiples.
        counts: a row a total, a column a height.
        period: the common multiple of the sides.
        each_period: what one more common multiple adds, a column a height.
    """

    points: Whole
    counts: Counts
    period: int
    each_period: Whole

    @classmethod
    def build(cls, p: int, q: int, longest: int, heights: Whole) -> "Sections":
        """Count for totals up to `longest` and the given heights (sorted)."""
        period = p * q // math.gcd(p, q)
        points = raster(p, q, min(longest, 3 * period - 1))
        each = strips_in_sections(p, q, np.array([period]), heights)[0]
        return cls(points, best_sections(p, q, points, heights), period, each)

    def at(self, totals: Whole) -> Whole:
        """Return the counts for each total (a row) and each height (a column)."""
        periods = np.maximum(totals // self.period - 2, 0)
        rows = floor_index(self.points, totals - periods * self.period)
        more = periods[:, None] * self.each_period
        return self.counts[rows].astype(np.int64) + more


@dataclass(frozen=True, slots=True)
class Table:
    """How many p × q a rectangle holds, for every width and length of a shelf.

    Attributes:
        widths, lengths: the raster points the table knows, sorted, from 0.
        counts: a row a width, a column a length.
    """

    widths: Whole
    lengths: Whole
    counts: Whole

    @classmethod
    def build(cls, p: int, q: int, widths: Whole, lengths: Whole) -> "Table":
        """Count for a shelf of pieces with these widths and lengths, turning allowed."""
        columns, rows = _points(p, q, widths), _points(p, q, lengths)
        upright = Sections.build(p, q, int(columns[-1]), rows).at(columns)
        lying = Sections.build(p, q, int(rows[-1]), columns).at(rows)
        return cls(columns, rows, np.maximum(upright, lying.T))

    def count(self, widths: Whole, lengths: Whole) -> Whole:
        """Return the count of each of these pieces, none larger than the table was built for."""
        return self.counts[floor_index(self.widths, widths), floor_index(self.lengths, lengths)]

    def narrowest(self, count: int, widths: Whole, lengths: Whole) -> tuple[Whole, Whole]:
        """Return the least width and the least length of each piece that still hold `count`.

        Where none does, the width or length of the piece itself.
        """
        enough = self.counts >= count
        least_width = self.widths[enough.argmax(axis=0)]
        least_length = self.lengths[enough.argmax(axis=1)]
        row, column = floor_index(self.widths, widths), floor_index(self.lengths, lengths)
        return (
            np.where(enough[-1, column], least_width[column], widths),
            np.where(enough[row, -1], least_length[row], lengths),
        )


def _points(p: int, q: int, values: Whole) -> Whole:
    """Return every raster point up to the largest value; where they are many, those in use."""
    points = raster(p, q, int(values.max(initial=0)))
    if points.size <= MOST_COLUMNS:
        return points
    used = np.unique(floor_index(points, values))
    return np.asarray(points[np.union1d(used, [0])], dtype=np.int64)
