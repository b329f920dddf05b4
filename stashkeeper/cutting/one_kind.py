"""Drafts for cuts of one kind: the cheapest pieces that hold them, by exact counts."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from stashkeeper.cutting.covering import MOST_STEPS, cheapest_cover, least_costs
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.offcuts import remnant_worth
from stashkeeper.cutting.problem import Counts, Draft, Filled, Piece, Problem
from stashkeeper.cutting.sections import EqualCuts
from stashkeeper.cutting.shelf import Shelf

MOST_LAST_PIECES = 8
"""So many sizes are tried as the piece that is only partly used up."""


@dataclass(frozen=True, slots=True)
class OneKind:
    """Cuts of one kind, and how many each piece holds.

    Attributes:
        wanted: how many.
        pieces: the pieces that hold at least one, cheapest first.
        kinds: the cut as it may lie on each piece.
        held: how many each holds, at most.
    """

    wanted: int
    pieces: tuple[Piece, ...]
    kinds: tuple[EqualCuts, ...]
    held: tuple[int, ...]

    @classmethod
    def of(cls, problem: Problem) -> "OneKind | None":
        """Return the problem seen this way, or None where it has several kinds of cuts."""
        if sum(count > 0 for count in problem.wanted) != 1:
            return None
        wanted = sum(problem.wanted)
        (number,) = [number for number, count in enumerate(problem.wanted) if count]
        size = problem.cuts[number].size
        takers = [piece for piece in problem.pieces if piece.accepts[number] is not None]
        shelf = Shelf.from_ticks(
            [piece.width for piece in takers],
            [piece.length for piece in takers],
            [not piece.accepts[number] for piece in takers],
        )
        held = np.minimum(counts(shelf, size), wanted).tolist()
        holding = [(piece, most) for piece, most in zip(takers, held, strict=True) if most]
        kinds = tuple(
            EqualCuts(number, size.width.ticks, size.length.ticks, not piece.accepts[number])
            for piece, _ in holding
        )
        return cls(
            wanted,
            tuple(piece for piece, _ in holding),
            kinds,
            tuple(most for _, most in holding),
        )

    @property
    def short(self) -> int:
        """How many cuts no piece has room for."""
        return max(self.wanted - sum(self.held), 0)

    def drafts(self, cost: Callable[[Piece], float]) -> Iterator[Draft]:
        """Yield the cheapest pieces together, then ways that leave more of one of them whole."""
        costs = [cost(piece) for piece in self.pieces]
        chosen = cheapest_cover(costs, self.held, self.wanted)
        if chosen is not None:
            yield self._draft(chosen, self.wanted)
        if len(self.pieces) * self.wanted <= MOST_STEPS:
            for last in self._last_pieces():
                yield from self._partly(last, costs)

    def _draft(self, chosen: Sequence[int], wanted: int) -> Draft:
        """Fill the chosen pieces, the cheapest first; what is too much stays on the last."""
        draft = []
        for number in chosen:
            count = min(self.held[number], wanted)
            wanted -= count
            if count:
                draft.append(self._filled(number, count))
        return tuple(draft)

    def _filled(self, number: int, count: int) -> Filled:
        piece = self.pieces[number]
        tree = self.kinds[number].best_tree(piece.width, piece.length, count)
        if tree is None:
            raise ArithmeticError(f"{count} cuts were counted on a piece and cannot be laid out")
        return Filled(piece, tree)

    def _last_pieces(self) -> Iterator[int]:
        """Yield one piece of each size, cheapest first."""
        seen = set[tuple[int, int]]()
        for number, piece in enumerate(self.pieces):
            if (piece.width, piece.length) not in seen and len(seen) < MOST_LAST_PIECES:
                seen.add((piece.width, piece.length))
                yield number

    def _partly(self, last: int, costs: Sequence[float]) -> Iterator[Draft]:
        """Yield the best draft that takes only part of what this piece holds, if any does."""
        rest_costs = [cost for number, cost in enumerate(costs) if number != last]
        rest_held = [held for number, held in enumerate(self.held) if number != last]
        least = least_costs(rest_costs, rest_held, self.wanted)
        _, taken = min(
            (least[self.wanted - count] + costs[last] - self._left(last, count), count)
            for count in range(1, self.held[last] + 1)
        )
        others = cheapest_cover(rest_costs, rest_held, self.wanted - taken)
        if others is not None:
            chosen = [number + (number >= last) for number in others]
            yield (*self._draft(chosen, self.wanted - taken), self._filled(last, taken))

    def _left(self, number: int, count: int) -> float:
        """Return what plain rows or columns of so many cuts leave worth keeping."""
        piece, kind = self.pieces[number], self.kinds[number]
        best = 0.0
        for width, length in ((kind.width, kind.length), (kind.length, kind.width)):
            in_column, in_row = piece.length // length, piece.width // width
            if not in_column or not in_row or in_row * in_column < count:
                continue
            columns, rows = -(-count // in_column) * width, -(-count // in_row) * length
            best = max(
                best,
                remnant_worth(piece.width - columns, piece.length),
                remnant_worth(piece.width, piece.length - rows),
            )
            if kind.fixed:
                break
        return best


def missing(problem: Problem, short: int) -> Counts:
    """Return so many missing cuts of the one kind a problem has."""
    return tuple(short if count else 0 for count in problem.wanted)
