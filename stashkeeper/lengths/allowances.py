"""What cloth loses before the first useful cut.

All figures are common practice unless marked "ours"; makers' widths and washing habits vary, so
each is a setting.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stashkeeper.lengths.length import Length

_HALF_AN_INCH: Final = Length.from_inches("1/2")
_FORTY_INCHES: Final = Length.from_inches(40)


@dataclass(frozen=True, slots=True)
class Allowances:
    """Lengths and shares taken off a piece's size to get what can be cut from it.

    Attributes:
        selvedge: lost along each selvedge edge (½ in, common practice).
        squaring_up: lost in each raw direction that is not squared up (½ in, common practice).
        usable_width: the most that an unmeasured selvedge-to-selvedge width is trusted for
            (40 in, common practice).
        shrinkage: the share an unwashed piece is expected to lose, 0 when its owner sews
            unwashed cloth (3 % where it will be washed; ours).
        flannel_shrinkage: the same for flannel (6 %; ours).
    """

    selvedge: Length = _HALF_AN_INCH
    squaring_up: Length = _HALF_AN_INCH
    usable_width: Length = _FORTY_INCHES
    shrinkage: Fraction = Fraction(0)
    flannel_shrinkage: Fraction = Fraction(0)
