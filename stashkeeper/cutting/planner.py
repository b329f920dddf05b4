"""The planner: scraps first, and least cloth, for the same cuts.

Strips and cross-cuts (two stages) by default; where those cannot reach what is asked for, more
stages, and the plan says so.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, check_cuts
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.cutting_out import piece_plan
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.filling import Filler
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.one_kind import OneKind
from stashkeeper.cutting.plan import Goal, Plan
from stashkeeper.cutting.problem import Counts, Draft, Problem, merit, opened_area
from stashkeeper.cutting.search import Budget, Search
from stashkeeper.errors import BadCutError, NoPlanError


@dataclass(frozen=True, slots=True)
class Trial:
    """One way to search: how many stages (0: any number), its share of the time, its effort."""

    stages: int
    share: float
    effort: int = 0


MOST_CUTS: Final = 20_000
"""More cuts than anybody makes by one plan (ours)."""

TRIALS: Final = (
    Trial(stages=2, share=0.3),
    Trial(stages=3, share=0.3, effort=64),
    Trial(stages=3, share=0.25),
    Trial(stages=0, share=0.3),
)
"""Strips and cross-cuts; one stage more, quickly and then thoroughly; as many as it takes."""

LEAST_CLOTH_SHARE: Final = 0.15
"""The share of the time in which the solver looks at all pieces at once."""

MUST_SAVE: Final = 0.992
"""More stages must bring the cloth down to this share, or strips and cross-cuts stay (ours)."""

SOLVED_PER_SEARCH: Final = 5
"""About so many pieces are filled anew in one search, besides one for every piece there is."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the search is: complete plans found, and how many pieces the best one opens."""

    plans: int
    opened: int

    @property
    def words(self) -> str:
        """How far it is, in words."""
        many = f"{self.plans} plan{'' if self.plans == 1 else 's'}"
        pieces = f"{self.opened} piece{'' if self.opened == 1 else 's'}"
        return f"{many} so far, the best opens {pieces}"


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


def _patience(cloths: Sequence[Cloth]) -> float:
    """Return how many seconds to search unless somebody says."""
    return next((seconds for most, seconds in ((30, 1.3), (100, 2.1)) if len(cloths) <= most), 3.6)


