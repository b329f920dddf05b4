"""Measurements set right by known greys, from their histograms alone."""

import numpy as np
import pytest
from numpy.typing import NDArray

from stashkeeper.luminance.calibrate import (
    NO_GAINS,
    Calibration,
    KnownGrey,
    calibration_from_record,
    calibration_of_greys,
    recalibrated,
)
from stashkeeper.luminance.colour_space import srgb
from stashkeeper.luminance.tone_ramp import ToneRamp
from tests.luminance.made import Codes, check, cie_lightness, measured, solid, srgb_light

Light = NDArray[np.float64]
SRGB = srgb().to_xyz[1]


def grey(code: int, lightness: float, tint: tuple[float, float, float] = (1, 1, 1)) -> KnownGrey:
    light = srgb_light(code)
    return KnownGrey((light * tint[0], light * tint[1], light * tint[2]), lightness)


def test_without_any_change_the_measurement_stands() -> None:
    cloth = measured(solid((120, 60, 30)))
    same = recalibrated(cloth, Calibration(NO_GAINS, ToneRamp((1.0,), (1.0,))))
    assert (same.lightness, same.a, same.b) == pytest.approx(
        (cloth.lightness, cloth.a, cloth.b), abs=1e-6
    )


def test_a_grey_card_of_known_lightness_sets_the_scale() -> None:
    # Code 119 is L* 50.034 (IEC 61966-2-1, CIE 15); said to be 40, all is darker by one factor.
    calibration = calibration_of_greys([grey(119, 40.0)], SRGB)
    assert recalibrated(measured(solid(119)), calibration).lightness == pytest.approx(40.0)


def test_a_colour_cast_is_taken_out_and_the_lightness_kept() -> None:
    warm = (1.2, 1.0, 0.7)
    greys = [grey(code, cie_lightness(srgb_light(code)), warm) for code in (60, 120, 180, 220)]
    calibration = calibration_of_greys(greys, SRGB)
    balanced = np.array(calibration.gains) * warm
    assert balanced == pytest.approx([balanced[0]] * 3)
    light = np.array(greys[1].light) * calibration.gains
    assert calibration.ramp.lightness(float(light @ SRGB)) == pytest.approx(greys[1].lightness)


def bent_codes(codes: Codes) -> Codes:
    """Return what a camera makes of true sRGB codes: a power of 1.3 in linear light."""
    table = [np.interp(srgb_light(code) ** 1.3, LIGHT, np.arange(256)) for code in range(256)]
    bent: Codes = np.rint(np.array(table)[codes]).astype(np.uint8)
    return bent


LIGHT = np.array([srgb_light(code) for code in range(256)])


def unbending() -> Calibration:
    knots = np.linspace(0.03, 1.0, 40)
    return Calibration(NO_GAINS, ToneRamp(tuple(knots**1.3), tuple(knots)))


def test_a_check_of_two_greys_is_averaged_as_the_eye_does_and_not_as_the_camera_did() -> None:
    # Closed form: half of each, Y = (Ya + Yb) / 2. The ramp of the mean alone would be 4 L* off.
    true = cie_lightness((srgb_light(60) + srgb_light(230)) / 2)
    cloth = measured(bent_codes(check(60, 230, 4)))
    assert recalibrated(cloth, unbending()).lightness == pytest.approx(true, abs=0.3)
    mean = float(np.array(cloth.linear_means) @ SRGB)
    assert abs(unbending().ramp.lightness(mean) - true) > 3


def test_a_calibration_comes_back_from_its_record() -> None:
    calibration = calibration_of_greys([grey(60, 25.0), grey(200, 82.0)], SRGB)
    assert calibration_from_record(calibration.to_record()) == calibration
