"""Readings: what a measurement or a typed number says about a fabric, and how surely."""

import math

from stashkeeper.cloth.reading import Doubt, Method, Reading, lone_photo_factors, typed_factors
from stashkeeper.errors import BadLightnessError
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
