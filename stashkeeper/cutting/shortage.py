"""When cloth is short: the largest size at which everything still fits, or what is missing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, check_cuts, may_come_from
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.planner import Plans, attempt_cuts
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size

SEAM: Final = Length.from_inches("1/4")
"""The seam allowance on each side of a cut (common practice)."""

STEP: Final = Length.from_inches("1/2")
"""Quilters change a finished size by half an inch (common practice)."""

MARK: Final = Length.from_inches("1/8")
"""The ruler mark a smaller cut is rounded up to."""


@dataclass(frozen=True, slots=True)
class Change:
    """How one cut changes: as it was asked for, and as it would be."""

    name: str
    before: Size
    after: Size


@dataclass(frozen=True, slots=True)
class Shrunk:
    """The largest size at which everything still fits.

    Attributes:
        before, after: the longest finished side of any cut, as asked for and as it would be.
        changes: what becomes of each cut.
        cuts: the cuts at that size.
        plans: plans for them.
    """

    before: Length
    after: Length
    changes: tuple[Change, ...]
    cuts: tuple[Cut, ...]
    plans: Plans


@dataclass(frozen=True, slots=True)
class WhatFits:
    """Cuts that all fit: the number they were made for, and plans for them."""

    number: int
    cuts: tuple[Cut, ...]
    plans: Plans


@dataclass(frozen=True, slots=True)
class Sizing:
    """How sizes may change.

    Attributes:
        seam: on each side of a cut.
        step: of a finished size.
        mark: of the ruler, which a cut is rounded up to.
        strips: the names of cuts that run across the whole fabric, however long that is.
    """

    seam: Length = SEAM
    step: Length = STEP
    mark: Length = MARK
    strips: frozenset[str] = frozenset()

    def sides(self, cut: Cut) -> tuple[Length, ...]:
        """Return the sides of a cut that may change."""
        if cut.name in self.strips:
            return (cut.size.length,)
        return (cut.size.width, cut.size.length)


def longest_finished(cuts: Sequence[Cut], sizing: Sizing) -> Length:
    """Return the longest finished side of any cut: the cut less its two seams."""
    return max(side - sizing.seam * 2 for cut in cuts for side in sizing.sides(cut))


def resized(cuts: Sequence[Cut], longest: Length, sizing: Sizing | None = None) -> tuple[Cut, ...]:
    """Return the cuts with the longest finished side `longest` and all others in proportion.

    Seams stay as they are; each side is rounded up to a ruler mark, and never grows.
    """
    sizing = sizing or Sizing()
    share = Fraction(longest.ticks, max(longest_finished(cuts, sizing).ticks, 1))

    def side(cut: Length) -> Length:
        finished = cut - sizing.seam * 2
        if finished.ticks <= 0:
            return cut
        smaller = Length(-int(-finished.ticks * share // 1)) + sizing.seam * 2
        return min(smaller.rounded_to(sizing.mark, Rounding.UP), cut)

    def smaller(cut: Cut) -> Size:
        whole = cut.name in sizing.strips
        return Size(cut.size.width if whole else side(cut.size.width), side(cut.size.length))

    return tuple(replace(cut, size=smaller(cut)) for cut in cuts)


def shrink_to_fit(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    sizing: Sizing | None = None,
    seconds: float = 4.0,
    engine: Engine | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Shrunk | None:
    """Return the largest size, in steps a quilter would use, at which everything fits.

    Args:
        cloths: what there is to cut from.
        cuts: what was asked for.
        sizing: how sizes may change, by default ½ in of finished size.
        seconds: how long to search in all.
        engine: a solver already running; by default one is started.
        stop: asked many times a second; once it says yes, the best so far is returned.

    Returns:
        The cuts at that size with their plans, or None where not even one step of finished size
        fits.

    Raises:
        BadCutError: cuts that nobody can plan.
    """
    check_cuts(cuts)
    sizing = sizing or Sizing()
    before = longest_finished(cuts, sizing)
    high = -(-before.ticks // sizing.step.ticks) - 1
    found = most_that_fits(
        cloths, lambda number: resized(cuts, sizing.step * number, sizing), high,
        seconds=seconds, engine=engine, stop=stop,
    )  # fmt: skip
    if found is None:
        return None
    changes = tuple(
        Change(cut.name, cut.size, less.size) for cut, less in zip(cuts, found.cuts, strict=True)
    )
    return Shrunk(before, sizing.step * found.number, changes, found.cuts, found.plans)


def most_that_fits(
    cloths: Sequence[Cloth],
    cuts_at: Callable[[int], Sequence[Cut] | None],
    most: int,
    *,
    seconds: float = 4.0,
    engine: Engine | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> WhatFits | None:
    """Return the largest number whose cuts all fit; None where not even those of 1 do.

    Halves the range, because larger cuts never come out more often.

    Args:
        cloths: what there is to cut from.
        cuts_at: gives the cuts for a number, such as one of half inches; None where it is too
            small to be sewn.
        most: the largest number that is tried.
        seconds: how long to search in all.
        engine: a solver already running; by default one is started.
        stop: asked many times a second; once it says yes, the best so far is returned.
    """
    solver = engine or Engine(stop)
    best: WhatFits | None = None
    low, high = 1, most
    try:
        while low <= high and not stop():
            middle = (low + high) // 2
            cuts = cuts_at(middle)
            if cuts is None:
                low = middle + 1
                continue
            plans = None
            if _by_area(cloths, cuts):
                each = seconds / max(most.bit_length(), 1)
                plans = attempt_cuts(cloths, cuts, seconds=each, engine=solver).plans
            if plans is None:
                high = middle - 1
            else:
                best, low = WhatFits(middle, tuple(cuts), plans), middle + 1
    finally:
        if engine is None:
            solver.close()
    return best


def _by_area(cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> bool:
    """Tell whether the area would do; quicker than finding out that no plan does."""
    useful = [cloth for cloth in cloths if any(may_come_from(cut, cloth) for cut in cuts)]
    wanted = sum(cut.size.area * cut.count for cut in cuts)
    return sum(cloth.size.area for cloth in useful) >= wanted


def missing_cuts(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    seconds: float | None = None,
    engine: Engine | None = None,
) -> tuple[Cut, ...]:
    """Return the cuts no room was found for, with their counts; none where everything fits.

    Raises:
        BadCutError: cuts that nobody can plan.
    """
    return attempt_cuts(cloths, cuts, seconds=seconds, engine=engine).missing
