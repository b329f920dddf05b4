"""A plan as steps for hands, piece by piece."""

from collections.abc import Iterator
from dataclasses import dataclass

from stashkeeper.actions.plan_view import Standing
from stashkeeper.actions.plans import LoadedPlan, load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.cutting.plan import PiecePlan
from stashkeeper.cutting.steps import CAUTIONS, Hand, Tools, piece_steps
from stashkeeper.cutting.wording import sentence
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class StepView:
    """One thing to do, in words; `lines` are the numbers of the cuts on the diagram."""

    number: int
    text: str
    lines: tuple[int, ...]

    @property
    def shown(self) -> str:
        """The words, with the numbers its cuts have on the diagram."""
        if not self.lines:
            return self.text
        first, last = self.lines[0], self.lines[-1]
        marks = f"cut {first}" if first == last else f"cuts {first} to {last}"
        return f"{self.text} [{marks}]"


@dataclass(frozen=True, slots=True)
class PieceSteps:
    """What to do with one piece.

    Attributes:
        code, name, place: of the piece.
        standing: how it stands now.
        before: what to mind first: measure it, or that it changed.
        steps: in order.
    """

    code: str
    name: str
    place: str
    standing: Standing
    before: tuple[str, ...]
    steps: tuple[StepView, ...]

    @property
    def title(self) -> str:
        """The piece, and where it lies."""
        return f"{self.code} “{self.name}”" + (f", {self.place}" if self.place else "")

    @property
    def sentences(self) -> tuple[str, ...]:
        """The piece and its steps, a line each."""
        if self.standing is Standing.CUT:
            return (f"{self.title}: cut already.",)
        steps = (f"  {step.number:>2}  {step.shown}" for step in self.steps)
        return (self.title, *(f"  {line}" for line in self.before), *steps)


@dataclass(frozen=True, slots=True)
class Steps:
    """All steps of a plan.

    Attributes:
        title: the plan in a line.
        cuts: name and size of every cut.
        cautions: about the rotary cutter, told once.
        questions: what the owner was never asked yet: ruler and mat.
        pieces: in the order they are cut.
    """

    number: int
    title: str
    cuts: tuple[tuple[str, Size], ...]
    cautions: tuple[str, ...]
    questions: tuple[str, ...]
    pieces: tuple[PieceSteps, ...]
    _measure: Measure

    @property
    def legend(self) -> str:
        """What the names of the cuts stand for."""
        named = (
            f"{name} is {format_size(size, self._measure, Rounding.UP)}" for name, size in self.cuts
        )
        return f"{'; '.join(named)}."

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, a line each."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[str]:
        yield f"{self.title}."
        yield self.legend
        yield from self.cautions
        yield from self.questions
        for piece in self.pieces:
            yield " "
            yield from piece.sentences


def steps(stash: Stash, number: int, code: str | None = None) -> Steps:
    """Return the steps of a plan, or of one piece of it.

    Raises:
        NotFoundError: there is no such plan, or it does not cut such a piece.
    """
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
    pieces = loaded.plan.pieces if code is None else (loaded.piece(code),)
    return Steps(
        number,
        loaded.view.title,
        tuple((cut.name, cut.size) for cut in loaded.plan.cuts),
        CAUTIONS if any(piece.lines or piece.trims for piece in pieces) else (),
        _questions(stash),
        tuple(steps_of_piece(stash, loaded, piece) for piece in pieces),
        stash.measure,
    )


def steps_of_piece(stash: Stash, loaded: LoadedPlan, piece: PiecePlan) -> PieceSteps:
    """Return what to do with one piece of a plan."""
    habits = stash.settings.habits
    tools = Tools(
        habits.ruler.width if habits.ruler else None,
        habits.ruler.length if habits.ruler else None,
        habits.mat,
    )
    row, view = loaded.rows[piece.cloth.code], loaded.view_of(piece.cloth.code)
    return PieceSteps(
        row.code,
        row.name,
        row.place,
        view.standing,
        tuple(_before(loaded, piece, view.standing, stash.measure)),
        tuple(
            StepView(step.number, sentence(step, stash.measure), step.lines)
            for step in piece_steps(piece, Hand(habits.hand.value), tools)
        ),
    )


def _before(
    loaded: LoadedPlan, piece: PiecePlan, standing: Standing, measure: Measure
) -> Iterator[str]:
    planned, now = piece.cloth, loaded.now[piece.cloth.code]
    if standing is Standing.MEASURE:
        whole = format_size(planned.whole, measure, Rounding.UP)
        yield f"Measure it first: it must be at least {whole}, selvedges and raw edges included."
    elif standing in {Standing.CHANGED, Standing.GONE}:
        yield "It changed since it was planned: plan again, and do not cut it by these steps."
    elif now is not None and now.size != planned.size and standing is Standing.READY:
        size = format_size(planned.size, measure)
        yield f"It measures more than planned: square it up and trim it to {size} first."


def _questions(stash: Stash) -> tuple[str, ...]:
    habits = stash.settings.habits
    unknown = [name for name, tool in (("ruler", habits.ruler), ("mat", habits.mat)) if not tool]
    if not unknown:
        return ()
    example = "6 1/2 x 24 in" if unknown[0] == "ruler" else "24 x 36 in"
    told = (
        f"Tell your {' and your '.join(unknown)} once in the settings (such as {unknown[0]} "
        f"{example}), and moves that exceed {'them' if len(unknown) > 1 else 'it'} will be told."
    )
    return (told,)
