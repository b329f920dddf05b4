"""A sitting: photos taken in one go in one light, linked by the camera's own exposure record.

Auto exposure turns dark cloth up and light cloth down, and writes into every photo how far: light
gathered is in proportion to seconds × ISO / aperture² (ISO 12232, ISO 2720). One photo of something
known then sets the scale of all. What stays is the camera's tone curve, which can be learnt once
from a bracket: one plain cloth at several exposures.

An experiment until real photos support it: many phones merge exposures behind one record.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

import numpy as np

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import NO_GAINS, Calibration
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.measurement import Measurement
from stashkeeper.luminance.tone_ramp import ToneRamp, fit_ramp

LONGEST: Final = timedelta(minutes=40)
"""Photos further from the one that sets the scale than this are another sitting: daylight moves."""
LEAST_STEPS: Final = 4
"""A curve is learnt from at least so many exposures."""
LEAST_RANGE: Final = 8.0
"""The most light must be at least so many times the least: three stops."""
TRUSTED: Final = 6.0
"""L*: a photo of the bracket further off the others than this is no part of it."""
UNBENT: Final = ToneRamp((1.0,), (1.0,))
"""The curve of a camera nobody taught us: taken at its word."""


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """A measured photo and its record."""

    measurement: Measurement
    exposure: Exposure


@dataclass(frozen=True, slots=True)
class PhoneCurve:
    """How a camera bends tones, learnt from a bracket.

    Attributes:
        camera: make and model.
        ramp: from luminance as decoded to light gathered, to an unknown scale.
        residual: root mean square of how far each inner photo is off the others, in L*.
    """

    camera: str
    ramp: ToneRamp
    residual: float


def gathered(exposure: Exposure) -> float | None:
    """Return how much light an exposure gathers, to a scale of its own; None if not on record."""
    seconds, iso = exposure.seconds, exposure.iso
    if seconds is None or iso is None:
        return None
    return seconds * iso / (exposure.aperture or 1.0) ** 2


def same_camera(one: Exposure, other: Exposure) -> bool:
    """Tell whether two photos come from one camera and lens (as its aperture says)."""
    known = one.camera is not None and one.camera == other.camera
    return known and one.aperture == other.aperture


def same_sitting(one: Exposure, other: Exposure) -> bool:
    """Tell whether two photos may be of one sitting: one camera, and less than LONGEST apart."""
    if one.taken_at is None or other.taken_at is None or not same_camera(one, other):
        return False
    return abs(one.taken_at - other.taken_at) <= LONGEST


def learn_curve(bracket: Sequence[Taken]) -> PhoneCurve:
    """Return the tone curve of a phone from one plain cloth photographed at several exposures.

    Args:
        bracket: the photos, in any order; each of the same part of the same cloth.

    Raises:
        BadReferenceError: the records are missing or of several cameras, too few, too much alike,
            or do not go with what the photos show.
    """
    first = bracket[0].exposure
    if any(not same_camera(first, photo.exposure) for photo in bracket):
        raise BadReferenceError(
            "These photos do not come from one camera and lens, or do not say so.",
            "Take all of them with the same phone, one after another, without zooming.",
        )
    light = [gathered(photo.exposure) for photo in bracket]
    pairs = sorted(
        (amount, _luminance(photo.measurement))
        for amount, photo in zip(light, bracket, strict=True)
        if amount is not None and not photo.exposure.merged and _unclipped(photo.measurement)
    )
    if (
        len({amount for amount, _ in pairs}) < LEAST_STEPS
        or pairs[-1][0] < LEAST_RANGE * pairs[0][0]
    ):
        raise BadReferenceError(
            f"{len(pairs)} of these photos can be used, over too narrow a range of exposures.",
            "Photograph one plain grey cloth seven times, from far too dark to nearly white, by "
            "the exposure slider, with merging of exposures (HDR) off.",
        )
    top = pairs[-1]
    ramp = fit_ramp(
        [seen for _, seen in pairs], [amount / top[0] * max(top[1], 0.5) for amount, _ in pairs]
    )
    residual = float(np.sqrt(np.mean(np.square(ramp.residuals))))
    if residual > TRUSTED:
        raise BadReferenceError(
            f"The exposure records do not go with the photos: they are ±{residual:.0f} L* off.",
            "Turn merging of exposures (HDR) and night mode off, and take the photos again.",
        )
    return PhoneCurve(first.camera or "", ramp, residual)


def sitting_calibration(
    photo: Exposure,
    anchor: Exposure,
    anchor_light: float,
    lightness: float,
    curve: ToneRamp = UNBENT,
) -> Calibration:
    """Return the calibration of one photo of a sitting.

    Args:
        photo: its record.
        anchor: the record of the photo that sets the scale.
        anchor_light: the luminance, as decoded, of the known thing in that photo.
        lightness: its true L*.
        curve: of the camera, where it was learnt.

    Raises:
        BadReferenceError: a record is missing, or says that exposures were merged.
    """
    ours, its = gathered(photo), gathered(anchor)
    if ours is None or its is None or photo.merged or anchor.merged:
        raise BadReferenceError(
            "The camera did not write down how this photo was exposed, or merged several.",
            "Turn merging of exposures (HDR) off, or lay the reference card beside the cloth.",
        )
    known = luminance_of_lightness(lightness) / float(curve.luminance(anchor_light))
    return Calibration(NO_GAINS, curve.scaled(known * its / ours))


def _luminance(measurement: Measurement) -> float:
    return float(measurement.xyz[1])


def _unclipped(measurement: Measurement) -> bool:
    """Tell whether a plain cloth is neither burnt out nor lost in black."""
    counts = measurement.histograms
    bright = counts[:, 252:].sum(axis=1) / counts.sum(axis=1)
    return bool(bright.max() < 0.02 and _luminance(measurement) > 0.001)
