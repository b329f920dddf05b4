"""A reading: what is known of a fabric's lightness, how, and how surely.

Uncertainties are 95 % ones in L*. A reading's uncertainty is made of factors, each with a signed
weight and a key that names what it shares: U² = Σ w². Of a difference between two readings,
U² = Σ (w_i − w_j)² over the keys of both, so whatever two readings share cancels by itself
(first-order propagation of correlated inputs: JCGM 100:2008, 5.2).
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Method(StrEnum):
    """How a reading came about."""

    PHOTO = "photo"
    """A photo with nothing of known lightness in it: the phone's exposure rules."""
    TYPED = "typed"
    """A number typed by hand, from an instrument or a swatch book; taken as it is."""
    REFLECTANCE = "reflectance"
    """A light reflectance value typed by hand: Y in percent, as paint shops print it."""
    LINE_UP = "line-up"
    """Side by side with other fabrics in one photo, some of them of known lightness."""
    PAPER = "paper"
    """White paper or a grey card in the photo."""
    CHART = "chart"
    """A chart of 24 patches in the photo."""
    CARD = "card"
    """The reference card in the photo."""
    SITTING = "sitting"
    """Photos of one sitting, linked by the phone's own exposure record."""


class Doubt(StrEnum):
    """Something in a photo that makes its reading less sure."""

    CLIPPED = "clipped"
    BLURRED = "blurred"
    UNEVEN_LIGHT = "uneven light"
    GLARE = "glare"
    COARSE = "too few pixels to the inch"
    NO_REFERENCE = "no reference"
    COLOUR_PROFILE = "no usable colour profile"


@dataclass(frozen=True, slots=True)
class Factor:
    """One part of an uncertainty: the `key` of what it shares, and its signed weight in L*."""

    key: str
    weight: float


@dataclass(frozen=True, slots=True)
class Spread:
    """How far the lightness of a print varies, after the blur of viewing it from a distance.

    Attributes:
        deviation: standard deviation in L*.
        low: 2nd percentile in L*.
        high: 98th percentile in L*.
    """

    deviation: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Reading:
    """A fabric's lightness L* (0 to 100) with its certainty.

    Attributes:
        lightness: CIE 1976 L* of the mean linear-light luminance, D65.
        a, b: CIE 1976 a* and b* of the mean colour; None where only a lightness was typed.
        method: how it was found.
        factors: the parts of its uncertainty.
        spread: of a photo; None where only a lightness was typed.
        doubts: what made the photo less sure.
    """

    lightness: float
    a: float | None
    b: float | None
    method: Method
    factors: tuple[Factor, ...]
    spread: Spread | None = None
    doubts: tuple[Doubt, ...] = ()

    @property
    def uncertainty(self) -> float:
        """The 95 % uncertainty, ± L*."""
        return root_sum_square(factor.weight for factor in self.factors)

    @property
    def provisional(self) -> bool:
        """Whether only photos with nothing of known lightness in them speak for this value."""
        return self.method is Method.PHOTO or Doubt.NO_REFERENCE in self.doubts


def root_sum_square(weights: Iterable[float]) -> float:
    """Return the root of the sum of squares of `weights`."""
    return math.sqrt(math.fsum(weight * weight for weight in weights))


def difference_uncertainty(one: Reading, other: Reading) -> float:
    """Return the 95 % uncertainty, ± L*, of the lightness difference between two readings."""
    ours = {factor.key: factor.weight for factor in one.factors}
    theirs = {factor.key: factor.weight for factor in other.factors}
    return root_sum_square(
        ours.get(key, 0.0) - theirs.get(key, 0.0) for key in ours.keys() | theirs.keys()
    )


def lone_photo_factors(own_key: str, photo_key: str) -> tuple[Factor, ...]:
    """Return the factors of a reading from a photo with nothing of known lightness in it.

    Own 6.4 and photo 24.2 give ±25 alone and ±9 between two fabrics of one photo (found on real
    photos of a 24-patch chart, worst of four).
    """
    return Factor(own_key, 6.4), Factor(photo_key, 24.2)


def typed_factors(own_key: str) -> tuple[Factor, ...]:
    """Return the factors of a typed lightness: ±2, as of a hand-held instrument."""
    return (Factor(own_key, 2.0),)
