"""Readings: what a measurement or a typed number says about a fabric, and how surely."""

import math

from stashkeeper.cloth.reading import (
    Doubt,
    Factor,
    Method,
    Reading,
    lone_photo_factors,
    typed_factors,
)
from stashkeeper.errors import BadLightnessError
from stashkeeper.luminance.lightness import lightness_of_luminance
from stashkeeper.luminance.measurement import Measurement


def lone_photo_reading(measurement: Measurement, own_key: str, photo_key: str) -> Reading:
    """Return the reading of a fabric from a photo with nothing of known lightness in it.

    Args:
        measurement: of the fabric's region.
        own_key: names what only this fabric's readings share.
        photo_key: names what everything in this photo shares.
    """
    return Reading(
        lightness=measurement.lightness,
        a=measurement.a,
        b=measurement.b,
        method=Method.PHOTO,
        factors=lone_photo_factors(own_key, photo_key),
        spread=measurement.spread,
        doubts=(*measurement.doubts, Doubt.NO_REFERENCE),
    )


def typed_reading(lightness: float, own_key: str) -> Reading:
    """Return the reading of a lightness L* typed by hand, taken as it is.

    Raises:
        BadLightnessError: unless it is a number from 0 to 100.
    """
    if not (math.isfinite(lightness) and 0.0 <= lightness <= 100.0):
        raise BadLightnessError(
            f"{lightness:g} is not a lightness.", "Give a number from 0 (black) to 100 (white)."
        )
    return Reading(float(lightness), None, None, Method.TYPED, typed_factors(own_key))


def reflectance_reading(percent: float, own_key: str) -> Reading:
    """Return the reading of a light reflectance value (LRV) typed by hand.

    LRV is the luminance factor Y in percent, as paint shops print it: L* follows by CIE 15. It is
    printed to a whole percent, which is much of L* where cloth is dark.

    Raises:
        BadLightnessError: unless it is a number from 0 to 100.
    """
    if not (math.isfinite(percent) and 0.0 <= percent <= 100.0):
        raise BadLightnessError(
            f"{percent:g} is not a light reflectance value.",
            "Give the LRV from 0 (black) to 100 (white), as in LRV 42.",
        )
    lightness, lower, upper = (
        lightness_of_luminance(min(100.0, max(0.0, percent + off)) / 100) for off in (0, -0.5, 0.5)
    )
    unsure = math.hypot(typed_factors(own_key)[0].weight, (upper - lower) / 2)
    factors = (Factor(own_key, unsure),)
    return Reading(lightness, None, None, Method.REFLECTANCE, factors)
