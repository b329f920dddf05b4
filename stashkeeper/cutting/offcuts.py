"""Off-cuts: which are worth putting back on the shelf, and what cloth is worth to a plan."""

import math
from dataclasses import dataclass
from typing import Final

from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size

SMALLEST_REMNANT: Final = Length.from_inches(3)
"""A narrower remnant counts for nothing when plans are compared (ours)."""

_CHARM_SQUARE: Final = Length.from_inches(5)
_NARROW_STRIP: Final = Length.from_inches("3/2")
_STRIP_LENGTH: Final = Length.from_inches(10)


@dataclass(frozen=True, slots=True)
class Keeping:
    """From what size on a person keeps an off-cut. Habits vary, so each is a setting.

    Attributes:
        patch: kept if both sides are at least this (5 in, common practice: a charm square).
        strip_width, strip_length: kept if at least so wide and so long, either way round
            (1½ in and 10 in, common practice: the narrowest strip usually sewn).
    """

    patch: Length = _CHARM_SQUARE
    strip_width: Length = _NARROW_STRIP
    strip_length: Length = _STRIP_LENGTH

    def worth_keeping(self, size: Size) -> bool:
        """Tell whether an off-cut of this size goes back on the shelf."""
        short, long = sorted((size.width, size.length))
        patch = short >= self.patch
        return patch or (short >= self.strip_width and long >= self.strip_length)


def worth(width: int, length: int) -> float:
    """Return what cloth of so many ticks is worth to a plan: its area in square inches to the 1¼.

    One large piece is worth more than the same area in scraps, which is why scraps go first.
    """
    return math.pow(width * length / TICKS_PER_INCH**2, 1.25)


def remnant_worth(width: int, length: int) -> float:
    """Return what an off-cut is worth to a plan: nothing where a side is under 3 in."""
    return worth(width, length) if min(width, length) >= SMALLEST_REMNANT.ticks else 0.0
