"""Missing: which one fabric, not on the shelf, would help most; its lightness, colour and size."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.groups import levels_of
from stashkeeper.choosing.missing_in_sets import missing_in_sets
from stashkeeper.choosing.needs import CutsNeeded
from stashkeeper.choosing.picking import Picked
from stashkeeper.choosing.search import Search, surely
from stashkeeper.choosing.sets import Sets
from stashkeeper.choosing.shelf import PER_LIGHTNESS, Shelf, ends_of_cloth
from stashkeeper.choosing.solving import Solver, Way
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.colour_family import colour_family

LEAST_GAIN: Final = PER_LIGHTNESS // 10
"""A fabric that widens the gap by less, in millionths of L*, is not worth buying (ours)."""


@dataclass(frozen=True, slots=True)
class Missing:
    """The one fabric that would help most.

    Attributes:
        role: the role it would play.
        value: its value.
        darkest, lightest: between which lightnesses it should lie, L*.
        family: the colour family it should have; None where any goes.
        cuts: what it must give.
        gap: what the smaller gap (inside sets where there are any) would become, in L*.
        gained: by how much that is more than now; all of it where there is no choice now.
    """

    role: str
    value: Value
    darkest: float
    lightest: float
    family: str | None
    cuts: tuple[CutsNeeded, ...]
    gap: float
    gained: float

    @property
    def told(self) -> str:
        """The same in a sentence."""
        low, high = math.ceil(self.darkest), math.floor(self.lightest)
        where = f"L* {low} to {high}" if low < high else f"L* {self.darkest:.1f}"
        where = f"L* up to {high}" if low <= 0 else where
        where = f"L* from {low}" if high >= 100 else where
        colour = f"{self.family} " if self.family else ""
        size = " and ".join(str(cut.count) for cut in self.cuts)
        giving = f" that gives {size} cuts" if size else ""
        return (
            f"One more {colour}fabric for {self.role} with {where}{giving} would help most: "
            f"the smaller gap would become {self.gap:.1f}."
        )


def missing_fabric(
    solver: Solver, way: Way, picked: Picked | None = None, gap: int | None = None
) -> Missing | None:
    """Return the one fabric that would help most, or None where none helps.

    Args:
        solver: the needs and the shelf.
        way: the choice with its kept fabrics.
        picked: the selection it would join; None where there is none.
        gap: the smaller gap now, in millionths of L*.
    """
    if isinstance(way, Sets):
        return None if gap is None else _in_sets(way, gap)
    found = _Imagined(solver.shelf, way.asks).best(gap or 0)
    if found is None:
        return None
    ask, imagined, new = found
    low, high = imagined.span(ask, new)
    need = ask.need
    return Missing(
        need.role,
        need.value or Value.MEDIUM,
        low / PER_LIGHTNESS,
        high / PER_LIGHTNESS,
        need.family or _family(solver.shelf, picked, (low + high) / 2 / PER_LIGHTNESS),
        imagined.smallest(ask, new),
        new / PER_LIGHTNESS,
        (new - (gap or 0)) / PER_LIGHTNESS,
    )


def _in_sets(way: Sets, gap: int) -> Missing | None:
    found = missing_in_sets(way, gap)
    if found is None:
        return None
    need = found.ask.need
    return Missing(
        need.role,
        need.value or Value.MEDIUM,
        found.low / PER_LIGHTNESS,
        found.high / PER_LIGHTNESS,
        found.family,
        need.cuts,
        found.gap / PER_LIGHTNESS,
        (found.gap - gap) / PER_LIGHTNESS,
    )


def _family(shelf: Shelf, picked: Picked | None, lightness: float) -> str | None:
    """Return the colour family at a lightness that lies in the middle of the colours chosen."""
    readings = [shelf.readings[fabric] for fabrics in (picked or {}).values() for fabric in fabrics]
    known = [(one.a, one.b) for one in readings if one.a is not None and one.b is not None]
    if not known:
        return None
    a, b = (sum(axis) / len(known) for axis in zip(*known, strict=True))
    return str(colour_family(lightness, a, b))


class _Imagined:
    """The search with one fabric imagined: the ask it serves wants one fabric less."""

    def __init__(self, shelf: Shelf, asks: Sequence[Ask]) -> None:
        self._shelf = shelf
        self._asks = asks

    def best(self, gap: int) -> "tuple[Ask, _Imagined, int] | None":
        """Return the ask for which a fabric helps most, and the gap it brings."""
        tried = [(self._gap(less), -place, ask) for place, (ask, less) in enumerate(self._each())]
        new, _, ask = max(tried, default=(0, 0, None), key=lambda one: one[:2])
        return None if ask is None or new - gap < LEAST_GAIN else (ask, self, new)

    def span(self, ask: Ask, gap: int) -> tuple[int, int]:
        """Return between which lightnesses the fabric must lie to bring this gap."""
        search = self._search(_less(ask, None))
        place = [level.value for level in search.levels].index(ask.need.value or Value.MEDIUM)
        return search.span(place, gap)

    def smallest(self, ask: Ask, gap: int) -> tuple[CutsNeeded, ...]:
        """Return the fewest cuts the fabric must give to bring this gap."""
        if not ask.totals or len(ask.totals) > 1 or not ask.need.cuts:
            return ask.need.cuts
        low, high = 1, ask.totals[0].wanted
        while low < high:
            middle = (low + high) // 2
            if self._gap(_less(ask, middle)) >= gap:
                high = middle
            else:
                low = middle + 1
        return (replace(ask.need.cuts[0], count=low),)

    def _each(self) -> Iterator[tuple[Ask, Ask]]:
        seen: set[tuple[str, Value]] = set()
        for ask in self._asks:
            value = ask.need.value
            if value is not None and ask.count != 0 and (ask.need.role, value) not in seen:
                seen.add((ask.need.role, value))
                yield ask, _less(ask, None)

    def _search(self, less: Ask) -> Search:
        asks = [less if ask.number == less.number else ask for ask in self._asks]
        light = self._shelf.light
        return Search(light, levels_of(asks), surely, *ends_of_cloth(light))

    def _gap(self, less: Ask) -> int:
        search = self._search(less)
        return 0 if len(search.levels) < 2 else search.best_gap() or 0


def _less(ask: Ask, gives: int | None) -> Ask:
    """Return an ask that a fabric giving so much (all of it where None) has served in part."""
    totals = tuple(
        replace(total, wanted=0 if gives is None else max(total.wanted - gives, 0))
        for total in ask.totals
    )
    return replace(ask, count=None if ask.count is None else ask.count - 1, totals=totals)
