"""What of a piece can be used: the one place where a usable size is derived from a typed one.

Selvedges and a first straightening cut are lost before the first useful cut, an unmeasured width
is trusted only so far, and cloth that was never washed may still shrink. The figures are in
`Allowances`; the order here is the order at the table: cloth shrinks whole, then it is squared up.
"""

from collections.abc import Set
from dataclasses import dataclass
from enum import StrEnum

from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.format import format_length
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size


class Direction(StrEnum):
    """The two directions of a piece: across the fabric, and along its selvedge."""

    WIDTH = "width"
    LENGTH = "length"


class Cause(StrEnum):
    """Why some of a piece cannot be counted on."""

    UNMEASURED_WIDTH = "unmeasured width"
    SHRINKAGE = "shrinkage"
    SELVEDGE = "selvedge"
    SQUARING_UP = "squaring up"


@dataclass(frozen=True, slots=True)
class Loss:
    """A length taken off one direction of a piece (above zero), and why."""

    direction: Direction
    length: Length
    cause: Cause

    def sentence(self, measure: Measure) -> str:
        """Return the loss as one plain sentence, its length rounded up to a ruler mark."""
        length = format_length(self.length, measure, Rounding.UP)
        return f"{length} off the {self.direction}: {_REASONS[self.cause]}."


_REASONS = {
    Cause.UNMEASURED_WIDTH: "fabrics differ in width, and this one was not measured",
    Cause.SHRINKAGE: "it has not been washed yet and may shrink",
    Cause.SELVEDGE: "the selvedge is cut away",
    Cause.SQUARING_UP: "it still has to be squared up",
}


@dataclass(frozen=True, slots=True)
class Usable:
    """What can be used of a piece.

    Attributes:
        size: the usable size, exact, never above the typed one; zero where nothing is left.
        certain: whether the typed size was measured; otherwise it is usable *probably*.
        losses: what was taken off, in the order it is lost.
    """

    size: Size
    certain: bool
    losses: tuple[Loss, ...]

    def taken_off(self, measure: Measure) -> tuple[str, ...]:
        """Return what was taken off as plain sentences, lengths in the person's measure."""
        return tuple(loss.sentence(measure) for loss in self.losses)


def usable(
    size: Size,
    basis: Basis,
    selvedges: Set[Edge],
    squared: bool,
    washed: bool,
    flannel: bool,
    allowances: Allowances,
) -> Usable:
    """Return what can be used of a piece.

    Args:
        size: as typed, selvedges included.
        basis: how the size is known.
        selvedges: which edges are still selvedge.
        squared: whether all raw edges are straight and at right angles.
        washed: whether it has shrunk already.
        flannel: whether it shrinks as flannel does.
        allowances: this person's habits.

    A direction loses the squaring-up allowance only where both its edges are raw: cutting a
    selvedge away is itself the first straight cut of its direction. So a fat quarter of 21 × 18 in
    gives 20½ × 17½ in, as patterns commonly assume (common practice).
    """
    share = allowances.flannel_shrinkage if flannel else allowances.shrinkage
    across, along = _Side(Direction.WIDTH, size.width), _Side(Direction.LENGTH, size.length)
    if len(selvedges) == 2 and basis is not Basis.MEASURED:
        trusted = allowances.usable_width + 2 * allowances.selvedge
        across.lose(size.width - trusted, Cause.UNMEASURED_WIDTH)
    if share and not washed:
        across.lose(across.left - across.left.shrunk_by(share), Cause.SHRINKAGE)
        along.lose(along.left - along.left.shrunk_by(share), Cause.SHRINKAGE)
    across.lose(len(selvedges) * allowances.selvedge, Cause.SELVEDGE)
    if not squared and not selvedges:
        across.lose(allowances.squaring_up, Cause.SQUARING_UP)
    if not squared:
        along.lose(allowances.squaring_up, Cause.SQUARING_UP)
    losses = (*across.losses, *along.losses)
    return Usable(Size(across.left, along.left), basis is Basis.MEASURED, losses)


class _Side:
    """One direction of a piece while its losses are taken off."""

    def __init__(self, direction: Direction, length: Length) -> None:
        self.direction = direction
        self.left = length
        self.losses: list[Loss] = []

    def lose(self, length: Length, cause: Cause) -> None:
        """Take off as much of `length` as there is, and remember why."""
        if (ticks := min(length.ticks, self.left.ticks)) > 0:
            lost = Length(ticks)
            self.left -= lost
            self.losses.append(Loss(self.direction, lost, cause))
