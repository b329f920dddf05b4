"""Lengths along a diagonal, exact to the tick and never short.

A diagonal of a square is its side times the square root of two, which no tick holds. The result is
the next whole tick up, found with whole numbers only.
"""

import math

from stashkeeper.lengths.length import Length


def times_root_two(length: Length) -> Length:
    """Return the diagonal of a square of this side (not negative), rounded up to a tick."""
    return Length(_root_up(2 * length.ticks**2))


def over_root_two(length: Length) -> Length:
    """Return the side of a square with this diagonal (not negative), rounded up to a tick."""
    return Length(_root_up(-(-(length.ticks**2) // 2)))


def root_of_area(area: int) -> Length:
    """Return the side of a square of `area` square ticks, rounded up to a tick."""
    return Length(_root_up(area))


def _root_up(square: int) -> int:
    """Return the smallest whole number whose square is at least `square`."""
    return math.isqrt(square - 1) + 1 if square > 0 else 0
