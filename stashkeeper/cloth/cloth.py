"""Cloth: what a piece offers to a plan."""

from collections.abc import Set
from dataclasses import dataclass, field

from stashkeeper.cloth.usable import Cause, Direction, Usable
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

_NOTHING = Length(0)


@dataclass(frozen=True, slots=True)
class Trims:
    """What is cut off along each edge before the first useful cut: selvedges, squaring up.

    `left` and `right` are the ends of the width, `near` and `far` the ends of the length.
    """

    left: Length = _NOTHING
    right: Length = _NOTHING
    near: Length = _NOTHING
    far: Length = _NOTHING

    @property
    def edges(self) -> tuple[Length, Length, Length, Length]:
        """The four trims: left, right, near, far."""
        return self.left, self.right, self.near, self.far


def trims_of(usable: Usable, selvedges: Set[Edge]) -> Trims:
    """Return what squaring up cuts off each edge, from what a piece loses.

    Each selvedge takes its share of the selvedge loss; a raw direction is squared up at its left
    or near end. What shrinks, or was never trusted to be there, is no trim.
    """

    def lost(cause: Cause, direction: Direction) -> int:
        return sum(
            loss.length.ticks
            for loss in usable.losses
            if (loss.cause, loss.direction) == (cause, direction)
        )

    selvedge = lost(Cause.SELVEDGE, Direction.WIDTH)
    right = selvedge // len(selvedges) if Edge.RIGHT in selvedges else 0
    left = selvedge - right + lost(Cause.SQUARING_UP, Direction.WIDTH)
    near = lost(Cause.SQUARING_UP, Direction.LENGTH)
    return Trims(Length(left), Length(right), Length(near))


@dataclass(frozen=True, slots=True)
class Cloth:
    """One piece as a plan sees it.

    Attributes:
        code: the code of the piece.
        fabric: the key of its fabric; pieces of one fabric share it.
        size: the usable size, after every allowance: width from selvedge to selvedge, length
            along the selvedge.
        certain: whether that size was measured; a plan on any other cloth holds only *probably*.
        directional: whether its print has a direction, so that no cut is turned on it.
        selvedges: which of its edges are selvedge.
        grain_known: whether its length is known to run along the selvedge; a cut with a direction
            is not taken from cloth whose grain nobody knows.
        flannel: whether it is flannel, of which fewer layers are cut at once.
        value: the group it plays in, where that is known.
        roles: the roles of a project it was chosen for.
        trims: what lies around the usable size and is cut off first.
    """

    code: str
    fabric: str
    size: Size
    certain: bool = True
    directional: bool = False
    selvedges: frozenset[Edge] = frozenset()
    grain_known: bool = True
    flannel: bool = False
    value: Value | None = None
    roles: frozenset[str] = frozenset()
    trims: Trims = field(default_factory=Trims)

    @property
    def whole(self) -> Size:
        """The size of the piece as it lies on the shelf: the usable size and the trims."""
        left, right, near, far = self.trims.edges
        return Size(left + self.size.width + right, near + self.size.length + far)
