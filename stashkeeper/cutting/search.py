"""The search for drafts: scraps first by a loop of our own, whole problems by the solver."""

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, Self

from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.filling import Filler, items, sound, tree_of
from stashkeeper.cutting.one_kind import OneKind, missing
from stashkeeper.cutting.problem import (
    Accepts,
    Counts,
    Draft,
    Filled,
    Piece,
    Problem,
    grid_of,
    merit,
)
from stashkeeper.cutting.task import Objective, Stock, Task

SCHEDULES: Final = ((0.0,), (0.95, 0.85, 0.7, 0.5, 0.0), (0.9, 0.6, 0.3, 0.0))
"""How full a piece must get to be opened, one pass over the shelf each; 0 opens any (ours)."""

MOST_IN_ORDER: Final = 10
"""So many pieces at most go to the solver in a fixed order: with more it finds nothing in time."""

MOST_FREELY: Final = 80
"""So many pieces at most go to the solver to choose from."""

MOST_CHEAPER: Final = 4
"""So many sizes are tried as the one piece that takes over from several."""


class Budget:
    """Time to search in, and whether somebody asked to stop. Used as a `with` block."""

    def __init__(self, seconds: float, stop: Callable[[], bool]) -> None:
        self.seconds = seconds
        self._stop = stop
        self._up = threading.Event()
        self._timer = threading.Timer(seconds, self._up.set)
        self._timer.daemon = True

    def __enter__(self) -> Self:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()

    def over(self) -> bool:
        """Tell whether the search must end."""
        return self._up.is_set() or self._stop()


