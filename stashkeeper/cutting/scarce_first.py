"""Cuts that only some cloth may give, first: where all cuts at once find no room.

A search over all cuts at once fills small pieces with whatever fits, and may fill the only cloth
that another cut can come from. Here the cuts with the least cloth to come from are planned first,
on that cloth alone; the others follow on what was not opened.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, may_come_from
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Goal, PiecePlan, Plan
from stashkeeper.cutting.planner import Attempt, Plans, Progress, attempt_cuts


@dataclass(frozen=True, slots=True)
class _Group:
    """Cuts that may come from the same cloths, by their place among all."""

    cuts: tuple[Cut, ...]
    cloths: frozenset[int]


def plan_scarce_first(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    seconds: float | None = None,
    keeping: Keeping | None = None,
    stop: Callable[[], bool] = lambda: False,
    progress: Callable[[Progress], None] = lambda _: None,
) -> Attempt:
    """Do as `attempt_cuts` does; where that is short, plan the scarce cuts first.

    Args:
        cloths: what there is to cut from.
        cuts: what is needed, each with a name of its own.
        seconds: how long to search; twice that where scarce cuts must go first.
        keeping: from what size on an off-cut goes back on the shelf.
        stop: asked many times a second.
        progress: told of every complete plan.

    Raises:
        BadCutError: cuts that nobody can plan.
        UnprovenPlanError: a plan did not pass its proof; never seen, and never shown.
    """
    with Engine(stop) as engine:
        attempt = attempt_cuts(
            cloths, cuts, seconds=seconds, keeping=keeping, stop=stop, progress=progress,
            engine=engine,
        )  # fmt: skip
        groups = _groups(cloths, cuts)
        if attempt.plans is not None or attempt.stopped or len(groups) < 2:
            return attempt
        chain = _Chain(cloths, tuple(cuts), groups, seconds, keeping, stop, engine)
        first = chain.plan(Goal.SCRAPS_FIRST)
        second = chain.plan(Goal.LEAST_CLOTH) if first else None
    if first is None:
        return attempt
    progress(Progress(1, first.opened))
    return Attempt(Plans(first, second or replace(first, goal=Goal.LEAST_CLOTH)), stopped=stop())


@dataclass(frozen=True, slots=True)
class _Chain:
    """Groups of cuts planned one after the other."""

    cloths: Sequence[Cloth]
    cuts: tuple[Cut, ...]
    groups: Sequence[_Group]
    seconds: float | None
    keeping: Keeping | None
    stop: Callable[[], bool]
    engine: Engine

    def plan(self, goal: Goal) -> Plan | None:
        """Return a proven plan, or None where some group finds no room."""
        pieces, left = list[PiecePlan](), set(range(len(self.cloths)))
        seconds = None if self.seconds is None else self.seconds / len(self.groups)
        for group in self.groups:
            there = sorted(group.cloths & left)
            attempt = attempt_cuts(
                [self.cloths[number] for number in there],
                group.cuts,
                seconds=seconds,
                keeping=self.keeping,
                stop=self.stop,
                engine=self.engine,
            )
            if attempt.plans is None:
                return None
            plans = attempt.plans
            chosen = plans.scraps_first if goal is Goal.SCRAPS_FIRST else plans.least_cloth
            pieces += chosen.pieces
            codes = {piece.cloth.code for piece in chosen.pieces}
            left = {number for number in left if self.cloths[number].code not in codes}
        plan = Plan(goal, self.cuts, tuple(pieces))
        prove(plan, self.cloths, self.cuts)
        return plan


def _groups(cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> list[_Group]:
    """Return the cuts by the cloths they may come from, those with the least cloth first."""
    found: dict[frozenset[int], list[Cut]] = {}
    for cut in cuts:
        numbers = (number for number, cloth in enumerate(cloths) if may_come_from(cut, cloth))
        found.setdefault(frozenset(numbers), []).append(cut)
    groups = [_Group(tuple(members), numbers) for numbers, members in found.items()]
    return sorted(
        groups, key=lambda group: sum(cloths[number].size.area for number in group.cloths)
    )
