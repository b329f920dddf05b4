"""Steps for hands: a piece's plan as a person carries it out, with a ruler and a rotary cutter.

A right-handed person lays the straightened edge at the left and cuts along the right edge of the
ruler; a left-handed person turns the piece half way round and does the mirror image (common
practice). Cuts that run alike and are set alike are one step, and so are strips that are cut alike.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby
from typing import Final

from stashkeeper.cutting.outcome import line_parts
from stashkeeper.cutting.plan import Box, CutLine, Direction, PiecePlan, Plan
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

_STRIP: Final = "strip "
"""What the name of a strip begins with; its number follows."""

CAUTIONS: Final = (
    "Close the blade every time you put the cutter down.",
    "Cut away from yourself, standing, with the fingers of the other hand well behind the edge.",
    "Change the blade when it skips threads: a dull one needs the pressure that slips.",
)
"""What to know about a rotary cutter, told once (common practice)."""


class Hand(StrEnum):
    """The hand that holds the cutter."""

    RIGHT = "right"
    LEFT = "left"


class Side(StrEnum):
    """An edge of the piece as it lies before the person."""

    LEFT = "left"
    RIGHT = "right"
    NEAR = "near"
    FAR = "far"


class Deed(StrEnum):
    """What one step is about."""

    PRESS = "press"
    SQUARE_UP = "square up"
    SET_ASIDE = "set aside"
    STRIP = "strip"
    CUT = "cut"
    TRIM = "trim"


@dataclass(frozen=True, slots=True)
class Tools:
    """The owner's longest ruler and the cutting mat; None where nobody has asked yet."""

    ruler_width: Length | None = None
    ruler_length: Length | None = None
    mat: Size | None = None


