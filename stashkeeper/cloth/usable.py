"""What of a piece can be used: the one place where a usable size is derived from a typed one.

Selvedges and a first straightening cut are lost before the first useful cut, an unmeasured width
is trusted only so far, and cloth that was never washed may still shrink. The figures are in
`Allowances`; the order here is the order at the table: cloth shrinks whole, then it is squared up.
"""

from collections.abc import Sequence, Set
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.format import format_length
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size

_NOTHING: Final = Length(0)
_NO_SHARE: Final = Fraction(0)


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
class Take:
    """What one cause takes off a direction: all `beyond` a length, a `share`, or a `length`.

    Never more than is left.
    """

    direction: Direction
    cause: Cause
    length: Length = _NOTHING
    share: Fraction = _NO_SHARE
    beyond: Length | None = None

    def lost(self, left: Length) -> Length:
        """Return what is lost of so much."""
        if self.beyond is not None:
            return max(left - self.beyond, _NOTHING)
        if self.share:
            return left - left.shrunk_by(self.share)
        return min(self.length, left)


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
    return after(size, basis, takes(basis, selvedges, squared, washed, flannel, allowances))


def after(size: Size, basis: Basis, taken: Sequence[Take]) -> Usable:
    """Return what can be used of a piece after all this was taken off, in this order.

    Args:
        size: as typed.
        basis: how the size is known.
        taken: what is taken off.
    """
    left = {Direction.WIDTH: size.width, Direction.LENGTH: size.length}
    losses: dict[Direction, list[Loss]] = {direction: [] for direction in Direction}
    for take in taken:
        lost = take.lost(left[take.direction])
        if lost.ticks:
            left[take.direction] -= lost
            losses[take.direction].append(Loss(take.direction, lost, take.cause))
    return Usable(
        Size(left[Direction.WIDTH], left[Direction.LENGTH]),
        basis is Basis.MEASURED,
        (*losses[Direction.WIDTH], *losses[Direction.LENGTH]),
    )


def takes(
    basis: Basis,
    selvedges: Set[Edge],
    squared: bool,
    washed: bool,
    flannel: bool,
    allowances: Allowances,
) -> tuple[Take, ...]:
    """Return what a piece in this state loses, whatever its size, in the order it is lost.

    Args: as of `usable`.
    """
    share = allowances.flannel_shrinkage if flannel else allowances.shrinkage
    found = []
    if len(selvedges) == 2 and basis is not Basis.MEASURED:
        trusted = allowances.usable_width + 2 * allowances.selvedge
        found.append(Take(Direction.WIDTH, Cause.UNMEASURED_WIDTH, beyond=trusted))
    if share and not washed:
        found += [Take(direction, Cause.SHRINKAGE, share=share) for direction in Direction]
    edges = len(selvedges) * allowances.selvedge
    found.append(Take(Direction.WIDTH, Cause.SELVEDGE, length=edges))
    if not squared and not selvedges:
        squaring = allowances.squaring_up
        found.append(Take(Direction.WIDTH, Cause.SQUARING_UP, length=squaring))
    if not squared:
        found.append(Take(Direction.LENGTH, Cause.SQUARING_UP, length=allowances.squaring_up))
    return tuple(found)