def with_spares(cuts: Sequence[Cut], one_in: int) -> tuple[Cut, ...]:
    """Return the cuts with one spare for every `one_in` begun (none where it is 0)."""
    if one_in <= 0:
        return tuple(cuts)
    return tuple(replace(cut, count=cut.count + -(-cut.count // one_in)) for cut in cuts)


def plan_cuts(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    seconds: float | None = None,
    keeping: Keeping | None = None,
    stop: Callable[[], bool] = _never,
    progress: Callable[[Progress], None] = _unheard,
    engine: Engine | None = None,
) -> Plans:
    """Return a plan that spares large pieces and one that spares cloth.

    Args:
        cloths: what there is to cut from.
        cuts: what is needed, each with a name of its own.
        seconds: how long to search, by default 1.3, 2.1 or 3.6 for up to 30, 100 or more pieces;
            a first answer, and the start of the solver, may take a little longer.
        keeping: from what size on an off-cut goes back on the shelf.
        stop: asked many times a second; once it says yes, the best plans so far are returned.
        progress: told of every complete plan.
        engine: a solver already running; by default one is started for this plan.

    Raises:
        BadCutError: cuts that nobody can plan.
        NoPlanError: no room was found for some of them (it says which).
        UnprovenPlanError: a plan did not pass its proof; never seen, and never shown.
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
    seconds: float | None = None,
    keeping: Keeping | None = None,
    stop: Callable[[], bool] = _never,
    progress: Callable[[Progress], None] = _unheard,
    engine: Engine | None = None,
) -> Attempt:
    """Do as `plan_cuts` does, but say what is missing instead of raising NoPlanError."""
    check_cuts(cuts)
    problem = Problem.of(cloths, cuts)
    parts = [part for part in problem.apart() if any(part.wanted)]
    for part in parts:
        _check_number(part)
    share = (_patience(cloths) if seconds is None else seconds) / max(len(parts), 1)
    solver = engine or Engine(stop)
    try:
        searches = [_Searches(part, solver, stop, progress) for part in parts]
        for search in searches:
            search.run(share)
    finally:
        if engine is None:
            solver.close()
    missing = _missing(cuts, searches)
    if missing:
        return Attempt(None, missing, stop())
    made = _Made(cloths, tuple(cuts), keeping or Keeping())
    plans = Plans(
        made.plan(Goal.SCRAPS_FIRST, [search.best(merit) for search in searches]),
        made.plan(Goal.LEAST_CLOTH, [search.best(opened_area) for search in searches]),
    )
    prove(plans.scraps_first, cloths, cuts)
    if plans.least_cloth.pieces != plans.scraps_first.pieces:
        prove(plans.least_cloth, cloths, cuts)
    return Attempt(plans, stopped=stop())


def _check_number(problem: Problem) -> None:
    """Refuse more cuts than one plan can tell, unless it is plain that they do not fit anyway."""
    total = sum(problem.wanted)
    if total <= MOST_CUTS:
        return
    one_kind = OneKind.of(problem)
    if one_kind is None or not one_kind.short:
        raise BadCutError(
            f"A plan for {total} cuts was asked for.",
            f"One plan tells at most {MOST_CUTS} cuts: ask for fewer at a time.",
        )


@dataclass(slots=True)
class _Searches:
    """The searches for one problem, with more and more stages."""

    problem: Problem
    engine: Engine
    stop: Callable[[], bool]
    progress: Callable[[Progress], None]
    made: list[Search] = field(default_factory=list)

    def run(self, seconds: float) -> None:
        """Search with two stages, then with three, and with any number if need be."""
        if OneKind.of(self.problem) is None:
            self.engine.get_ready()
        with Budget(seconds, self.stop) as whole:
            for trial in TRIALS:
                if not self._worth_going_on(trial, whole):
                    return
                stop = self.stop if trial.effort else whole.over
                with Budget(seconds * trial.share, stop) as budget:
                    quick = budget.seconds / (SOLVED_PER_SEARCH + len(self.problem.pieces))
                    filler = Filler(self.problem, self.engine, trial.stages, quick, trial.effort)
                    search = Search(self.problem, filler, self.engine, budget, self._found)
                    self.made.append(search)
                    search.run()
                several = OneKind.of(self.problem) is None
                if trial.stages == 2 and several and not search.surely_best() and not whole.over():
                    search.ask_for_least_cloth(seconds * LEAST_CLOTH_SHARE)

    def best(self, measure: Callable[[Draft], float]) -> Draft | None:
        """Return the best draft with the fewest stages, unless more stages save enough."""
        found: Draft | None = None
        for search in self.made:
            best = min(
                search.drafts, key=lambda draft: (measure(draft), merit(draft)), default=None
            )
            if best and (found is None or measure(best) < measure(found) * MUST_SAVE):
                found = best
        return found

    @property
    def missing(self) -> Counts:
        """What the search that came nearest found no room for; nothing if any found it all."""
        if any(search.drafts for search in self.made):
            return tuple(0 for _ in self.problem.cuts)
        return min((search.missing for search in self.made), key=self.problem.area_of)

    def _worth_going_on(self, trial: Trial, whole: Budget) -> bool:
        if not self.made:
            return True
        drafts = [draft for search in self.made for draft in search.drafts]
        if drafts and (trial.stages == 0 or OneKind.of(self.problem) is not None):
            return False
        return (
            not self.stop()
            and not any(search.surely_best() for search in self.made)
            and (not drafts or not whole.over() or trial.effort > 0)
        )

    def _found(self, draft: Draft) -> None:
        self.progress(Progress(sum(len(search.drafts) for search in self.made), len(draft)))


def _missing(cuts: Sequence[Cut], searches: Sequence[_Searches]) -> tuple[Cut, ...]:
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
