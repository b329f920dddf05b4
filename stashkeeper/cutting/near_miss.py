"""When no piece holds enough: several together, the nearest miss, the largest size that fits."""

from fractions import Fraction
from typing import Final

import numpy as np

from stashkeeper.cloth.cut import NARROWEST_CUT
from stashkeeper.cutting.fit import Held, check_wanted, counts, find
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size

_NOTHING: Final = Size(Length(0), Length(0))


def together(shelf: Shelf, size: Size, count: int, turning: bool = True) -> tuple[Held, ...]:
    """Return as few pieces as hold `count` cuts together; none if even all of them do not.

    The pieces that hold most come first; the last is the smallest that still completes the count.
    What each of them could set aside is not worked out.

    Raises:
        BadCutError: a count below 1, or a side under 1/4 in.
    """
    check_wanted(size, count)
    held = counts(shelf, size, turning)
    areas = shelf.widths * shelf.lengths
    order = np.lexsort((areas, -held))
    sums = np.cumsum(held[order])
    if not sums.size or sums[-1] < count:
        return ()
    needed = int(np.searchsorted(sums, count))
    chosen = order[:needed].tolist()
    still = count - (int(sums[needed - 1]) if needed else 0)
    rest = order[needed:]
    completing = rest[held[rest] >= still]
    chosen.append(int(completing[np.argmin(areas[completing])]))
    return tuple(Held(position, int(held[position]), _NOTHING) for position in chosen)


def nearest_miss(shelf: Shelf, size: Size, turning: bool = True) -> Held | None:
    """Return the piece that holds most of the cuts, the smallest of equals; None if none holds one.

    Raises:
        BadCutError: a side under 1/4 in.
    """
    held = counts(shelf, size, turning)
    if not held.size or not held.max():
        return None
    position = int(np.lexsort((shelf.widths * shelf.lengths, -held))[0])
    return Held(position, int(held[position]), _NOTHING)


def largest_that_fits(
    shelf: Shelf, size: Size, count: int, mark: Length, turning: bool = True
) -> Size | None:
    """Return the largest size of the same proportions that some piece holds `count` times.

    Args:
        shelf: the usable sizes to search.
        size: the size that was wanted; the answer is never larger.
        count: how many one piece must hold.
        mark: the ruler mark the answer is rounded down to.
        turning: whether the cut may be turned by a quarter.

    Returns:
        The size, or None where not even a cut of 1/4 in would fit.
    """
    check_wanted(size, count)
    long = max(size.width, size.length)
    low, high = 0, long // mark
    while low < high:
        middle = (low + high + 1) // 2
        if _fits(shelf, _shrunk(size, mark * middle, mark), count, turning):
            low = middle
        else:
            high = middle - 1
    best = _shrunk(size, mark * low, mark)
    return best if _fits(shelf, best, count, turning) else None


def _shrunk(size: Size, long: Length, mark: Length) -> Size:
    """Return the size with its longer side `long`, in the same proportions, at a ruler mark."""
    share = Fraction(long.ticks, max(size.width, size.length).ticks)
    width, length = (
        Length(int(side.ticks * share)).rounded_to(mark, Rounding.DOWN)
        for side in (size.width, size.length)
    )
    return Size(width, length)


def _fits(shelf: Shelf, size: Size, count: int, turning: bool) -> bool:
    smallest = min(size.width, size.length)
    return smallest >= NARROWEST_CUT and len(find(shelf, size, count, turning)) > 0
