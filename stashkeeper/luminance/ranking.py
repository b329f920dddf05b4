"""Rank fabrics by lightness into light, medium and dark."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stashkeeper.cloth.reading import Reading
from stashkeeper.cloth.value import Value

STRADDLES_BY = 5.0
"""A print straddles a boundary when it reaches this far, in L*, to either side of it: as far
apart as two fabrics must be to count as different (ours)."""

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Bands:
    """Fixed bands for the whole shelf, in L* (ours, adjustable).

    Attributes:
        dark_below: anything darker is dark.
        light_from: this and anything lighter is light; what is left is medium.
    """

    dark_below: float = 40.0
    light_from: float = 65.0

    @property
    def boundaries(self) -> tuple[float, float]:
        """Where groups meet, darker first."""
        return self.dark_below, self.light_from


def value_by_bands(lightness: float, bands: Bands) -> Value:
    """Return the group of a lightness by fixed bands."""
    if lightness >= bands.light_from:
        return Value.LIGHT
    return Value.DARK if lightness < bands.dark_below else Value.MEDIUM


def split_three(lightnesses: Sequence[float]) -> list[Value]:
    """Return the value of each lightness by the best split into three groups.

    Best is the least sum of squared distances to the groups' means; it is exact (one-dimensional
    k-means, k = 3). Equal lightnesses stay together. Two distinct lightnesses are light and dark;
    one alone is medium, having nothing to be lighter or darker than.
    """
    numbers = np.asarray(lightnesses, dtype=np.float64)
    distinct, group_of, counts = np.unique(numbers, return_inverse=True, return_counts=True)
    first, second = _breaks(distinct, counts)
    return [
        Value.DARK if place < first else Value.MEDIUM if place < second else Value.LIGHT
        for place in group_of.tolist()
    ]


def split_boundaries(lightnesses: Sequence[float], values: Sequence[Value]) -> tuple[float, ...]:
    """Return where the groups of a split meet: half way between neighbours, darker first."""
    groups = [
        [light for light, value in zip(lightnesses, values, strict=True) if value is group]
        for group in (Value.DARK, Value.MEDIUM, Value.LIGHT)
    ]
    filled = [group for group in groups if group]
    return tuple((max(darker) + min(lighter)) / 2 for darker, lighter in pairwise(filled))


def straddles(reading: Reading, boundaries: Sequence[float]) -> bool:
    """Tell whether a busy print belongs to two groups at once.

    It does where a boundary lies within one standard deviation of its lightness and the print
    reaches well to both sides, by its 2nd and 98th percentile. (A few white dots on navy reach far,
    but the cloth is dark all the same.)
    """
    spread = reading.spread
    return spread is not None and any(
        abs(reading.lightness - boundary) <= spread.deviation
        and spread.low <= boundary - STRADDLES_BY
        and spread.high >= boundary + STRADDLES_BY
        for boundary in boundaries
    )


class _Costs:
    """Sums of squared distances to the mean for any stretch of sorted, counted numbers."""

    def __init__(self, numbers: Floats, counts: Indices) -> None:
        centred = numbers - np.average(numbers, weights=counts)
        self.weight = _running(counts.astype(np.float64))
        self.sum = _running(counts * centred)
        self.square = _running(counts * centred**2)

    def between(self, start: Indices, end: Indices) -> Floats:
        """Return the cost of numbers start … end − 1 as one group."""
        weight = self.weight[end] - self.weight[start]
        total = self.sum[end] - self.sum[start]
        cost: Floats = self.square[end] - self.square[start] - total**2 / weight
        return cost


def _running(numbers: Floats) -> Floats:
    """Return the running sums, with a zero in front."""
    return np.concatenate(([0.0], np.cumsum(numbers)))


def _breaks(distinct: Floats, counts: Indices) -> tuple[int, int]:
    """Return where medium and where light begin among the distinct lightnesses."""
    size = len(distinct)
    if size < 3:
        return (0, 1) if size == 1 else (1, 1)
    costs = _Costs(distinct, counts)
    ends = np.arange(2, size)
    splits = _best_splits(costs, ends)
    total = (
        costs.between(np.zeros_like(splits), splits)
        + costs.between(splits, ends)
        + costs.between(ends, np.full_like(ends, size))
    )
    best = int(np.argmin(total))
    return int(splits[best]), int(ends[best])


def _best_splits(costs: _Costs, ends: Indices) -> Indices:
    """Return, for each end, where the best split in two of all numbers before it lies.

    The best split only moves up as the end moves up, so that the middle end's split bounds those
    of both halves: divide and conquer, one whole level at a time, O(n log n).
    """
    splits = np.zeros_like(ends)
    low, high = np.array([0]), np.array([len(ends)])  # halves of `ends`, high outside
    least, most = np.array([1]), np.array([int(ends[-1])])  # where their splits may lie
    while len(low):
        middle = (low + high) // 2
        found = _cheapest(costs, least, np.minimum(most, ends[middle] - 1), ends[middle])
        splits[middle] = found
        low, high = np.concatenate((low, middle + 1)), np.concatenate((middle, high))
        least, most = np.concatenate((least, found)), np.concatenate((found, most))
        left = low < high
        low, high, least, most = low[left], high[left], least[left], most[left]
    return splits


def _cheapest(costs: _Costs, least: Indices, most: Indices, ends: Indices) -> Indices:
    """Return the cheapest split between `least` and `most` (inclusive) before each of `ends`."""
    sizes = most - least + 1
    starts = np.cumsum(sizes) - sizes
    tried = np.arange(int(sizes.sum())) - np.repeat(starts - least, sizes)
    cost = costs.between(np.zeros_like(tried), tried) + costs.between(tried, np.repeat(ends, sizes))
    cheapest = np.repeat(np.minimum.reduceat(cost, starts), sizes)
    first = np.where(cost == cheapest, tried, np.iinfo(np.int64).max)
    return np.minimum.reduceat(first, starts)
