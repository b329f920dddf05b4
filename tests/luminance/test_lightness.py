"""Lightness against the standards: CIE 015, IEC 61966-2-1, ASTM D1535 and a published chart."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.luminance.lightness import lightness_of_luminance, luminance_of_lightness
from tests.luminance.made import cie_lightness, measured, mixed, solid

# Y of Munsell value V, in percent of a perfect diffuser: the polynomial of ASTM D1535-14.
D1535 = (1.1914, -0.22533, 0.23352, -0.020484, 0.00081939)

# L* at Munsell value 1 to 9: that polynomial, then CIE 1976.
MUNSELL = {
    1: 10.41, 2: 20.24, 3: 30.38, 4: 40.74, 5: 51.00, 6: 61.05, 7: 70.86, 8: 80.53, 9: 90.18,
}  # fmt: skip

# L* of the neutral row of the 24-patch colour chart made after November 2014, as published by its
# maker; the same figures are in colour-science's table of that chart.
CHART_NEUTRALS = (95.19, 81.29, 66.89, 50.76, 35.63, 20.64)

# L* of single sRGB codes: IEC 61966-2-1, then CIE 015:2018.
SRGB_SPOTS = {0: 0.0, 119: 50.034, 128: 53.585, 188: 76.246, 255: 100.0}


def munsell_luminance(value: int) -> float:
    return math.fsum(factor * value**power for power, factor in enumerate(D1535, start=1)) / 100


@pytest.mark.parametrize(("value", "lightness"), MUNSELL.items())
def test_munsell_values_through_png(value: int, lightness: float) -> None:
    found = measured(mixed(munsell_luminance(value)))
    assert found.lightness == pytest.approx(lightness, abs=0.02)


@pytest.mark.parametrize(("value", "lightness"), MUNSELL.items())
def test_munsell_values_through_jpeg(value: int, lightness: float) -> None:
    found = measured(mixed(munsell_luminance(value)), kind="JPEG", quality=95)
    assert found.lightness == pytest.approx(lightness, abs=0.15)


@pytest.mark.parametrize("lightness", CHART_NEUTRALS)
@pytest.mark.parametrize(("kind", "within"), [("PNG", 0.02), ("JPEG", 0.15)])
def test_the_neutral_row_of_the_chart(lightness: float, kind: str, within: float) -> None:
    patch = mixed(((lightness + 16) / 116) ** 3)  # CIE 015:2018 turned round
    assert measured(patch, kind=kind, quality=95).lightness == pytest.approx(lightness, abs=within)


@pytest.mark.parametrize(("code", "lightness"), SRGB_SPOTS.items())
def test_srgb_spot_values(code: int, lightness: float) -> None:
    found = measured(solid((code, code, code)))
    assert found.lightness == pytest.approx(lightness, abs=0.0006)
    assert (found.a, found.b) == pytest.approx((0.0, 0.0), abs=0.02)


@given(st.floats(0.0, 1.0))
@settings(deadline=None, max_examples=200)
def test_lightness_and_luminance_are_each_others_way_back(luminance: float) -> None:
    lightness = lightness_of_luminance(luminance)
    assert lightness == pytest.approx(cie_lightness(luminance), abs=1e-9)
    assert luminance_of_lightness(lightness) == pytest.approx(luminance, abs=1e-12)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(deadline=None, max_examples=200)
def test_more_light_never_lowers_lightness(one: float, other: float) -> None:
    darker, lighter = sorted((one, other))
    assert lightness_of_luminance(darker) <= lightness_of_luminance(lighter)
