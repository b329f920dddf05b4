"""Choose: which fabrics of the shelf keep the values of a quilt apart, and why.

The door of this room. Plain values in, plain values out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.choosing.choice import Choice
from stashkeeper.choosing.keeping import settled
from stashkeeper.choosing.missing import Missing, missing_fabric
from stashkeeper.choosing.nearest import no_choice
from stashkeeper.choosing.needs import Keep, Need, checked_needs
from stashkeeper.choosing.reasons import LeftOut, left_out
from stashkeeper.choosing.remarks import remarks
from stashkeeper.choosing.score import Favour
from stashkeeper.choosing.shelf import PER_LIGHTNESS, Candidate, Gives, Shelf
from stashkeeper.choosing.solving import Prove, Solved, Solver
from stashkeeper.choosing.spans import closest
from stashkeeper.choosing.telling import choice_of
from stashkeeper.errors import NoChoiceError
from stashkeeper.luminance.contrast import TOO_CLOSE

GIVEN_UP: Final = int(2.5 * PER_LIGHTNESS)
"""Choices that put something else first may give up this much of the gap, in millionths of L*: a
quarter of a Munsell step (ours)."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the shelf offers.

    Attributes:
        best: the widest gap, then scraps first, harmony, certainty.
        others: a few different choices, each with what it favours; none with a gap more than 2.5
            below the best, except the one of other fabrics.
        left_out: fabrics that were tempting, and why they are not in the best choice.
        missing: the one fabric that would help most; None where none would.
        remarks: what else a person should know, in sentences.
    """

    best: Choice
    others: tuple[Choice, ...]
    left_out: tuple[LeftOut, ...]
    missing: Missing | None
    remarks: tuple[str, ...]


def choose(
    candidates: Sequence[Candidate],
    gives: Gives,
    needs: Sequence[Need],
    *,
    keep: Sequence[Keep] = (),
    leave_out: Sequence[str] = (),
    prove: Prove | None = None,
    others: int = 3,
) -> Answer:
    """Return the best choice for these needs, with its reasons.

    Args:
        candidates: the pieces to choose from.
        gives: for each size of cut in the needs, how many each candidate gives, in their order.
        needs: what every role asks for.
        keep: pieces that must be in the choice.
        leave_out: codes whose fabrics must not be.
        prove: the cutting room, asked where several sizes come out of the same cloth.
        others: how many different choices to show besides, at most.

    Raises:
        BadRequestError: needs, kept pieces or codes that do not go together.
        NoChoiceError: the shelf does not fill every role with the values in order.
    """
    wanted = checked_needs(needs)
    shelf = Shelf.of(candidates, gives)
    if not len(shelf):
        raise NoChoiceError(
            "There is no piece to choose from.", "Widen the search, or measure more pieces first."
        )
    solver = Solver(shelf, wanted, settled(shelf, wanted, keep, leave_out), prove)
    solved = solver.best()
    if solved is None:
        raise no_choice(solver)
    return _answer(solver, solved, others)


def _answer(solver: Solver, solved: Solved, others: int) -> Answer:
    """Return the best selection with its reasons and a few that differ from it."""
    best = choice_of(solver, solved, Favour.CONTRAST)
    shown = [best]
    for choice in _others(solver, solved) if others else ():
        if len(shown) <= others and not any(_same(choice, one) for one in shown):
            shown.append(choice)
    return Answer(
        best,
        tuple(shown[1:]),
        left_out(solver, solved),
        missing_fabric(solver, solved.way, solved.picked, solved.gap),
        remarks(solver.shelf, best),
    )


def _others(solver: Solver, solved: Solved) -> Iterator[Choice]:
    """Yield choices that put something else first, where that gains anything."""
    floor = max(solved.gap - GIVEN_UP, min(solved.gap, int(TOO_CLOSE * PER_LIGHTNESS)))
    for favour in (Favour.SCRAPS, Favour.HARMONY, Favour.CERTAINTY):
        found = solver.favouring(solved, floor, favour)
        if found is not None and found.score.by(favour) < solved.score.by(favour):
            yield choice_of(solver, found, favour)
    pair = closest(solved.picked, solved.way.asks, solver.shelf.light) or ()
    kept = {fabric for ask in solved.way.asks for fabric in ask.kept}
    without = frozenset(pair) - kept
    if without:
        found = solver.best(without)
        if found is not None:
            yield choice_of(solver, found, Favour.OTHERS)


def _same(one: Choice, other: Choice) -> bool:
    return {(it.role, it.fabric) for it in one.chosen} == {
        (it.role, it.fabric) for it in other.chosen
    }
