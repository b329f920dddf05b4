"""A measurement: everything counted in one region of one photo, so that it can be read anew.

Histograms of the stored codes and what the codes mean are enough to apply any later tone curve
without decoding the photo again.
"""

import json
import struct
import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stashkeeper.cloth.reading import Doubt, Spread
from stashkeeper.luminance.colour_space import ColourSpace, Floats, frozen, space, srgb
from stashkeeper.luminance.region import Crop

VERSION = 1
"""The way of measuring; a change of it that changes numbers counts up."""

COMPRESSION = 5
"""Of zlib: for histograms 9 takes thirty times as long and makes them no smaller."""

Counts = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Measurement:
    """What was counted in a region; immutable. Equal where every byte to be stored is equal.

    Attributes:
        version: the way of measuring.
        histograms: 3 × 256 counts of the codes of red, green and blue.
        space: what the codes mean.
        linear_means: mean linear light of red, green and blue, 0 to 1.
        xyz: mean colour, CIE 1931 XYZ relative to white Y = 1, D65.
        lightness: CIE 1976 L* of that mean, 0 to 100.
        a, b: CIE 1976 a* and b* of that mean.
        spread: how far the lightness of the print varies.
        doubts: what makes the photo less sure (never "no reference": that is up to the reading).
        pixels: how many were counted.
        crop: the region, in fractions of the upright photo.
    """

    version: int
    histograms: Counts
    space: ColourSpace
    linear_means: tuple[float, float, float]
    xyz: tuple[float, float, float]
    lightness: float
    a: float
    b: float
    spread: Spread
    doubts: tuple[Doubt, ...]
    pixels: int
    crop: Crop

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Measurement) and self.to_bytes() == other.to_bytes()

    def __hash__(self) -> int:
        return hash(self.to_bytes())

    def to_bytes(self) -> bytes:
        """Return the measurement in some hundred bytes, to be stored."""
        head = {
            "version": self.version,
            "space": self.space.name,
            "linear_means": self.linear_means,
            "xyz": self.xyz,
            "lab": (self.lightness, self.a, self.b),
            "spread": (self.spread.deviation, self.spread.low, self.spread.high),
            "doubts": self.doubts,
            "pixels": self.pixels,
            "crop": (self.crop.left, self.crop.top, self.crop.right, self.crop.bottom),
        }
        text = json.dumps(head).encode()
        arrays = self.histograms.astype("<i8").tobytes() + _space_bytes(self.space)
        return struct.pack("<I", len(text)) + text + zlib.compress(arrays, COMPRESSION)


def measurement_from_bytes(data: bytes) -> Measurement:
    """Return the measurement that `Measurement.to_bytes` wrote."""
    (size,) = struct.unpack_from("<I", data)
    head = json.loads(data[4 : 4 + size])
    arrays = zlib.decompress(data[4 + size :])
    counts = np.frombuffer(arrays[:6144], dtype="<i8").astype(np.int64).reshape(3, 256)
    counts.setflags(write=False)
    lightness, a, b = head["lab"]
    return Measurement(
        version=head["version"],
        histograms=counts,
        space=_space(head["space"], arrays[6144:]),
        linear_means=_three(head["linear_means"]),
        xyz=_three(head["xyz"]),
        lightness=lightness,
        a=a,
        b=b,
        spread=Spread(*head["spread"]),
        doubts=tuple(Doubt(doubt) for doubt in head["doubts"]),
        pixels=head["pixels"],
        crop=Crop(*head["crop"]),
    )


def mean_light(histograms: Counts, tones: Floats) -> tuple[float, float, float]:
    """Return the mean linear light of each channel: the codes' light weighted by their counts."""
    return _three((histograms * tones).sum(axis=1) / histograms.sum(axis=1))


def _three(numbers: list[float] | Floats) -> tuple[float, float, float]:
    first, second, third = (float(number) for number in numbers)
    return first, second, third


def _space_bytes(colours: ColourSpace) -> bytes:
    """Return the numbers of a colour space; sRGB is known by its name alone."""
    if colours is srgb():
        return b""
    return colours.tones.astype("<f8").tobytes() + colours.to_xyz.astype("<f8").tobytes()


def _space(name: str, data: bytes) -> ColourSpace:
    """Return the colour space that `_space_bytes` wrote."""
    if not data:
        return srgb()
    numbers = frozen(np.frombuffer(data, dtype="<f8").astype(np.float64))
    return space(name, numbers[:768].reshape(3, 256), numbers[768:].reshape(3, 3))
