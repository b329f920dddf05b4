"""The steps of a plan as a page shows them: part by part, step by step, with their ticks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.actions import ticks as kept
from stashkeeper.actions.plan_steps import PieceSteps, StackSteps, Steps, StepView, steps
from stashkeeper.actions.plan_view import Standing
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import NotFoundError, quoted

STALE: Final = frozenset({Standing.CHANGED, Standing.GONE})
"""How a piece stands for which the plan does not hold any more."""


@dataclass(frozen=True, slots=True)
class TickedStep(StepView):
    """A step, and whether it is done."""

    done: bool


@dataclass(frozen=True, slots=True)
class Part:
    """What is done in one go: a piece, or a stack of pieces.

    Attributes:
        key: the code of the piece, or `stack-1`.
        title: in words.
        codes: the pieces it cuts.
        drawn: the code of the piece whose diagram shows the cuts.
        standing: how the piece stands; a stack is ready while several of its layers are left.
        before: what to mind first.
        steps: in order.
        after: what goes back from each layer of a stack.
        confirms: the pieces that are confirmed when it is done; none where a stack comes after.
    """

    key: str
    title: str
    codes: tuple[str, ...]
    drawn: str
    standing: Standing
    before: tuple[str, ...]
    steps: tuple[TickedStep, ...]
    after: tuple[str, ...] = ()
    confirms: tuple[str, ...] = ()

    @property
    def done(self) -> int:
        """How many of its steps are ticked."""
        return sum(step.done for step in self.steps)

    @property
    def stale(self) -> bool:
        """Whether it must not be cut by these steps."""
        return self.standing in STALE

    @property
    def cut(self) -> bool:
        """Whether it is cut already, all of it."""
        return self.standing is Standing.CUT

    @property
    def next(self) -> int:
        """The number of the first step without a tick; of the last step where all have one."""
        return next((step.number for step in self.steps if not step.done), len(self.steps))

    def step(self, number: int) -> TickedStep:
        """Return a step by its number.

        Raises:
            NotFoundError: there is none.
        """
        if not 1 <= number <= len(self.steps):
            raise NotFoundError(
                f"{self.title} has no step {number}.", f"It has {len(self.steps)} steps."
            )
        return self.steps[number - 1]


@dataclass(frozen=True, slots=True)
class StepsPage:
    """All steps of a plan, part by part."""

    number: int
    title: str
    legend: str
    cautions: tuple[str, ...]
    questions: tuple[str, ...]
    parts: tuple[Part, ...]

    def part(self, key: str) -> Part:
        """Return a part by its key.

        Raises:
            NotFoundError: there is none.
        """
        for part in self.parts:
            if part.key.casefold() == key.casefold():
                return part
        raise NotFoundError(
            f"Plan {self.number} does not cut {quoted(key)}.",
            "Look at the steps there are.",
        )


def steps_page(stash: Stash, number: int) -> StepsPage:
    """Return what the page of steps shows.

    Raises:
        NotFoundError: there is no such plan.
    """
    told = steps(stash, number)
    return StepsPage(
        number, told.title, told.legend, told.cautions, told.questions,
        tuple(_parts(told, kept.ticks(stash, number))),
    )  # fmt: skip


def tick(stash: Stash, number: int, key: str, step: int, *, done: bool) -> Part:
    """Tick a step of a part, or take its tick away; return the part as it is now.

    Raises:
        NotFoundError: no such plan, part or step.
        CannotWriteError: the tick cannot be kept.
    """
    part = steps_page(stash, number).part(key)
    ticked = kept.tick(stash, number, part.key, part.step(step).number, done=done)
    now = (replace(one, done=one.number in ticked) for one in part.steps)
    return replace(part, steps=tuple(now))


def _parts(told: Steps, ticked: dict[str, frozenset[int]]) -> Iterator[Part]:
    none = frozenset[int]()
    for piece in told.pieces:
        confirms = () if told.stacks or piece.standing in STALE else (piece.code,)
        yield _of_piece(piece, ticked.get(piece.code, none), confirms)
    for number, stack in enumerate(told.stacks, start=1):
        key = f"stack-{number}"
        layers = [piece for piece in told.pieces if piece.code in stack.codes]
        yield _of_stack(key, number, stack, layers, ticked.get(key, none))


def _of_piece(piece: PieceSteps, ticked: frozenset[int], confirms: tuple[str, ...]) -> Part:
    return Part(
        piece.code,
        piece.title,
        (piece.code,),
        piece.code,
        piece.standing,
        piece.before,
        tuple(_ticked(piece.steps, ticked)),
        confirms=confirms,
    )


def _of_stack(
    key: str,
    number: int,
    stack: StackSteps,
    layers: Sequence[PieceSteps],
    ticked: frozenset[int],
) -> Part:
    lay = StepView(0, stack.lay, ())
    left = [piece for piece in layers if piece.standing is not Standing.CUT]
    return Part(
        key,
        f"Stack {number}: {', '.join(stack.codes)}",
        stack.codes,
        stack.fullest,
        left[0].standing if len(left) == 1 else Standing.READY if left else Standing.CUT,
        tuple(f"{one.code}: {line}" for one in left for line in one.before),
        tuple(_ticked((lay, *stack.steps), ticked)),
        stack.keeps,
        tuple(one.code for one in left if one.standing not in STALE),
    )


def _ticked(told: tuple[StepView, ...], ticked: frozenset[int]) -> Iterator[TickedStep]:
    for number, step in enumerate(told, start=1):
        yield TickedStep(number, step.text, step.lines, number in ticked)
