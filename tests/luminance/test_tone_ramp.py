"""The ramp from a camera's tones to true ones, against SciPy and closed forms."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.tone_ramp import ToneRamp, fit_ramp
from tests.luminance.made import cie_lightness

# Neutral row of a 24-patch chart, after November 2014 (L*, published by its maker).
GREYS = (95.19, 81.29, 66.89, 50.76, 35.63, 20.64)


def luminance(lightness: float) -> float:
    """Return Y of L* above 8 (CIE 015:2018)."""
    return float(((lightness + 16) / 116) ** 3)


def bent(y: float) -> float:
    """Return what a camera with an S-shaped curve and a soft shoulder makes of a luminance."""
    return float(2.55 * y**1.22 / (y**1.22 + 1.55))


def test_known_greys_come_out_as_known() -> None:
    true = [luminance(grey) for grey in GREYS]
    ramp = fit_ramp([bent(y) for y in true], true)
    assert [ramp.lightness(bent(y)) for y in true] == pytest.approx(GREYS, abs=1e-9)


def test_between_six_greys_a_bent_curve_is_undone_within_half_an_l_star() -> None:
    true = [luminance(grey) for grey in GREYS]
    ramp = fit_ramp([bent(y) for y in true], true)
    wrong = [ramp.lightness(bent(luminance(grey))) - grey for grey in np.arange(20.7, 95, 0.5)]
    assert np.abs(wrong).max() < 0.5


def test_inside_it_is_the_monotone_cubic_of_scipy() -> None:
    interpolate = pytest.importorskip("scipy.interpolate", reason="SciPy is not installed")
    camera, true = (0.02, 0.06, 0.2, 0.45, 0.8), (0.01, 0.09, 0.18, 0.5, 0.85)
    cubic = interpolate.PchipInterpolator(
        [cie_lightness(y) for y in camera], [cie_lightness(y) for y in true]
    )
    for y in np.linspace(0.021, 0.79, 60):
        found = ToneRamp(camera, true).lightness(y)
        assert found == pytest.approx(float(cubic(cie_lightness(y))), abs=1e-9)


def test_a_single_grey_is_a_plain_factor() -> None:
    ramp = fit_ramp([0.4], [0.8])
    assert [float(ramp.luminance(y)) for y in (0.1, 0.25)] == pytest.approx([0.2, 0.5])


def test_greys_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(BadReferenceError, match="do not get lighter"):
        fit_ramp([0.1, 0.5, 0.4], [0.1, 0.3, 0.8])


steps = st.lists(st.floats(0.01, 1.0), min_size=2, max_size=8)


@settings(deadline=None, max_examples=100)
@given(steps, st.data())
def test_more_light_in_the_camera_never_means_less_light(
    camera: list[float], data: st.DataObject
) -> None:
    true = data.draw(st.lists(st.floats(0.01, 1.0), min_size=len(camera), max_size=len(camera)))
    knots = np.cumsum(camera) / sum(camera), np.cumsum(true) / sum(true)
    ramp = ToneRamp(tuple(knots[0]), tuple(knots[1]))
    light = ramp.luminance(np.linspace(0, 1.5, 400))
    assert np.all(np.diff(light) >= -1e-9)
