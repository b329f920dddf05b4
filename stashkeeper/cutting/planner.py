"""The planner: scraps first, and least cloth, for the same cuts.

Strips and cross-cuts (two stages) by default; where those cannot reach what is asked for, more
stages, and the plan says so.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, check_cuts
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.filling import Filler
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Goal, Plan
from stashkeeper.cutting.problem import Counts, Draft, Problem, merit, opened_area
from stashkeeper.cutting.search import Budget, Search
from stashkeeper.cutting.tree import piece_plan
from stashkeeper.errors import NoPlanError

STAGES_TRIED: Final = (2, 3, 0)
"""Strips and cross-cuts; one stage more; as many as it takes."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the search is: complete plans found, and how many pieces the best one opens."""

    plans: int
    opened: int


@dataclass(frozen=True, slots=True)
class Plans:
    """Two honest plans for the same cuts; the same one twice where none beats it."""

    scraps_first: Plan
    least_cloth: Plan


@dataclass(frozen=True, slots=True)
class Attempt:
    """What a search came to.

    Attributes:
        plans: both plans, or None where something is missing.
        missing: the cuts no room was found for, with their counts.
        stopped: whether the search was ended before it was done.
    """

    plans: Plans | None
    missing: tuple[Cut, ...] = ()
    stopped: bool = False


def _never() -> bool:
    return False


def _unheard(_: Progress) -> None:
    pass


def with_spares(cuts: Sequence[Cut], one_in: int) -> tuple[Cut, ...]:
    """Return the cuts with one spare for every `one_in` begun (none where it is 0)."""
    if one_in <= 0:
        return tuple(cuts)
    return tuple(replace(cut, count=cut.count + -(-cut.count // one_in)) for cut in cuts)


def plan_cuts(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    seconds: float = 2.0,
    keeping: Keeping | None = None,
    stop: Callable[[], bool] = _never,
    progress: Callable[[Progress], None] = _unheard,
    engine: Engine | None = None,
) -> Plans:
    """Return a plan that spares large pieces and one that spares cloth.

    Args:
        cloths: what there is to cut from.
        cuts: what is needed, each with a name of its own.
        seconds: how long to search; a first answer may take a little longer.
        keeping: from what size on an off-cut goes back on the shelf.
        stop: asked many times a second; once it says yes, the best plans so far are returned.
        progress: told of every complete plan.
        engine: a solver already running; by default one is started for this plan.

    Raises:
        BadCutError: cuts that nobody can plan.
        NoPlanError: no room was found for some of them (it says which).
    """
    attempt = attempt_cuts(
        cloths, cuts, seconds=seconds, keeping=keeping, stop=stop, progress=progress, engine=engine
    )
    if attempt.plans is None:
        raise _no_plan(attempt)
    return attempt.plans


def attempt_cuts(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    seconds: float = 2.0,
    keeping: Keeping | None = None,
    stop: Callable[[], bool] = _never,
    progress: Callable[[Progress], None] = _unheard,
    engine: Engine | None = None,
) -> Attempt:
    """Do as `plan_cuts` does, but say what is missing instead of raising NoPlanError."""
    check_cuts(cuts)
    problem = Problem.of(cloths, cuts)
    parts = [part for part in problem.apart() if any(part.wanted)]
    share = seconds / max(len(parts), 1)
    solver = engine or Engine(stop)
    try:
        searches = [_search(part, solver, share, stop, progress) for part in parts]
    finally:
        if engine is None:
            solver.close()
    missing = _missing(cuts, [search for search in searches if not search.drafts])
    if missing:
        return Attempt(None, missing, stop())
    made = _Made(cloths, tuple(cuts), keeping or Keeping())
    return Attempt(
        Plans(
            made.plan(Goal.SCRAPS_FIRST, [search.best(merit) for search in searches]),
            made.plan(Goal.LEAST_CLOTH, [search.best(opened_area) for search in searches]),
        ),
        stopped=stop(),
    )


def _search(
    problem: Problem,
    engine: Engine,
    seconds: float,
    stop: Callable[[], bool],
    progress: Callable[[Progress], None],
) -> Search:
    """Search with as few stages as suffice."""
    searches = list[Search]()

    def found(draft: Draft) -> None:
        progress(Progress(sum(len(search.drafts) for search in searches), len(draft)))

    for stages in STAGES_TRIED:
        with Budget(seconds, stop) as budget:
            search = Search(problem, Filler(problem, engine, stages), engine, budget, found)
            searches.append(search)
            search.run(seconds)
        if search.drafts or stop():
            return search
    return min(searches, key=lambda search: problem.area_of(search.missing))


def _missing(cuts: Sequence[Cut], searches: Sequence[Search]) -> tuple[Cut, ...]:
    counts: Counts = tuple(
        sum(search.missing[number] for search in searches) for number in range(len(cuts))
    )
    return tuple(
        replace(cut, count=count) for cut, count in zip(cuts, counts, strict=True) if count
    )


@dataclass(frozen=True, slots=True)
class _Made:
    """Turns drafts into plans."""

    cloths: Sequence[Cloth]
    cuts: tuple[Cut, ...]
    keeping: Keeping

    def plan(self, goal: Goal, drafts: Sequence[Draft | None]) -> Plan:
        """Return the plan of these drafts together, largest share of cuts first."""
        filled = [one for draft in drafts for one in draft or ()]
        return Plan(
            goal,
            self.cuts,
            tuple(
                piece_plan(one.tree, self.cloths[one.piece.number], self.cuts, self.keeping)
                for one in filled
            ),
        )


def _no_plan(attempt: Attempt) -> NoPlanError:
    told = ", ".join(f"{cut.count} of {cut.name}" for cut in attempt.missing)
    return NoPlanError(
        f"No room was found for {told}.",
        "Add cloth, ask for fewer or smaller cuts, or let cuts turn where the print allows.",
    )
