"""What a photo's numbers mean: a tone curve per channel and a matrix to CIE XYZ."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from stashkeeper.luminance.quiet import hush

Floats = NDArray[np.float64]

SRGB_TO_XYZ = (
    (0.4124, 0.3576, 0.1805),
    (0.2126, 0.7152, 0.0722),
    (0.0193, 0.1192, 0.9505),
)
"""Linear sRGB to XYZ, white D65 (IEC 61966-2-1)."""

DISPLAY_P3_TO_XYZ = (
    (0.48657095, 0.26566769, 0.19821729),
    (0.22897456, 0.69173852, 0.07928691),
    (0.00000000, 0.04511338, 1.04394437),
)
"""Linear Display P3 to XYZ, white D65 (from the primaries of SMPTE EG 432-1)."""


@dataclass(frozen=True, slots=True, eq=False)
class ColourSpace:
    """How code values become colour.

    Attributes:
        name: "sRGB", "Display P3" or the kind of profile it came from.
        tones: 3 × 256: the linear light (0 to 1) of each code of each channel.
        to_xyz: 3 × 3: linear channels to CIE XYZ relative to white Y = 1, adapted to D65.
    """

    name: str
    tones: Floats
    to_xyz: Floats


def srgb_tone(codes: Floats) -> Floats:
    """Return the linear light of sRGB codes from 0 to 1 (IEC 61966-2-1)."""
    return np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)


def codes() -> Floats:
    """Return the 256 codes of an eight-bit channel, from 0 to 1."""
    return np.arange(256) / 255.0


def frozen(numbers: Floats) -> Floats:
    """Return `numbers` such that nobody can change them."""
    numbers.setflags(write=False)
    return numbers


def space(name: str, curves: Floats, to_xyz: object) -> ColourSpace:
    """Return a colour space of one curve (256) or three (3 × 256) and a matrix."""
    tones = np.broadcast_to(curves, (3, 256)).astype(np.float64)
    return ColourSpace(name, frozen(tones), frozen(np.array(to_xyz, dtype=np.float64)))


@cache
def srgb() -> ColourSpace:
    """Return sRGB: what a photo without a profile is taken to be (IEC 61966-2-1)."""
    return space("sRGB", srgb_tone(codes()), SRGB_TO_XYZ)


@cache
def display_p3() -> ColourSpace:
    """Return Display P3: the wide colours of many phones, with sRGB's tone curve."""
    return space("Display P3", srgb_tone(codes()), DISPLAY_P3_TO_XYZ)


def lab_of(xyz: Floats) -> Floats:
    """Return CIE 1976 L*, a*, b*, … × 3, of XYZ relative to white Y = 1, D65."""
    hush("colour")
    import colour

    return np.asarray(colour.XYZ_to_Lab(np.maximum(xyz, 0.0)))
