"""Photos of cloth of known lightness, made without the code under test.

L* follows CIE 15 (2018), the codes of sRGB IEC 61966-2-1. Both are written out here once more, so
that a mistake in the program is not repeated in its checks.
"""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Codes = NDArray[np.uint8]


def luminance_of(lightness: float) -> float:
    """Return Y, 0 to 1, of a lightness L* (CIE 15, the inverse of its formula)."""
    if lightness <= 8:
        return lightness / 903.2963
    return float(((lightness + 16) / 116) ** 3)


def lightness_of(luminance: float) -> float:
    """Return L* of Y, 0 to 1 (CIE 15)."""
    if luminance <= 216 / 24389:
        return 903.2963 * luminance
    return float(116 * luminance ** (1 / 3) - 16)


def light_of(code: float) -> float:
    """Return linear light, 0 to 1, of an sRGB code, 0 to 255 (IEC 61966-2-1)."""
    signal = code / 255
    return signal / 12.92 if signal <= 0.04045 else float(((signal + 0.055) / 1.055) ** 2.4)


def grey_cloth(lightness: float, width: int = 240, height: int = 200) -> Codes:
    """Return a grey of exactly this L*: two neighbouring codes, mixed so that their light fits."""
    wanted = luminance_of(lightness)
    dark = max(code for code in range(255) if light_of(code) <= wanted)
    share = (wanted - light_of(dark)) / (light_of(dark + 1) - light_of(dark))
    # Spread evenly and without a grid, so that every crop holds both codes in the same share.
    order = np.random.default_rng(9).permutation(width * height).reshape(height, width)
    grey = np.where(order < share * width * height, dark + 1, dark).astype(np.uint8)
    return np.repeat(grey[:, :, np.newaxis], 3, axis=2)


def photo_of(file: Path, lightness: float, quality: int = 95) -> Path:
    """Write a photo of grey cloth and return its file."""
    Image.fromarray(grey_cloth(lightness)).save(file, quality=quality)
    return file


def line_up(file: Path, *lightnesses: float) -> Path:
    """Write a photo of several greys side by side, from the left; PNG keeps each exactly."""
    Image.fromarray(np.concatenate([grey_cloth(each) for each in lightnesses], axis=1)).save(file)
    return file


def crop_of(place: int, count: int) -> str:
    """Return the crop of cloth number `place`, from 0, of so many in a line-up."""
    return f"{place / count},0,{(place + 1) / count},1"
