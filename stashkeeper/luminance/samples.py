"""A few hundred thousand pixels out of many million, in linear light: enough for the spread.

Means are never taken from samples. A sample is a pixel as it is, not a mean of codes: pixels are
brought to linear light first and averaged then, so a fine print does not come out too dark. The
step between samples is never a whole number, so that it does not beat with a woven or printed
repeat.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.pixels import Pixels
from stashkeeper.luminance.region import Box

MOST = 768
"""Samples along the longer side of the region."""
UNEVEN_STEP = 0.618
"""The fraction of a pixel that every step exceeds a whole number by: the golden ratio's, whose
multiples fall most evenly between whole numbers."""

Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Relative luminance Y, 0 to 1, on an even grid of a region.

    Attributes:
        light: rows × columns.
        cloth: which of them are cloth; None where all are.
    """

    light: Plane
    cloth: NDArray[np.bool_] | None


def take_samples(pixels: Pixels, box: Box) -> Samples:
    """Return the luminance of an even grid of pixels in a region; of all of a small region."""
    width, height = sample_size(box)
    picture = _picked(pixels.stored, box, width, height)
    codes = np.asarray(picture)
    if codes.ndim == 2:
        codes = codes[..., np.newaxis]
    weights = pixels.space.to_xyz[1]
    tones = (pixels.space.tones * weights[:, np.newaxis]).astype(np.float32)
    if codes.shape[2] == 1:
        light = tones.sum(axis=0)[codes[..., 0]]
    else:
        light = tones[0][codes[..., 0]] + tones[1][codes[..., 1]] + tones[2][codes[..., 2]]
    return Samples(light, _cloth(pixels.mask, box, width, height))


def sample_size(box: Box) -> tuple[int, int]:
    """Return how many samples a region gives across and down."""
    longest = max(box.width, box.height)
    if longest <= MOST:
        return box.width, box.height
    step = longest // MOST + UNEVEN_STEP
    return max(1, round(box.width / step)), max(1, round(box.height / step))


def _picked(picture: Image.Image, box: Box, width: int, height: int) -> Image.Image:
    """Return single pixels of the region, evenly spread."""
    if (width, height) == (box.width, box.height):
        return picture.crop(box.edges)
    return picture.resize((width, height), Image.Resampling.NEAREST, box=box.edges)


def _cloth(mask: Image.Image | None, box: Box, width: int, height: int) -> NDArray[np.bool_] | None:
    """Return which samples are cloth."""
    return None if mask is None else np.asarray(_picked(mask, box, width, height)) > 0
