"""A plan as steps for hands, piece by piece."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stashkeeper.actions.plan_view import Standing
from stashkeeper.actions.plans import LoadedPlan, load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.cutting.outcome import line_parts
from stashkeeper.cutting.plan import Box, PiecePlan
from stashkeeper.cutting.steps import CAUTIONS, Hand, Step, Tools, piece_steps
from stashkeeper.cutting.wording import sentence
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class StepView:
    """One thing to do, in words; `lines` are the numbers of the cuts on the diagram."""

    number: int
    text: str
    lines: tuple[int, ...]

    @property
    def marks(self) -> str:
        """The numbers its cuts have on the diagram, in words; empty where it makes none."""
        if len(self.lines) < 2:
            return f"cut {self.lines[0]}" if self.lines else ""
        return f"cuts {self.lines[0]} {'and' if len(self.lines) == 2 else 'to'} {self.lines[-1]}"

    @property
    def shown(self) -> str:
        """The words, with the numbers its cuts have on the diagram."""
        return f"{self.text} [{self.marks}]" if self.marks else self.text


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
class StackSteps:
    """What to do with a stack, once each layer is pressed and squared up.

    Attributes:
        codes: the layers.
        steps: the cuts through all of them.
        keeps: what is left of each layer and goes back, in words.
        fullest: the layer that is cut most; its diagram shows the cuts.
    """

    codes: tuple[str, ...]
    steps: tuple[StepView, ...]
    keeps: tuple[str, ...]
    fullest: str

    @property
    def lay(self) -> str:
        """The first thing to do."""
        if len(self.codes) == 1:
            return f"Cut {self.codes[0]} by itself."
        return (
            f"Lay {', '.join(self.codes)} on one another, the largest at the bottom, with their "
            "squared corners together."
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """The stack and its steps, a line each."""
        steps = (f"  {number:>2}  {step.shown}" for number, step in enumerate(self.steps, 2))
        return (f"   1  {self.lay}", *steps, *(f"      {line}" for line in self.keeps))


@dataclass(frozen=True, slots=True)
class Steps:
    """All steps of a plan.

    Attributes:
        title: the plan in a line.
        cuts: name and size of every cut.
        cautions: about the rotary cutter, told once.
        questions: what the owner was never asked yet: ruler and mat.
        pieces: in the order they are cut; of pieces cut in stacks only what comes before.
        stacks: the stacks, where pieces are cut together.
        hand: that holds the cutter.
    """

    number: int
    title: str
    cuts: tuple[tuple[str, Size], ...]
    cautions: tuple[str, ...]
    questions: tuple[str, ...]
    pieces: tuple[PieceSteps, ...]
    stacks: tuple[StackSteps, ...]
    hand: Hand
    _measure: Measure

    @property
    def legend(self) -> str:
        """What the names of the cuts stand for, and how a piece lies for the left hand."""
        named = (
            f"{name} is {format_size(size, self._measure, Rounding.UP)}" for name, size in self.cuts
        )
        words = f"{'; '.join(named)}."
        if self.hand is Hand.LEFT:
            words += " For the left hand, lay each piece turned half way round from its diagram."
        return words

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
        for number, stack in enumerate(self.stacks, start=1):
            yield " "
            yield f"Stack {number}: {', '.join(stack.codes)}"
            yield from stack.sentences


def steps(stash: Stash, number: int, code: str | None = None) -> Steps:
    """Return the steps of a plan, or of one piece of it.

    Raises:
        NotFoundError: there is no such plan, or it does not cut such a piece.
    """
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
    pieces = loaded.plan.pieces if code is None else (loaded.piece(code),)
    told = tuple(steps_of_piece(stash, loaded, piece) for piece in pieces)
    stacks = tuple(_stack(stash, loaded, codes, told) for codes in loaded.stacks)
    if code is not None:
        stacks = ()
    if stacks:
        told = tuple(replace(one, steps=tuple(step for step in one.steps if not step.lines))
                     for one in told)  # fmt: skip
    return Steps(
        number,
        loaded.view.title,
        tuple((cut.name, cut.size) for cut in loaded.plan.cuts),
        CAUTIONS if any(piece.lines or piece.trims for piece in pieces) else (),
        _questions(stash),
        told,
        stacks,
        Hand(stash.settings.habits.hand.value),
        stash.measure,
    )


def _kept_words(loaded: LoadedPlan, code: str, measure: Measure) -> list[str]:
    return [format_size(size, measure) for size in loaded.view_of(code).keeps]


def _stack(
    stash: Stash, loaded: LoadedPlan, codes: tuple[str, ...], told: tuple[PieceSteps, ...]
) -> StackSteps:
    """Return the cuts through a stack: those of the layer that needs most of them."""
    layers = [one for one in told if one.code in codes]
    fullest = max(layers, key=lambda one: len(loaded.piece(one.code).lines))
    if len(codes) > 1:
        steps = tuple(_of_layers(stash, [loaded.piece(code) for code in codes], fullest.code))
    else:
        steps = tuple(step for step in fullest.steps if step.lines)
    keeps = tuple(
        f"{one.code} keeps {', '.join(_kept_words(loaded, one.code, stash.measure))}."
        for one in layers
        if loaded.view_of(one.code).keeps
    )
    return StackSteps(codes, steps, keeps, fullest.code)


def _of_layers(stash: Stash, layers: Sequence[PiecePlan], fullest: str) -> Iterator[StepView]:
    """Yield the steps of one layer as steps of all: each leaves something else over."""
    piece = next(layer for layer in layers if layer.cloth.code == fullest)
    kept = {_corner(layer, off_cut.box) for layer in layers for off_cut in layer.kept}
    for step in _told(stash, piece):
        if not step.lines:
            continue
        rests = {_corner(piece, line_parts(piece.lines[number - 1])[1]) for number in step.lines}
        rest = "Set the rest aside." if rests & kept else "What is left over is waste."
        sources = tuple(_in_stack(source, fullest) for source in step.sources)
        text = sentence(replace(step, sources=sources), stash.measure, rest)
        yield StepView(step.number, text, step.lines)


def _in_stack(source: str, code: str) -> str:
    return {code: "the stack", f"the rest of {code}": "the rest of the stack"}.get(source, source)


def _corner(piece: PiecePlan, box: Box) -> tuple[Length, Length]:
    """Return where a rectangle begins, from the corner the layers of a stack share."""
    return box.left - piece.squared.left, box.near - piece.squared.near


def steps_of_piece(stash: Stash, loaded: LoadedPlan, piece: PiecePlan) -> PieceSteps:
    """Return what to do with one piece of a plan."""
    row, view = loaded.rows[piece.cloth.code], loaded.view_of(piece.cloth.code)
    return PieceSteps(
        row.code,
        row.name,
        row.place,
        view.standing,
        tuple(_before(loaded, piece, view.standing, stash.measure)),
        tuple(
            StepView(step.number, sentence(step, stash.measure), step.lines)
            for step in _told(stash, piece)
        ),
    )


def _told(stash: Stash, piece: PiecePlan) -> tuple[Step, ...]:
    """Return the steps of a piece for this person's hand, ruler and mat."""
    habits = stash.settings.habits
    tools = Tools(
        habits.ruler.width if habits.ruler else None,
        habits.ruler.length if habits.ruler else None,
        habits.mat,
    )
    return piece_steps(piece, Hand(habits.hand.value), tools)


def _before(
    loaded: LoadedPlan, piece: PiecePlan, standing: Standing, measure: Measure
) -> Iterator[str]:
    planned, now = piece.cloth, loaded.now[piece.cloth.code]
    if standing is Standing.MEASURE:
        whole = format_size(planned.whole, measure, Rounding.UP)
        first = "Wash and measure" if loaded.to_wash(piece.cloth.code) else "Measure"
        yield f"{first} it first: it must be at least {whole}, selvedges and raw edges included."
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
