"""How far the lightness of a print varies once the eye has blurred its finest parts.

The viewing blur is a mean in linear light over squares of 1/64 of the region's longer side. Ten
inches of cloth in the frame make 4 mm: about what runs together across a room (one minute of arc
at 4 m is 1.2 mm; a squint blurs some three times as much; ours).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stashkeeper.cloth.reading import Spread
from stashkeeper.luminance.lightness import EPSILON, KAPPA
from stashkeeper.luminance.samples import Samples

SQUARES = 64
"""Blur squares along the longer side of the region."""


def spread_of(samples: Samples) -> Spread:
    """Return standard deviation, 2nd and 98th percentile of L* over the blurred region."""
    side = max(1, round(max(samples.light.shape) / SQUARES))
    lightness = lightness_of(blurred(samples, side))
    low, high = np.percentile(lightness, (2.0, 98.0))
    return Spread(float(lightness.std()), float(low), float(high))


def blurred(samples: Samples, side: int) -> NDArray[np.float64]:
    """Return the mean luminance of every full square of `side` samples that is mostly cloth."""
    side = min(side, *samples.light.shape)
    light = samples.light if samples.cloth is None else samples.light * samples.cloth
    sums = _sums(light, side)
    if samples.cloth is None:
        return (sums / side**2).ravel()
    covered = _sums(samples.cloth, side)
    mostly = covered >= max(1.0, min(covered.max(), side**2 / 2))
    return np.asarray(sums[mostly] / covered[mostly])


def lightness_of(luminance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return L* of many luminances at once (CIE 015:2018)."""
    light = np.asarray(luminance, dtype=np.float64)
    return np.where(light <= EPSILON, KAPPA * light, 116 * np.cbrt(light) - 16)


def _sums(plane: NDArray[Any], side: int) -> NDArray[np.float64]:
    """Return the sum of every full square of `side` × `side`."""
    rows, columns = plane.shape[0] // side, plane.shape[1] // side
    squares = plane[: rows * side, : columns * side].reshape(rows, side, columns, side)
    return np.asarray(squares.sum(axis=(1, 3), dtype=np.float64))
