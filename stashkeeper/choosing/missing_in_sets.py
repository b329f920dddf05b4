"""The one fabric that would help sets most: its value, its colour family and its lightness."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.chains import Band, laid, most_laid
from stashkeeper.choosing.set_kinds import WHOLE_SHELF, Kind
from stashkeeper.choosing.sets import Sets
from stashkeeper.choosing.shelf import BLACK, PER_LIGHTNESS, WHITE, Whole, ends_of_cloth
from stashkeeper.cloth.value import Value


@dataclass(frozen=True, slots=True)
class Lacking:
    """A fabric that would help: the ask it serves, its family, its lightness, the gap it brings."""

    ask: Ask
    family: str
    low: int
    high: int
    gap: int


def missing_in_sets(way: Sets, gap: int) -> Lacking | None:
    """Return the fabric that would widen the gap inside sets most, or None.

    Answered where all sets ask alike, none holds a kept fabric, and each takes one fabric of a
    value. One fabric more makes at most one set more.

    Args:
        way: the choice in sets.
        gap: the gap inside sets now, in millionths of L*.
    """
    kind = way.kinds[0]
    alike = len(way.kinds) == 1 and not kind.sets[0].kept and len(kind.grades) > 1
    if not alike or any(grade.count != 1 for grade in kind.grades):
        return None
    imagined = _Imagined(way, kind)
    low, high = gap, WHITE
    while high - low > PER_LIGHTNESS // 100:
        middle = (low + high) // 2
        if next(imagined.helping(middle), None):
            low = middle
        else:
            high = middle
    found = next(imagined.helping(low), None)
    if found is None or low - gap < PER_LIGHTNESS // 10:
        return None
    family, value, lightness = found
    grade = next(grade for grade in kind.grades if grade.value is value)
    span = imagined.span(family, value, lightness, low)
    return Lacking(grade.asks[0], way.families[family], *span, low)


class _Imagined:
    """Sets with one fabric imagined in one family."""

    def __init__(self, way: Sets, kind: Kind) -> None:
        self._kind = kind
        self._number = len(kind.sets)
        self._light = np.append(way.light, 0)
        self._ends = ends_of_cloth(way.light)
        self._bands = [
            kind.bands(way.family_flags(family), WHOLE_SHELF) for family in range(len(way.families))
        ]

    def helping(self, gap: int) -> Iterator[tuple[int, Value, int]]:
        """Yield family, value and lightness of a fabric with which there are sets enough."""
        given = [self._given(bands, gap) for bands in self._bands]
        if sum(given) < self._number - 1:
            return
        for family, count in enumerate(given):
            for grade in self._kind.grades:
                for lightness in self._tries(family, grade.value, count, gap):
                    if self._laid(family, grade.value, lightness, gap, count + 1):
                        yield family, grade.value, lightness

    def span(self, family: int, value: Value, lightness: int, gap: int) -> tuple[int, int]:
        """Return how far the lightness may move either way before the fabric helps no more."""
        count = self._given(self._bands[family], gap) + 1

        def helps(tried: int) -> bool:
            return self._laid(family, value, tried, gap, count)

        return _reach(helps, lightness, BLACK), _reach(helps, lightness, WHITE)

    def _given(self, bands: list[Band], gap: int) -> int:
        return most_laid(self._light, bands, gap, self._number)

    def _tries(self, family: int, value: Value, count: int, gap: int) -> list[int]:
        """Return the lightnesses worth imagining for a value."""
        values = [grade.value for grade in self._kind.grades]
        if value is values[0]:
            return [self._ends[0]]
        if value is values[-1]:
            return [self._ends[1]]
        darks = self._bands[family][0].fabrics[: count + 1]
        return [min(int(self._light[dark]) + gap, WHITE) for dark in darks]

    def _laid(self, family: int, value: Value, lightness: int, gap: int, number: int) -> bool:
        """Tell whether a family with one more fabric gives so many sets."""
        light = self._light.copy()
        light[-1] = lightness
        bands = [
            Band(_with(band.fabrics, light), band.count) if grade.value is value else band
            for grade, band in zip(self._kind.grades, self._bands[family], strict=True)
        ]
        return laid(light, bands, gap, number) is not None


def _with(fabrics: Whole, light: Whole) -> Whole:
    """Return the fabrics with the imagined one, the last, where it belongs by lightness."""
    place = np.searchsorted(light[fabrics], light[-1], "left")
    return np.insert(fabrics, place, len(light) - 1)


def _reach(helps: Callable[[int], bool], start: int, end: int) -> int:
    """Return how far towards `end` a fabric still helps, to a hundredth of L*."""
    good, bad = start, end
    if helps(end):
        return end
    while abs(bad - good) > PER_LIGHTNESS // 100:
        middle = (good + bad) // 2
        if helps(middle):
            good = middle
        else:
            bad = middle
    return good
