"""The grid every page is drawn on.

A page is laid out in px of 1/96 inch (CSS Values and Units, "absolute lengths"). Everything stands
on even px, so that at 240 dots to the inch (5 dots to 2 px) each swatch meets whole dots and no
viewer has to resample it.
"""

import math
from typing import Final

PX_PER_INCH: Final = 96
DOTS_PER_INCH: Final = 240
DOTS_PER_PX: Final = DOTS_PER_INCH / PX_PER_INCH


def whole_dots(px: float) -> float:
    """Return a length in px, rounded down to whole dots."""
    return math.floor(px * DOTS_PER_PX + 1e-6) / DOTS_PER_PX
