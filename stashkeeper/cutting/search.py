"""The search for drafts: scraps first by a loop of our own, whole problems by the solver."""

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, Self

from stashkeeper.cutting.covering import cheapest_cover
from stashkeeper.cutting.engine import Engine, Objective, Stock, Task
from stashkeeper.cutting.filling import Filler, items, tree_of
from stashkeeper.cutting.problem import (
    Counts,
    Draft,
    Filled,
    Piece,
    Problem,
    grid_of,
    merit,
)

SCHEDULES: Final = ((0.0,), (0.95, 0.85, 0.7, 0.5, 0.0), (0.9, 0.6, 0.3, 0.0))
"""How full a piece must get to be opened, one pass over the shelf each; 0 opens any (ours)."""

MOST_IN_ORDER: Final = 10
"""So many pieces at most go to the solver in a fixed order: with more it finds nothing in time."""

MOST_FREELY: Final = 80
"""So many pieces at most go to the solver to choose from."""


class Budget:
    """Time to search in, and whether somebody asked to stop. Used as a `with` block."""

    def __init__(self, seconds: float, stop: Callable[[], bool]) -> None:
        self._stop = stop
        self._up = threading.Event()
        self._timer = threading.Timer(seconds, self._up.set)
        self._timer.daemon = True

    def __enter__(self) -> Self:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()

    @property
    def over(self) -> bool:
        """Whether the search must end."""
        return self._up.is_set() or self._stop()


def _unheard(_: Draft) -> None:
    pass


