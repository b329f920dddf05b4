"""Swatches: a look at the cloth of a photo, and its grey twin.

Sizes are reduced in linear light, so that the eye gets from the swatch what it would get from the
cloth; a reduction of the coded pixels shows fine prints up to 18 L* too dark.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.colour_space import srgb
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.region import Box
from stashkeeper.pictures.greys import encoded

LONGEST_SHAPE = 8
"""A region longer than so many times its width is cut to that before it is looked at."""


@dataclass(frozen=True, slots=True, eq=False)
class Swatch:
    """A look at cloth and the same in grey.

    Attributes:
        colour: in sRGB.
        grey: of mode L and the same size: each pixel's luminance as an sRGB grey.
    """

    colour: Image.Image
    grey: Image.Image


def cut_swatch(
    image: Image.Image,
    region: Box,
    size: tuple[int, int],
    lightness: float | None = None,
) -> Swatch:
    """Return the swatch of `size` (width, height in pixels) from the middle of a region.

    Args:
        image: the upright photo, in sRGB.
        region: the pixels that show the cloth.
        size: the swatch's width and height.
        lightness: the reading's L*; the grey twin is brought to it, so that it shows what the
            reading says even where the photo's exposure says otherwise. None leaves it alone.
    """
    linear = linear_region(image, region, size)
    luminance = linear @ srgb().to_xyz[1]
    grey = encoded(_middle(luminance, size) * _gain(luminance, lightness))
    return Swatch(Image.fromarray(encoded(_middle(linear, size))), Image.fromarray(grey))


def linear_region(image: Image.Image, region: Box, size: tuple[int, int]) -> NDArray[np.float64]:
    """Return a region's linear channels (rows × columns × 3), just covering `size` pixels."""
    cloth = image.crop(_bounded(region).edges)
    scale = max(size[0] / cloth.width, size[1] / cloth.height)
    covering = math.ceil(cloth.width * scale - 1e-6), math.ceil(cloth.height * scale - 1e-6)
    channels = []
    for channel, tones in zip(cloth.split(), srgb().tones, strict=True):
        # Pillow's own table look-up and reduction: twenty times faster than arrays.
        light = channel.point(tones.tolist(), "F")
        channels.append(light.resize(covering, Image.Resampling.HAMMING, reducing_gap=3.0))
    return np.stack([np.asarray(light, dtype=np.float64) for light in channels], axis=-1)


def _bounded(region: Box) -> Box:
    """Return the middle of a region that is longer than any swatch needs."""
    width = min(region.width, region.height * LONGEST_SHAPE)
    height = min(region.height, region.width * LONGEST_SHAPE)
    left = region.left + (region.width - width) // 2
    top = region.top + (region.height - height) // 2
    return Box(left, top, left + width, top + height)


def _gain(luminance: NDArray[np.float64], lightness: float | None) -> float:
    """Return what brings the mean luminance of a region to a reading's lightness."""
    mean = float(luminance.mean())
    if lightness is None or mean <= 0.0:
        return 1.0
    return luminance_of_lightness(lightness) / mean


def _middle(pixels: NDArray[np.float64], size: tuple[int, int]) -> NDArray[np.float64]:
    """Return the middle `size` (width, height) of pixels that cover it."""
    top = (pixels.shape[0] - size[1]) // 2
    left = (pixels.shape[1] - size[0]) // 2
    return pixels[top : top + size[1], left : left + size[0]]