@dataclass(slots=True)
class Search:
    """The search for drafts of one problem; every complete one is kept.

    Attributes:
        problem: the pieces and cuts.
        filler: fills single pieces.
        engine: the solver.
        budget: when to end.
        found: told of every complete draft.
        drafts: every complete draft so far.
        missing: the fewest cuts, by area, that no pass found room for.
    """

    problem: Problem
    filler: Filler
    engine: Engine
    budget: Budget
    found: Callable[[Draft], None]
    drafts: list[Draft] = field(default_factory=list)
    missing: Counts = ()

    def run(self) -> None:
        """Look for drafts, simplest means first, until nothing is left to try or time is up."""
        self.missing = self.problem.wanted
        if (one_kind := OneKind.of(self.problem)) is not None:
            self._run_one_kind(one_kind)
        elif not self._could_fit():
            self._pass_over(SCHEDULES[0])
        else:
            self._run_loops()

    def ask_for_least_cloth(self, seconds: float) -> None:
        """Ask the solver for all cuts at once, where it can be told the whole problem."""
        pieces = self.problem.pieces
        alike = len({piece.accepts for piece in pieces}) == 1
        if not alike or len(pieces) > MOST_FREELY or not self._could_fit():
            return
        self.keep(self._improved(self._whole(Objective.LEAST_COST, seconds)))
        if len(pieces) <= MOST_IN_ORDER and not self.drafts:
            self.keep(self._improved(self._whole(Objective.IN_ORDER, seconds)))

    def surely_best(self) -> bool:
        """Tell whether a draft opens one piece only, and all smaller ones together would not do."""
        best = min(self.drafts, key=merit, default=())
        if len(best) != 1:
            return False
        needed = self.problem.area_of(self.problem.wanted)
        smaller = [piece for piece in self.problem.pieces if piece.cost < best[0].piece.cost]
        return sum(piece.area for piece in smaller) < needed

    def keep(self, draft: Draft | None) -> None:
        """Keep a complete draft and tell of it."""
        if draft:
            self.drafts.append(draft)
            self.found(draft)

    def _could_fit(self) -> bool:
        area = sum(piece.area for piece in self.problem.pieces)
        return area >= self.problem.area_of(self.problem.wanted)

    def _run_one_kind(self, one_kind: OneKind) -> None:
        self.missing = missing(self.problem, one_kind.short)
        for cost in (_cost, _area):
            for draft in one_kind.drafts(cost):
                self.keep(draft)
                if self.budget.over():
                    return

    def _run_loops(self) -> None:
        for schedule in SCHEDULES:
            self.keep(self._improved(self._pass_over(schedule)))
            if self.budget.over() or self.surely_best():
                return

    def _pass_over(self, schedule: Sequence[float]) -> Draft | None:
        """Open pieces smallest first, fuller ones before emptier ones."""
        counts, opened = self.problem.wanted, list[Filled]()
        alike = self._alike()
        for threshold in schedule:
            hopeless = {filled.piece.number for filled in opened}
            for piece in self.problem.pieces:
                if piece.number in hopeless or (threshold and self.budget.over()):
                    continue
                filled = self.filler.fill(piece, counts)
                if filled is None:
                    continue
                used = filled.used(len(counts))
                if filled.fill < threshold and used != counts:
                    hopeless |= alike[piece.width, piece.length, piece.accepts]
                    continue
                opened.append(filled)
                counts = tuple(count - gone for count, gone in zip(counts, used, strict=True))
                if not any(counts):
                    return tuple(opened)
        if self.problem.area_of(counts) < self.problem.area_of(self.missing):
            self.missing = counts
        return None

    def _alike(self) -> dict[tuple[int, int, Accepts], set[int]]:
        """Return the numbers of the pieces of each size that accept the same cuts."""
        alike: dict[tuple[int, int, Accepts], set[int]] = {}
        for piece in self.problem.pieces:
            alike.setdefault((piece.width, piece.length, piece.accepts), set()).add(piece.number)
        return alike

    def _improved(self, draft: Draft | None) -> Draft | None:
        """Move what the emptiest pieces give to cheaper pieces, for as long as that helps."""
        if draft is None:
            return None
        better: Draft | None = draft
        while better is not None:
            draft = better
            better = None if self.budget.over() else self._one_better(draft)
        return tuple(
            filled if self.budget.over() else self.filler.neatened(filled)
            for filled in sorted(draft, key=lambda filled: filled.cut_area - filled.piece.area)
        )

    def _one_better(self, draft: Draft) -> Draft | None:
        emptiest = sorted(draft, key=lambda filled: filled.fill)
        for taken in range(1, min(4, len(draft)) + 1):
            freed, kept = emptiest[:taken], tuple(emptiest[taken:])
            counts = _sum([filled.used(len(self.problem.cuts)) for filled in freed])
            for piece in self._cheaper(kept, counts):
                if self.budget.over():
                    return None
                filled = self.filler.finish(piece, counts)
                if filled and filled.merit < merit(tuple(freed)) - 1e-6:
                    return (*kept, filled)
        return None

    def _cheaper(self, kept: Draft, counts: Counts) -> Iterator[Piece]:
        """Yield a few pieces that may hold these cuts, cheapest first, one of each size."""
        used = {filled.piece.number for filled in kept}
        area = self.problem.area_of(counts)
        seen = set[tuple[int, int]]()
        for piece in self.problem.pieces:
            if piece.number in used or piece.area < area or len(seen) == MOST_CHEAPER:
                continue
            if (piece.width, piece.length) not in seen:
                seen.add((piece.width, piece.length))
                yield piece

    def _whole(self, objective: Objective, seconds: float) -> Draft | None:
        """Ask the solver for all cuts from freely chosen pieces; None unless it places them all."""
        pieces, wanted = self.problem.pieces, self.problem.wanted
        kinds = self.problem.all_kinds()
        grid = grid_of(kinds)
        stock = tuple(
            Stock(piece.width // grid, piece.length // grid, 1, _area(piece)) for piece in pieces
        )
        task = Task(objective, stock, items(kinds, grid), self.filler.stages, seconds=seconds)
        draft = []
        for layout in self.engine.ask(task) or ():
            tree, piece = tree_of(layout, kinds), pieces[layout.stock]
            if tree is not None and sound(tree, piece, kinds):
                draft.append(Filled(piece, tree))
        used = _sum([filled.used(len(wanted)) for filled in draft]) if draft else ()
        return tuple(draft) if used == wanted else None


def _cost(piece: Piece) -> float:
    return piece.cost


def _area(piece: Piece) -> float:
    return float(piece.whole_area)


def _sum(many: Sequence[Counts]) -> Counts:
    return tuple(sum(column) for column in zip(*many, strict=True))
