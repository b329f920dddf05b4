"""Chains: as many sets as one colour family gives, each with so many fabrics from dark to light.

In every set neighbouring values lie at least a gap apart, and no fabric serves twice. Where every
level draws on fabrics of its own, sorted darks, mediums and lights go together in order: uncrossing
two sets never breaks them. Where all levels draw on the same fabrics, one of each to a set, the
darkest fabrics are the darks and the lightest the lights: of k + 1 fabrics that lie within less
than a gap, two would have to be in the same one of k sets. Both arguments are ours. In between, the
layings tried here are sound, and `most_may` says what cannot be exceeded.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from stashkeeper.choosing.every_chain import EveryChain
from stashkeeper.choosing.shelf import Whole

type Chains = list[Whole]
"""For each level, from dark to light, one row of fabrics a set."""

NO_LIMIT = 1 << 60
_NOTHING = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Band:
    """The fabrics that may serve one level, from dark to light, and how many a set takes."""

    fabrics: Whole
    count: int


def laid(light: Whole, bands: Sequence[Band], gap: int, number: int) -> Chains | None:
    """Return `number` sets, or None if none of the layings tried gives so many.

    Args:
        light: the lightness of all fabrics.
        bands: one a level, from dark to light.
        gap: the least difference between neighbouring levels of a set.
        number: how many sets.
    """
    found = _quickly(light, bands, gap, number)
    if found is None and _tangled(bands) and most_may(light, bands, gap, number) == number:
        rows = _every(light, bands, gap).laid(number)
        if rows is not None:
            counts = [band.count for band in bands]
            return np.split(np.array(rows), np.cumsum(counts)[:-1], axis=1)
    return found


def most_laid(light: Whole, bands: Sequence[Band], gap: int, limit: int = NO_LIMIT) -> int:
    """Return the most sets, up to `limit`, that were found."""
    low, high = 0, min(limit, *(band.fabrics.size // band.count for band in bands))
    while low < high:
        middle = (low + high + 1) // 2
        if _quickly(light, bands, gap, middle) is None:
            high = middle - 1
        else:
            low = middle
    if low < limit and _tangled(bands):
        while low < limit and laid(light, bands, gap, low + 1) is not None:
            low += 1
    return low


def most_may(light: Whole, bands: Sequence[Band], gap: int, limit: int = NO_LIMIT) -> int:
    """Return a number of sets, up to `limit`, that cannot be exceeded."""
    every = _union(bands)
    together = every.size // sum(band.count for band in bands)
    most = min(limit, together, *(band.fabrics.size // band.count for band in bands))
    if len(bands) == 1:
        return most
    for one, other in pairwise(bands):
        pair = np.union1d(one.fabrics, other.fabrics).size
        most = min(most, pair // (one.count + other.count))
    most = _most(light, bands, gap, most)
    most = _most(light, [Band(every, 1)] * len(bands), gap, most, apart=True)
    while most and _tangled(bands) and _quickly(light, bands, gap, most) is None:
        search = _every(light, bands, gap)
        if search.laid(most) is not None or search.open:
            break
        most -= 1
    return most


def _quickly(light: Whole, bands: Sequence[Band], gap: int, number: int) -> Chains | None:
    """Return sets by the layings that need no search."""
    ways = (_laid(light, bands, gap, number, shy) for shy in _ways(bands))
    return next((found for found in ways if found is not None), None)


def _tangled(bands: Sequence[Band]) -> bool:
    """Tell whether levels share fabrics, and no argument says who is to have them."""
    return len(_ways(bands)) > 1


def _every(light: Whole, bands: Sequence[Band], gap: int) -> EveryChain:
    return EveryChain(light, [band.fabrics for band in bands], [band.count for band in bands], gap)


def _most(light: Whole, bands: Sequence[Band], gap: int, limit: int, apart: bool = False) -> int:
    """Return the most sets where levels share no fabric, or (apart) where all share them all."""
    low, high = 0, limit
    while low < high:
        middle = (low + high + 1) // 2
        if _joined(light, bands, gap, middle, apart) is None:
            high = middle - 1
        else:
            low = middle
    return low


def _joined(
    light: Whole, bands: Sequence[Band], gap: int, number: int, apart: bool
) -> Chains | None:
    if apart:
        return _laid(light, bands, gap, number, ())
    darks = bands[0].fabrics[: number * bands[0].count]
    last = bands[-1]
    lights = last.fabrics[last.fabrics.size - number * last.count :]
    return _between(light, bands, gap, darks, lights, bands[1].fabrics)


def _ways(bands: Sequence[Band]) -> list[tuple[int, ...]]:
    """Return which levels first take the fabrics that no other level could use."""
    alike = bands[0].count == 1 and all(_same(bands[0], band) for band in bands)
    if alike or len(bands) == 1:
        return [()]
    if not any(
        np.intersect1d(one.fabrics, other.fabrics).size
        for place, one in enumerate(bands)
        for other in bands[:place]
    ):
        return [()]
    return [(), (0,), (len(bands) - 1,), (0, len(bands) - 1)]


def _laid(
    light: Whole, bands: Sequence[Band], gap: int, number: int, shy: Sequence[int]
) -> Chains | None:
    """Return sets of the darkest darks and the lightest lights, mediums between them."""
    first, last = bands[0], bands[-1]
    if number * first.count > first.fabrics.size:
        return None
    others = _union(bands[1:]) if 0 in shy else _NOTHING
    darks = _first(first.fabrics, number * first.count, others)
    if len(bands) == 1:
        return [darks.reshape(number, first.count)]
    rest = _without(last.fabrics, darks)
    if number * last.count > rest.size:
        return None
    others = _union(bands[:-1]) if len(bands) - 1 in shy else _NOTHING
    lights = _first(rest[::-1], number * last.count, others)
    mediums = _without(_without(bands[1].fabrics, darks), lights)
    return _between(light, bands, gap, darks, lights, mediums)


def _between(
    light: Whole, bands: Sequence[Band], gap: int, darks: Whole, lights: Whole, mediums: Whole
) -> Chains | None:
    """Return sets of these darks and lights in order, each with the darkest mediums that go."""
    dark = darks.reshape(-1, bands[0].count)
    pale = lights.reshape(-1, bands[-1].count)
    floor, ceiling = light[dark[:, -1]] + gap, light[pale[:, 0]]
    if len(bands) == 2:
        return [dark, pale] if bool((floor <= ceiling).all()) else None
    count, number = bands[1].count, len(dark)
    steps = np.arange(number) * count
    starts = np.searchsorted(light[mediums], floor, "left") - steps
    starts = np.maximum.accumulate(starts) + steps if number else starts
    if number and int(starts[-1]) + count > mediums.size:
        return None
    middle = mediums[starts[:, np.newaxis] + np.arange(count)]
    fits = light[middle[:, -1]] + gap <= ceiling
    return [dark, middle, pale] if bool(fits.all()) else None


def _first(fabrics: Whole, number: int, others: Whole) -> Whole:
    """Return the first so many fabrics in rising order; those not in `others` come first."""
    if others.size:
        fabrics = fabrics[np.argsort(np.isin(fabrics, others), kind="stable")]
    return np.sort(fabrics[:number])


def _without(fabrics: Whole, taken: Whole) -> Whole:
    return fabrics[~np.isin(fabrics, taken, assume_unique=True)]


def _union(bands: Sequence[Band]) -> Whole:
    return np.unique(np.concatenate([band.fabrics for band in bands]))


def _same(one: Band, other: Band) -> bool:
    return one.count == other.count and np.array_equal(one.fabrics, other.fabrics)
