"""Greys by their lightness, and the two inks and one accent used beside cloth."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from stashkeeper.luminance.lightness import luminance_of_lightness

type Colour = tuple[int, int, int]

GROUND_LIGHTNESS: Final = 66.0
"""The ground behind cloth: a neutral grey of L* 60 to 70 (common practice in viewing colour)."""

BLACK: Final[Colour] = (0, 0, 0)
WHITE: Final[Colour] = (255, 255, 255)
ACCENT: Final[Colour] = (138, 0, 20)
"""The one accent, for what needs attention: a red dark enough to show in a grey print."""


def encoded(linear: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Return the 8-bit sRGB codes of linear light (IEC 61966-2-1); 0 to 1 is clipped to."""
    light = np.clip(linear, 0.0, 1.0)
    codes = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.rint(255.0 * codes).astype(np.uint8)


def grey(lightness: float) -> Colour:
    """Return the grey of a lightness L*, held within 0 to 100."""
    inside = min(100.0, max(0.0, lightness))
    code = int(encoded(np.array(luminance_of_lightness(inside))))
    return (code, code, code)


def ink_on(lightness: float) -> Colour:
    """Return black or white, whichever is easier to read on a grey of this lightness."""
    return BLACK if lightness >= 50.0 else WHITE
