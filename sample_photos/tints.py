"""Colour arithmetic of the sample shelf, in linear light and nothing else.

A colour is three reflectances, 0 to 1, in the primaries of IEC 61966-2-1 (sRGB) before its tone
curve. Prints are designed in CIE 1976 L*, chroma and hue, because that is how a shelf is seen.

This arithmetic is deliberately not the program's own: the truth of the sample photos must not
come from the code that is checked with it.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

type Field = NDArray[np.float32]
"""An array of 32-bit floats: one channel, (rows, columns), or three, (rows, columns, 3)."""

WHITE_POINT = (0.95047, 1.0, 1.08883)
"""CIE XYZ of D65, 2° observer."""

XYZ_OF_RGB = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
"""Linear sRGB to CIE XYZ, from the primaries and D65 white of IEC 61966-2-1."""

RGB_OF_XYZ = np.linalg.inv(XYZ_OF_RGB)

_CUBE_FROM = 216 / 24389
_SLOPE = 24389 / 27


def lab_of(rgb: NDArray[np.floating]) -> tuple[float, float, float]:
    """Return CIE 1976 L*, a*, b* of one linear-light colour (CIE 15:2018, 8.2.1)."""
    xyz = XYZ_OF_RGB @ np.asarray(rgb, dtype=np.float64)
    fx, fy, fz = (_compress(float(v) / w) for v, w in zip(xyz, WHITE_POINT, strict=True))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def lch(lightness: float, chroma: float, hue: float) -> Field:
    """Return the linear-light colour of CIE L*, C*ab and hue angle in degrees, held in gamut."""
    a = chroma * math.cos(math.radians(hue))
    b = chroma * math.sin(math.radians(hue))
    fy = (lightness + 16) / 116
    fs = (fy + a / 500, fy, fy - b / 200)
    xyz = [w * _expand(f) for f, w in zip(fs, WHITE_POINT, strict=True)]
    rgb: Field = np.clip(RGB_OF_XYZ @ np.array(xyz), 0.002, 0.96).astype(np.float32)
    return rgb


def field(values: ArrayLike) -> Field:
    """Return `values` as 32-bit floats."""
    return np.asarray(values, dtype=np.float32)


def luminance(rgb: Field) -> Field:
    """Return the luminance Y, 0 to 1, of linear-light colours."""
    weights = XYZ_OF_RGB[1].astype(np.float32)
    grey: Field = rgb @ weights
    return grey


def encode(linear: Field) -> Field:
    """Return gamma-coded values 0 to 1 of linear ones (IEC 61966-2-1)."""
    clipped = np.clip(linear, 0, 1)
    bent = 1.055 * np.power(np.maximum(clipped, 1e-9), 1 / 2.4) - 0.055
    return np.where(clipped <= 0.0031308, 12.92 * clipped, bent).astype(np.float32)


def decode(coded: NDArray[np.floating]) -> NDArray[np.float64]:
    """Return linear values of gamma-coded ones, 0 to 1 (IEC 61966-2-1)."""
    values = np.asarray(coded, dtype=np.float64)
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def mix(one: Field, other: Field, amount: Field | float) -> Field:
    """Return `one` with `amount` (0 to 1, or a field of it) of `other` in its place."""
    share = field(amount)
    if share.ndim:
        share = share[..., None]
    return (one + (other - one) * share).astype(np.float32)


def _compress(ratio: float) -> float:
    return math.cbrt(ratio) if ratio > _CUBE_FROM else (_SLOPE * ratio + 16) / 116


def _expand(value: float) -> float:
    cube = value**3
    return cube if cube > _CUBE_FROM else (116 * value - 16) / _SLOPE
