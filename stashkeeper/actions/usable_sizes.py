"""Usable sizes of a whole shelf at once: what `usable` says, asked once for each length there is.

What a direction of a piece loses depends on its own length and on the state of the piece (how its
size is known, its selvedges, whether it is squared up, washed, flannel), never on the other one.
So of a hundred thousand pieces a few hundred lengths are derived, by the one function that does it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stashkeeper.actions.cloths import Allowance, is_directional, usable_of_size
from stashkeeper.catalogue.cloth_columns import ClothColumns, State
from stashkeeper.cloth.usable import Cause, Direction, Usable
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

type Whole = NDArray[np.int64]
type Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class UsableSizes:
    """Usable widths and lengths in ticks, one place for each piece.

    Attributes:
        widths, lengths: the usable sizes.
        certain: whether so much is there for certain.
        directional: whether nothing may be turned, for the print has a direction.
    """

    widths: Whole
    lengths: Whole
    certain: Flags
    directional: Flags


def usable_sizes(cloth: ClothColumns, taken: Allowance) -> UsableSizes:
    """Return what can be used of each piece.

    Args:
        cloth: the pieces.
        taken: what is taken off each.
    """
    flags = np.zeros((2, len(cloth)), dtype=np.bool_)
    answer = UsableSizes(cloth.widths.copy(), cloth.lengths.copy(), *flags)
    for number, state in enumerate(cloth.states):
        places = np.flatnonzero(cloth.of_state == number)
        if places.size:
            _derive(answer, places, state, taken)
    return answer


def _derive(sizes: UsableSizes, places: Whole, like: State, taken: Allowance) -> None:
    """Put the usable sizes of the pieces in one state in their places."""
    # Each length is asked for both ways at once; what a direction loses is its own affair.
    widths, across = np.unique(sizes.widths[places], return_inverse=True)
    lengths, along = np.unique(sizes.lengths[places], return_inverse=True)
    of_width = [usable_of_size(_square(one), like, taken) for one in widths.tolist()]
    of_length = [usable_of_size(_square(one), like, taken) for one in lengths.tolist()]
    sizes.widths[places] = _ticks([one.size.width for one in of_width])[across]
    sizes.lengths[places] = _ticks([one.size.length for one in of_length])[along]
    sizes.directional[places] = is_directional(like)
    surely = np.array([_certain(one, Direction.WIDTH) for one in of_width])[across]
    sizes.certain[places] = (
        surely & np.array([_certain(one, Direction.LENGTH) for one in of_length])[along]
    )


def _square(ticks: int) -> Size:
    return Size(Length(ticks), Length(ticks))


def _certain(offered: Usable, direction: Direction) -> bool:
    """Tell whether one direction is certain: measured, and not about to shrink."""
    shrinks = any(
        loss.cause is Cause.SHRINKAGE and loss.direction is direction for loss in offered.losses
    )
    return offered.certain and not shrinks


def _ticks(lengths: Sequence[Length]) -> Whole:
    return np.array([length.ticks for length in lengths], dtype=np.int64)