class Exceeds(StrEnum):
    """A tool that is too small for a move, and what helps (common practice)."""

    RULER_WIDTH = "the ruler is narrower than that: lay a second one beside it, or use the mat"
    RULER_LENGTH = "the ruler is shorter than the cut: fold the piece edge to edge first"
    MAT = "the piece is larger than the mat: fold it, or cut in two moves"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Attributes:
        number: its place, from 1, on this piece.
        deed: what it is about.
        sources: what is cut: the code of the piece, `strip 2`, `the rest of F1`; several strips
            where each is cut alike.
        setting: what is read on the ruler; None where nothing is measured.
        side: the edge it is measured from, as the piece lies before the person.
        times: how many cuts alike, of each source.
        gives: what comes off, of all sources: names of cuts, strips; empty where it is an off-cut
            or waste. What is left at the end counts too, if it is one more of the same.
        remains: the name of what is left at the end, where it is something else that is needed.
        off_cut: the size of what is set aside or trimmed away of each source, if any.
        kept: whether that goes back on the shelf.
        selvedge: whether a selvedge comes off.
        lines: the numbers, from 1, of the plan's cuts this step makes.
        exceeds: the owner's tools that are too small for it.
    """

    number: int
    deed: Deed
    sources: tuple[str, ...]
    setting: Length | None = None
    side: Side | None = None
    times: int = 1
    gives: tuple[str, ...] = ()
    remains: str | None = None
    off_cut: Size | None = None
    kept: bool = False
    selvedge: bool = False
    lines: tuple[int, ...] = ()
    exceeds: tuple[Exceeds, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanSteps:
    """All steps of a plan: the cautions, told once, and the steps of each piece by its code."""

    cautions: tuple[str, ...]
    pieces: tuple[tuple[str, tuple[Step, ...]], ...]


def plan_steps(plan: Plan, hand: Hand = Hand.RIGHT, tools: Tools | None = None) -> PlanSteps:
    """Return every step of a plan, in order; no cautions where nothing is cut."""
    pieces = tuple(
        (piece.cloth.code, piece_steps(piece, hand, tools or Tools())) for piece in plan.pieces
    )
    cutting = any(
        step.lines or step.deed is Deed.SQUARE_UP for _, steps in pieces for step in steps
    )
    return PlanSteps(CAUTIONS if cutting else (), pieces)


def piece_steps(
    piece: PiecePlan, hand: Hand = Hand.RIGHT, tools: Tools | None = None
) -> tuple[Step, ...]:
    """Return the steps of one piece: press, square up, set aside, strips, cross-cuts."""
    steps = [Step(0, Deed.PRESS, (piece.cloth.code,)), *_squaring(piece, hand)]
    steps += _together(_Walk(piece, hand, tools or Tools()).steps())
    return tuple(replace(step, number=number) for number, step in enumerate(steps, start=1))


def _squaring(piece: PiecePlan, hand: Hand) -> Iterator[Step]:
    """Yield one step for every edge that is trimmed off."""
    edges = {Side.LEFT: Edge.LEFT, Side.RIGHT: Edge.RIGHT}
    for side, trim in zip(Side, piece.cloth.trims.edges, strict=True):
        if trim:
            selvedge = edges.get(side) in piece.cloth.selvedges
            seen = seen_from(side, hand)
            yield Step(0, Deed.SQUARE_UP, (piece.cloth.code,), trim, seen, selvedge=selvedge)


def _together(steps: Iterable[Step]) -> Iterator[Step]:
    """Yield the steps, those of strips that follow on one another and are cut alike as one."""
    for _, alike in groupby(steps, key=_told_apart):
        same = tuple(alike)
        yield replace(
            same[0],
            sources=tuple(source for step in same for source in step.sources),
            gives=tuple(name for step in same for name in step.gives),
            lines=tuple(line for step in same for line in step.lines),
        )


def _told_apart(step: Step) -> Step:
    """Return what tells a step from others: of a strip cut to its end, not which strip it is."""
    further = step.remains or any(is_strip(name) for name in step.gives)
    if is_strip(step.sources[0]) and not further:
        return replace(step, sources=(), lines=())
    return step


def is_strip(name: str) -> bool:
    """Tell whether this is the name of a strip, and not that of a cut such as `strip red`."""
    return name.startswith(_STRIP) and name.removeprefix(_STRIP).isdecimal()


def seen_from(side: Side, hand: Hand) -> Side:
    """Return where an edge lies once a left-handed person has turned the piece half way round."""
    opposite = {
        Side.LEFT: Side.RIGHT,
        Side.RIGHT: Side.LEFT,
        Side.NEAR: Side.FAR,
        Side.FAR: Side.NEAR,
    }
    return opposite[side] if hand is Hand.LEFT else side


class _Walk:
    """Goes through the cuts of a piece and gives every rectangle a name."""

    def __init__(self, piece: PiecePlan, hand: Hand, tools: Tools) -> None:
        self._piece, self._hand, self._tools = piece, hand, tools
        self._wanted = {placement.box: placement.name for placement in piece.placements}
        self._rests = {off_cut.box: off_cut.kept for off_cut in piece.off_cuts}
        self._names = {piece.squared: piece.cloth.code}
        self._strips = 0

    def steps(self) -> Iterator[Step]:
        """Yield the steps of all cuts, cuts alike together."""
        for run in self._runs():
            yield self._step(run)

    def _runs(self) -> Iterator[list[int]]:
        """Yield the positions of cuts that follow on one another and are alike."""
        run: list[int] = []
        for position, line in enumerate(self._piece.lines):
            if run and not self._alike(self._piece.lines[run[-1]], line):
                yield run
                run = []
            run.append(position)
        if run:
            yield run

    def _alike(self, before: CutLine, line: CutLine) -> bool:
        first, second = line_parts(before), line_parts(line)
        return (
            line.box == first[1]
            and (line.direction, line.setting) == (before.direction, before.setting)
            and self._kind(first[0]) == self._kind(second[0])
        )

    def _kind(self, box: Box) -> object:
        """Return what a rectangle is: a name, waste or not, or something to be cut further."""
        return self._wanted.get(box, self._rests.get(box, "strip"))

    def _step(self, run: Sequence[int]) -> Step:
        lines = [self._piece.lines[position] for position in run]
        source = self._names[lines[0].box]
        taken, rest = [line_parts(line)[0] for line in lines], line_parts(lines[-1])[1]
        gives = [self._named(box) for box in taken if box not in self._rests]
        remains = self._remaining(rest, run, source)
        if (
            remains
            and rest.size == taken[0].size
            and (remains in gives or rest not in self._wanted)
        ):
            gives.append(remains)
            remains = None
        off_cut = taken[0] if taken[0] in self._rests else rest if rest in self._rests else None
        side = Side.LEFT if lines[0].direction is Direction.ALONG else Side.NEAR
        return Step(
            0,
            self._deed(lines, taken[0], rest),
            (source,),
            lines[0].setting,
            seen_from(side, self._hand),
            len(lines),
            tuple(gives),
            remains,
            off_cut.size if off_cut else None,
            bool(off_cut and self._rests[off_cut]),
            lines=tuple(position + 1 for position in run),
            exceeds=tuple(self._exceeds(lines[0])),
        )

    def _remaining(self, rest: Box, run: Sequence[int], source: str) -> str | None:
        """Return the name of what is left after a run, if nothing goes on with it the same way."""
        if rest in self._wanted or (rest not in self._rests and not self._cut_on(rest, run)):
            return self._named(rest)
        self._names[rest] = source if source.startswith("the rest") else f"the rest of {source}"
        return None

    def _cut_on(self, rest: Box, run: Sequence[int]) -> bool:
        """Tell whether the next cut goes on with what is left, the same way."""
        following = self._piece.lines[run[-1] + 1 : run[-1] + 2]
        before = self._piece.lines[run[-1]]
        return any(line.box == rest and line.direction is before.direction for line in following)

    def _named(self, box: Box) -> str:
        """Return the name of a cut, or the next number for a strip."""
        if box in self._wanted:
            return self._wanted[box]
        self._strips += 1
        self._names[box] = f"{_STRIP}{self._strips}"
        return self._names[box]

    def _deed(self, lines: Sequence[CutLine], taken: Box, rest: Box) -> Deed:
        if taken in self._wanted:
            trimmed = len(lines) == 1 and rest in self._rests and not self._rests[rest]
            return Deed.TRIM if trimmed and lines[0].stage > 2 else Deed.CUT
        if lines[0].stage == 0 or taken in self._rests:
            return Deed.SET_ASIDE
        return Deed.STRIP

    def _exceeds(self, line: CutLine) -> Iterator[Exceeds]:
        """Yield the tools that are too small for a cut."""
        size, tools = line.box.size, self._tools
        reach = size.length if line.direction is Direction.ALONG else size.width
        if tools.ruler_width and line.setting > tools.ruler_width:
            yield Exceeds.RULER_WIDTH
        if tools.ruler_length and reach > tools.ruler_length:
            yield Exceeds.RULER_LENGTH
        if tools.mat and not tools.mat.holds(size):
            yield Exceeds.MAT
