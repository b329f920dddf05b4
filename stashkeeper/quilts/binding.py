"""Binding: strips joined end to end, on the straight grain or on the bias.

A diagonal join lays two strip ends across each other at a right angle: the joined strip is one
strip width shorter than both together (geometry). A straight join takes two seams.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.diagonals import over_root_two, root_of_area, times_root_two
from stashkeeper.quilts.sewing import QUARTER_INCH, checked

STRIP_WIDTH: Final = Length.from_inches("5/2")
"""The usual strip for binding folded in two along its length (common practice)."""

TAIL: Final = Length.from_inches(10)
"""Added to the way around the quilt for corners and the last join (christaquilts.com)."""


class Join(StrEnum):
    """How two strips are sewn end to end."""

    DIAGONAL = "diagonal"
    STRAIGHT = "straight"
    IGNORED = "ignored"
    """As printed rules do."""


@dataclass(frozen=True, slots=True)
class Binding:
    """Strips for a binding.

    Attributes:
        needed: the length of binding the quilt takes, tail included.
        strips: how many strips to cut.
        strip: width × length of each strip: cut width, and how long the fabric makes it.
        eaten: what all the joins take.
        made: the length that comes out.
        fabric: the length of fabric for strips cut from selvedge to selvedge.
        printed_strips: the number by the printed rule, needed / strip length, joins ignored.
    """

    needed: Length
    strips: int
    strip: Size
    eaten: Length
    made: Length
    fabric: Length
    printed_strips: int


def straight_binding(
    quilt: Size,
    strip_length: Length,
    strip_width: Length = STRIP_WIDTH,
    join: Join = Join.DIAGONAL,
    tail: Length = TAIL,
) -> Binding:
    """Return the strips on the straight grain that bind a quilt of this size.

    Needed: 2 × (width + length) + tail ("quilty math", christaquilts.com). Strips: the fewest
    whose joined length is enough.

    Raises:
        BadSizeError: sizes that no quilt has, or strips no longer than their joins.
    """
    needed = (checked(quilt.width) + checked(quilt.length)) * 2 + tail
    lost = lost_in_a_join(strip_width, join)
    strips = strips_for_length(needed, strip_length, strip_width, join)
    return Binding(
        needed=needed,
        strips=strips,
        strip=Size(strip_width, strip_length),
        eaten=lost * (strips - 1),
        made=strip_length * strips - lost * (strips - 1),
        fabric=strip_width * strips,
        printed_strips=strips_for_length(needed, strip_length, strip_width, Join.IGNORED),
    )


def lost_in_a_join(strip_width: Length, join: Join, seam: Length = QUARTER_INCH) -> Length:
    """Return what one join takes: a strip width if diagonal, two seams if straight."""
    if join is Join.DIAGONAL:
        return strip_width
    return seam * 2 if join is Join.STRAIGHT else Length(0)


def strips_for_length(
    needed: Length,
    strip_length: Length,
    strip_width: Length,
    join: Join = Join.DIAGONAL,
    seam: Length = QUARTER_INCH,
) -> int:
    """Return the fewest strips that, joined end to end, are as long as needed.

    Raises:
        BadSizeError: a length or width that is none, or strips no longer than their joins.
    """
    checked(strip_width, "strip width")
    lost = lost_in_a_join(strip_width, join, seam)
    if needed.ticks <= 0 or strip_length <= lost:
        raise BadSizeError(
            "The strips are no longer than what their joins take.",
            "Use longer strips, or straight joins.",
        )
    return max(1, -((lost - needed) // (strip_length - lost)))


def bias_length(square: Length, strip_width: Length, join: Join = Join.IGNORED) -> Length:
    """Return the bias binding that one square gives, rounded down to a tick.

    Joins ignored: area / strip width (thread "Make Any Border Fit", quiltingboard.com). Otherwise
    by geometry, for the square cut on a diagonal and sewn into a slanted piece: its slant height
    side / √2 holds whole strips only, each side × √2 long, less the two seams that cross it at 45°.

    Raises:
        BadSizeError: a square or strip that no quilt has.
    """
    side = checked(square, "square")
    width = checked(strip_width, "strip width")
    if join is Join.IGNORED:
        return Length(side.ticks**2 // width.ticks)
    strips = _root_down_half(side) // width
    straight = side - QUARTER_INCH * 4
    return Length(0) if straight.ticks <= 0 else (times_root_two(straight) - Length(1)) * strips


def bias_square(
    needed: Length, strip_width: Length, mark: Length, join: Join = Join.IGNORED
) -> Length:
    """Return the smallest square, at this ruler mark, that gives so much bias binding.

    Joins ignored: √(needed × strip width), as in the thread "Make Any Border Fit".

    Raises:
        BadSizeError: a length or strip that no quilt has.
    """
    area = checked(needed, "binding").ticks * checked(strip_width, "strip width").ticks
    square = root_of_area(area).rounded_to(mark, Rounding.UP)
    while bias_length(square, strip_width, join) < needed:
        square += mark
    return square


def _root_down_half(side: Length) -> Length:
    """Return side / √2, rounded down to a tick."""
    up = over_root_two(side)
    return up if 2 * up.ticks**2 == side.ticks**2 else up - Length(1)
