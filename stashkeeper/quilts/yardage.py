"""Cloth off the bolt: how much to ask for, in yards or metres.

A yard is 36 in exactly, so an eighth is 4½ in (definition). Shops cut by the eighth of a yard or
by ten centimetres (common practice), so what is needed rounds up to those.
"""

from fractions import Fraction
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.sewing import whole_number
from stashkeeper.quilts.strips import strips_needed

YARD: Final = Length.from_inches(36)
EIGHTH_YARD: Final = Length.from_inches("9/2")
TENTH_METRE: Final = Length.from_millimetres(100)

FAT_QUARTERS_A_YARD: Final = 4
"""A fat quarter is half a yard cut along the selvedge and halved across (common practice)."""


def yards(length: Length) -> Fraction:
    """Return the yards to buy for this length along the selvedge, rounded up to an eighth.

    Raises:
        BadSizeError: a length below zero.
    """
    return _off_the_bolt(length, EIGHTH_YARD) / 8


def metres(length: Length) -> Fraction:
    """Return the metres to buy for this length along the selvedge, rounded up to a tenth.

    Raises:
        BadSizeError: a length below zero.
    """
    return _off_the_bolt(length, TENTH_METRE) / 10


def length_of_yards(amount: Fraction) -> Length:
    """Return the length of so many yards, rounded down to a tick."""
    return Length.from_inches(amount * 36)


def fat_quarters_in_yards(count: int) -> Fraction:
    """Return the yards with as much area as so many fat quarters, rounded up to an eighth.

    By area only: yardage holds every cut that its fat quarters hold, not the other way round.

    Raises:
        BadSizeError: an impossible number.
    """
    return Fraction(-(-whole_number(count, "fat quarters") * 8 // FAT_QUARTERS_A_YARD), 8)


def length_for_cuts(cut: Size, count: int, usable_width: Length) -> Length:
    """Return the length of cloth for `count` cuts, cut from strips across the fabric.

    Strips are as high as the cut is long; what is left beside the last cut is not used, so a
    planner may do better. (Geometry.)

    Raises:
        BadSizeError: a cut wider than the cloth, or an impossible count.
    """
    return cut.length * strips_needed(cut.width, count, usable_width)


def _off_the_bolt(length: Length, step: Length) -> Fraction:
    if length.ticks < 0:
        raise BadSizeError("Cloth cannot be shorter than nothing.", "Give a length above zero.")
    return Fraction(length.rounded_to(step, Rounding.UP) // step)
