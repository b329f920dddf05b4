"""A length of cloth, exact.

One length is one whole number of ticks, 8,128 to the inch, so that 1/64 in (127 ticks) and 0.1 mm
(32 ticks) are both whole. The inch is exactly 25.4 mm (International Yard and Pound Agreement,
1959). Sums never round, and databases sort and compare the number itself.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final, Self

TICKS_PER_INCH: Final = 8128
TICKS_PER_MILLIMETRE: Final = 320


class Measure(StrEnum):
    """What a person thinks in: inches (and yards) or centimetres (and metres)."""

    INCHES = "inches"
    CENTIMETRES = "centimetres"


class Rounding(StrEnum):
    """Which way a length leaves exactness: what we have goes down, what we need goes up."""

    DOWN = "down"
    UP = "up"


@dataclass(frozen=True, order=True, slots=True)
class Length:
    """An exact length in ticks of 1/8128 inch. May be zero or negative, as a difference can be."""

    ticks: int

    @classmethod
    def from_inches(cls, inches: Fraction | int | str, rounding: Rounding = Rounding.DOWN) -> Self:
        """Return the length of so many inches; rounded to a tick only where it must be."""
        return cls(_whole(Fraction(inches) * TICKS_PER_INCH, rounding))

    @classmethod
    def from_millimetres(
        cls, millimetres: Fraction | int | str, rounding: Rounding = Rounding.DOWN
    ) -> Self:
        """Return the length of so many millimetres; rounded to a tick only where it must be."""
        return cls(_whole(Fraction(millimetres) * TICKS_PER_MILLIMETRE, rounding))

    @property
    def inches(self) -> Fraction:
        """This length in inches, exactly."""
        return Fraction(self.ticks, TICKS_PER_INCH)

    @property
    def millimetres(self) -> Fraction:
        """This length in millimetres, exactly."""
        return Fraction(self.ticks, TICKS_PER_MILLIMETRE)

    def __add__(self, other: "Length") -> "Length":
        return Length(self.ticks + other.ticks)

    def __sub__(self, other: "Length") -> "Length":
        return Length(self.ticks - other.ticks)

    def __mul__(self, times: int) -> "Length":
        return Length(self.ticks * times)

    __rmul__ = __mul__

    def __neg__(self) -> "Length":
        return Length(-self.ticks)

    def __bool__(self) -> bool:
        return self.ticks != 0

    def __floordiv__(self, other: "Length") -> int:
        return self.ticks // other.ticks

    def rounded_to(self, mark: "Length", rounding: Rounding) -> "Length":
        """Return the nearest whole multiple of a ruler `mark` that does not overstep."""
        return Length(_whole(Fraction(self.ticks, mark.ticks), rounding) * mark.ticks)

    def shrunk_by(self, share: Fraction) -> "Length":
        """Return what is left after losing `share` (0 to 1) of this length, rounded down."""
        return Length(_whole(self.ticks * (1 - share), Rounding.DOWN))


def _whole(exact: Fraction, rounding: Rounding) -> int:
    return math.floor(exact) if rounding is Rounding.DOWN else math.ceil(exact)
