"""How far the lightness of a print varies once the eye has blurred its finest parts.

The viewing blur is a mean in linear light over squares of 1/64 of the region's longer side. Ten
inches of cloth in the frame make 4 mm: about what runs together across a room (one minute of arc
at 4 m is 1.2 mm; a squint blurs some three times as much; ours).
"""

import numpy as np
from numpy.typing import NDArray

from stashkeeper.cloth.reading import Spread
from stashkeeper.luminance.lightness import EPSILON, KAPPA
from stashkeeper.luminance.samples import Cells

MOSTLY = 0.5
"""A square counts when at least this share of it is cloth, or as much as any square has."""


def spread_of(blurred: Cells) -> Spread:
    """Return standard deviation, 2nd and 98th percentile of L* over the region, seen blurred."""
    light = blurred.light
    if blurred.cover is not None:
        light = light[blurred.cover >= min(MOSTLY, blurred.cover.max())]
    lightness = lightness_of(light)
    low, high = np.percentile(lightness, (2.0, 98.0))
    return Spread(float(lightness.std()), float(low), float(high))


def lightness_of(luminance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return L* of many luminances at once (CIE 015:2018)."""
    light = np.clip(luminance, 0.0, 1.0)
    return np.where(light <= EPSILON, KAPPA * light, 116 * np.cbrt(light) - 16)
