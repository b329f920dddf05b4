"""Usable sizes of a whole shelf at once: what `usable` says of each piece.

What a piece loses depends on its state (how its size is known, its selvedges, whether it is squared
up, washed, flannel); the one function that says so is asked once for each state there is, and the
pieces in that state lose it together.
"""

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from stashkeeper.actions.cloths import Allowance, is_directional, takes_of
from stashkeeper.catalogue.cloth_columns import ClothColumns, State
from stashkeeper.cloth.usable import Cause, Direction, Take
from stashkeeper.lengths.basis import Basis

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
    by_state = np.argsort(cloth.of_state, kind="stable")
    ends = np.cumsum(np.bincount(cloth.of_state, minlength=len(cloth.states)))
    for state, places in zip(cloth.states, np.split(by_state, ends[:-1]), strict=False):
        answer.directional[places] = is_directional(state)
        _derive(answer, places, state, taken)
    return answer


def _derive(sizes: UsableSizes, places: Whole, like: State, taken: Allowance) -> None:
    """Put the usable sizes of the pieces in one state in their places."""
    left = {
        Direction.WIDTH: sizes.widths[places],
        Direction.LENGTH: sizes.lengths[places],
    }
    certain = np.full(len(places), like.basis is Basis.MEASURED)
    for take in takes_of(like, taken):
        lost = _lost(take, left[take.direction])
        left[take.direction] -= lost
        if take.cause is Cause.SHRINKAGE:
            certain &= lost == 0
    sizes.widths[places], sizes.lengths[places] = left.values()
    sizes.certain[places] = certain


def _lost(take: Take, left: Whole) -> Whole:
    """Return what each of these lengths loses, as `Take.lost` says of one."""
    if take.beyond is not None:
        return np.maximum(left - take.beyond.ticks, 0)
    if take.share:
        return left - _shrunk(left, 1 - take.share)
    return np.minimum(left, take.length.ticks)


def _shrunk(left: Whole, kept: Fraction) -> Whole:
    """Return so much of each length, rounded down; exact where 64 bits would not do, too."""
    if int(left.max(initial=0)) > np.iinfo(np.int64).max // kept.denominator:
        ticks = [length * kept.numerator // kept.denominator for length in left.tolist()]
        return np.array(ticks, dtype=np.int64)
    return left * kept.numerator // kept.denominator
