"""Paper sizes and the grid every page is drawn on.

A page is laid out in px of 1/96 inch (CSS Values and Units, "absolute lengths"). Everything stands
on even px, so that at 240 dots to the inch (5 dots to 2 px) each swatch meets whole dots and no
viewer has to resample it.
"""

import math
from enum import StrEnum
from typing import Final

PX_PER_INCH: Final = 96
DOTS_PER_INCH: Final = 240
DOTS_PER_PX: Final = DOTS_PER_INCH / PX_PER_INCH


class Paper(StrEnum):
    """The paper a page is made for."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def width(self) -> int:
        """The width in px: 210 mm (within 0.1 mm) or 8½ in."""
        return 794 if self is Paper.A4 else 816

    @property
    def height(self) -> int:
        """The height in px: 297 mm (within 0.2 mm) or 11 in."""
        return 1122 if self is Paper.A4 else 1056


def whole_dots(px: float) -> float:
    """Return a length in px, rounded down to whole dots."""
    return math.floor(px * DOTS_PER_PX + 1e-6) / DOTS_PER_PX
