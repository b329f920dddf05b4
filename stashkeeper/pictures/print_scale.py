"""Cloth at the scale of a picture: the print as large as it really is beside the patches.

Sizes are reduced in linear light, so that fine prints keep their lightness.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.colour_space import srgb
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.region import Box
from stashkeeper.pictures.greys import Colour
from stashkeeper.pictures.swatch import linear_region

LARGEST: Final = 2000
"""No cloth is drawn larger than so many dots a side; what is larger repeats in a mirror."""
SMALLEST: Final = 2

type Light = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Cloth:
    """A fabric as large as a picture needs it, in linear light from 0 to 1.

    Attributes:
        colour: rows × columns × red, green, blue.
        grey: rows × columns, the luminance, brought to the fabric's reading.
    """

    colour: Light
    grey: Light

    @property
    def size(self) -> tuple[int, int]:
        """Its width and height in dots."""
        return self.grey.shape[1], self.grey.shape[0]


def cloth_at_scale(
    look: Image.Image, inches: float, dots_per_inch: float, lightness: float | None
) -> Cloth:
    """Return cloth at a scale.

    Args:
        look: the region of a photo that shows it, in sRGB.
        inches: how wide the cloth is that the look shows.
        dots_per_inch: dots of the picture to an inch of the finished quilt.
        lightness: the reading's L*, which the grey is brought to; None leaves it alone.
    """
    scale = inches * dots_per_inch / look.width
    scale = min(scale, LARGEST / max(look.size))
    size = max(SMALLEST, round(look.width * scale)), max(SMALLEST, round(look.height * scale))
    linear = linear_region(look, Box(0, 0, *look.size), size)[: size[1], : size[0]]
    luminance = linear @ srgb().to_xyz[1]
    mean = float(luminance.mean())
    if lightness is not None and mean > 0.0:
        luminance = luminance * (luminance_of_lightness(lightness) / mean)
    return Cloth(linear.astype(np.float32), luminance.astype(np.float32))


def plain_cloth(colour: Colour, lightness: float) -> Cloth:
    """Return cloth of one colour, for a fabric without a photo."""
    tones = srgb().tones
    light = [float(tone[code]) for tone, code in zip(tones, colour, strict=True)]
    grey = luminance_of_lightness(min(100.0, max(0.0, lightness)))
    return Cloth(
        np.full((SMALLEST, SMALLEST, 3), light, dtype=np.float32),
        np.full((SMALLEST, SMALLEST), grey, dtype=np.float32),
    )