@dataclass(slots=True)
class Search:
    """The search for drafts of one problem; the best ones are kept as they are found.

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
    found: Callable[[Draft], None] = _unheard
    drafts: list[Draft] = field(default_factory=list)
    missing: Counts = ()

    def run(self, seconds: float) -> None:
        """Look for drafts, simplest means first, until nothing is left to try or time is up."""
        self.missing = self.problem.wanted
        if not self._could_fit():
            self._pass_over(SCHEDULES[0])
            return
        if self._one_kind():
            for cost in (_cost, _area):
                self._keep(self._cover(cost))
            return
        for schedule in SCHEDULES:
            self._keep(self._improved(self._pass_over(schedule)))
            if self.budget.over or self._surely_best():
                return
        self._ask_for_whole(seconds)

    def best(self, measure: Callable[[Draft], float]) -> Draft | None:
        """Return the best complete draft by this measure, then by fewest cuts."""
        return min(self.drafts, key=lambda draft: (measure(draft), merit(draft)), default=None)

    def _could_fit(self) -> bool:
        area = sum(piece.area for piece in self.problem.pieces)
        return area >= self.problem.area_of(self.problem.wanted)

    def _one_kind(self) -> bool:
        return sum(count > 0 for count in self.problem.wanted) == 1

    def _keep(self, draft: Draft | None) -> None:
        if draft:
            self.drafts.append(draft)
            self.found(draft)

    def _surely_best(self) -> bool:
        """Tell whether the best draft opens one piece, and no smaller piece has the area."""
        best = self.best(merit)
        if best is None or len(best) > 1:
            return False
        needed = self.problem.area_of(self.problem.wanted)
        smaller = [piece for piece in self.problem.pieces if piece.cost < best[0].piece.cost]
        return sum(piece.area for piece in smaller) < needed

    def _pass_over(self, schedule: Sequence[float]) -> Draft | None:
        """Open pieces smallest first, fuller ones before emptier ones."""
        counts, opened = self.problem.wanted, list[Filled]()
        for threshold in schedule:
            hopeless = set[tuple[int, ...]]()
            for piece in self.problem.pieces:
                if self.budget.over and threshold > 0:
                    break
                mark = piece.width, piece.length, hash(piece.accepts)
                if mark in hopeless or any(filled.piece is piece for filled in opened):
                    continue
                filled = self.filler.fill(piece, counts)
                if filled is None or (filled.fill < threshold and not self._all(filled, counts)):
                    hopeless.add(mark)
                    continue
                opened.append(filled)
                counts = _less(counts, filled.used(len(counts)))
                if not any(counts):
                    return tuple(opened)
        if self.problem.area_of(counts) < self.problem.area_of(self.missing):
            self.missing = counts
        return None

    def _all(self, filled: Filled, counts: Counts) -> bool:
        return filled.used(len(counts)) == counts

    def _cover(self, cost: Callable[[Piece], float]) -> Draft | None:
        """Return the cheapest pieces that hold so many cuts of one kind, by exact counts."""
        counts = self.problem.wanted
        full = [
            filled for piece in self.problem.pieces if (filled := self.filler.fill(piece, counts))
        ]
        held = [sum(filled.used(len(counts))) for filled in full]
        chosen = cheapest_cover([cost(filled.piece) for filled in full], held, sum(counts))
        if chosen is None:
            short = sum(counts) - sum(held)
            self.missing = tuple(short if count else 0 for count in counts)
            return None
        draft = []
        for number in sorted(chosen, key=lambda number: -full[number].fill):
            filled = self.filler.fill(full[number].piece, counts)
            if filled is not None:
                draft.append(filled)
                counts = _less(counts, filled.used(len(counts)))
        return tuple(draft)

    def _improved(self, draft: Draft | None) -> Draft | None:
        """Move what the emptiest pieces give to cheaper pieces, for as long as that helps."""
        if draft is None:
            return None
        better: Draft | None = draft
        while better is not None:
            draft = better
            better = None if self.budget.over else self._one_better(draft)
        return tuple(self.filler.neatened(filled) for filled in draft)

    def _one_better(self, draft: Draft) -> Draft | None:
        emptiest = sorted(draft, key=lambda filled: filled.fill)
        for taken in range(1, min(4, len(draft)) + 1):
            freed = emptiest[:taken]
            kept = tuple(filled for filled in draft if filled not in freed)
            counts = _sum([filled.used(len(self.problem.cuts)) for filled in freed])
            for piece in self._cheaper(kept, counts):
                if self.budget.over:
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
            if piece.number in used or piece.area < area or len(seen) == 4:
                continue
            if (piece.width, piece.length) not in seen:
                seen.add((piece.width, piece.length))
                yield piece

    def _ask_for_whole(self, seconds: float) -> None:
        """Ask the solver for the whole problem at once, where it can be told all of it."""
        pieces = self.problem.pieces
        if len({piece.accepts for piece in pieces}) != 1 or len(pieces) > MOST_FREELY:
            return
        for cost in (_cost, _area):
            if not self.budget.over:
                self._keep(
                    self._improved(self._whole(Objective.LEAST_COST, pieces, cost, seconds / 4))
                )
        if len(pieces) <= MOST_IN_ORDER and not self.budget.over:
            self._keep(self._improved(self._whole(Objective.IN_ORDER, pieces, _cost, seconds / 4)))

    def _whole(
        self,
        objective: Objective,
        pieces: Sequence[Piece],
        cost: Callable[[Piece], float],
        seconds: float,
    ) -> Draft | None:
        kinds = self.problem.kinds(max(pieces, key=lambda piece: piece.area), self.problem.wanted)
        grid = grid_of(kinds)
        stock = tuple(
            Stock(piece.width // grid, piece.length // grid, 1, cost(piece)) for piece in pieces
        )
        task = Task(objective, stock, items(kinds, grid), self.filler.stages, seconds=seconds)
        draft = []
        for layout in self.engine.ask(task) or ():
            tree = tree_of(layout, kinds)
            if tree is not None:
                draft.append(Filled(pieces[layout.stock], tree))
        used = _sum([filled.used(len(self.problem.cuts)) for filled in draft]) if draft else ()
        return tuple(draft) if used == self.problem.wanted else None


def _cost(piece: Piece) -> float:
    return piece.cost


def _area(piece: Piece) -> float:
    return float(piece.whole_area)


def _less(counts: Counts, used: Counts) -> Counts:
    return tuple(count - gone for count, gone in zip(counts, used, strict=True))


def _sum(many: Sequence[Counts]) -> Counts:
    return tuple(sum(column) for column in zip(*many, strict=True))
