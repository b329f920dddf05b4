"""A plan: which pieces are opened, and every edge-to-edge cut in the order a person makes them.

A plan is data and never changes. A piece is seen from above with its length running away from the
person: `left` and `near` are measured from the corner at the left hand, on the whole piece, before
anything is trimmed off.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


class Goal(StrEnum):
    """What a plan spares."""

    SCRAPS_FIRST = "scraps first"
    """Large pieces: they are worth more than the same area in scraps."""
    LEAST_CLOTH = "least cloth"
    """The area of the pieces that are opened."""


class Direction(StrEnum):
    """Which way the rotary cutter runs."""

    ALONG = "along the length"
    """Parallel to the selvedge; the place of the cut is measured from the left edge."""
    ACROSS = "across the width"
    """From selvedge to selvedge; the place of the cut is measured from the near edge."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a piece: where its near left corner lies, and its size."""

    left: Length
    near: Length
    size: Size

    @property
    def right(self) -> Length:
        """How far its right edge is from the left edge of the piece."""
        return self.left + self.size.width

    @property
    def far(self) -> Length:
        """How far its far edge is from the near edge of the piece."""
        return self.near + self.size.length


@dataclass(frozen=True, slots=True)
class CutLine:
    """One edge-to-edge cut through a rectangle that earlier cuts have left.

    Attributes:
        box: the rectangle it cuts in two, from edge to edge.
        direction: which way the cutter runs.
        setting: how far from the left (or near) edge of `box`: what is read on the ruler.
        stage: 1 for the first cuts of the squared piece (strips), 2 for cross-cuts, and so on.
    """

    box: Box
    direction: Direction
    setting: Length
    stage: int


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one cut comes from: its name, its box, and whether it lies turned by a quarter."""

    name: str
    box: Box
    turned: bool = False


@dataclass(frozen=True, slots=True)
class OffCut:
    """A rectangle nobody asked for; `kept` if it is worth putting back on the shelf."""

    box: Box
    kept: bool


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """How one piece is cut.

    Attributes:
        cloth: the piece.
        trims: the strips taken off its edges first, in order.
        lines: every cut of the squared piece, in the order a person makes them.
        placements: what is cut for the plan, in the order it comes off.
        off_cuts: the rest, so that trims, placements and off-cuts are the whole piece.
    """

    cloth: Cloth
    trims: tuple[Box, ...]
    lines: tuple[CutLine, ...]
    placements: tuple[Placement, ...]
    off_cuts: tuple[OffCut, ...]

    @property
    def squared(self) -> Box:
        """What is left of the piece once its edges are trimmed."""
        return Box(self.cloth.trims.left, self.cloth.trims.near, self.cloth.size)

    @property
    def kept(self) -> tuple[OffCut, ...]:
        """The off-cuts worth putting back on the shelf."""
        return tuple(off_cut for off_cut in self.off_cuts if off_cut.kept)

    @property
    def stages(self) -> int:
        """How often the direction changes, at most, from the squared piece to a cut."""
        return max((line.stage for line in self.lines), default=0)

    @property
    def ruler_settings(self) -> int:
        """How often the ruler is set anew, cutting in the stated order."""
        settings = [line.setting for line in self.lines]
        return sum(one != other for one, other in zip([None, *settings], settings, strict=False))


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole plan.

    Attributes:
        goal: what it spares.
        cuts: what was asked for, spares included.
        pieces: how each opened piece is cut, in the order they are cut.
    """

    goal: Goal
    cuts: tuple[Cut, ...]
    pieces: tuple[PiecePlan, ...]

    @property
    def certain(self) -> bool:
        """Whether every opened piece was measured; otherwise the plan holds only probably."""
        return all(piece.cloth.certain for piece in self.pieces)

    @property
    def to_measure(self) -> tuple[str, ...]:
        """The codes of the opened pieces that must be measured before they are cut."""
        return tuple(piece.cloth.code for piece in self.pieces if not piece.cloth.certain)

    @property
    def opened(self) -> int:
        """How many pieces are opened."""
        return len(self.pieces)

    @property
    def cloth_area(self) -> int:
        """The area of the opened pieces, trims included, in square ticks."""
        return sum(piece.cloth.whole.area for piece in self.pieces)

    @property
    def cut_area(self) -> int:
        """The area of everything cut for the plan, in square ticks."""
        return sum(placement.box.size.area for _, placement in self.placements())

    @property
    def kept_area(self) -> int:
        """The area of the off-cuts worth keeping, in square ticks."""
        return sum(off_cut.box.size.area for piece in self.pieces for off_cut in piece.kept)

    @property
    def waste_area(self) -> int:
        """The area that is neither cut for the plan nor worth keeping, in square ticks."""
        return self.cloth_area - self.cut_area - self.kept_area

    @property
    def lines(self) -> int:
        """How many cuts are made, trims not counted."""
        return sum(len(piece.lines) for piece in self.pieces)

    @property
    def ruler_settings(self) -> int:
        """How often the ruler is set anew, trims not counted."""
        return sum(piece.ruler_settings for piece in self.pieces)

    @property
    def stages(self) -> int:
        """2 for strips and cross-cuts; more where only that reached what was asked for."""
        return max((piece.stages for piece in self.pieces), default=0)

    def placements(self) -> Iterator[tuple[PiecePlan, Placement]]:
        """Yield every placement with the piece it comes from."""
        for piece in self.pieces:
            for placement in piece.placements:
                yield piece, placement
