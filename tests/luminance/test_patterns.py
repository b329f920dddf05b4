"""Prints against closed forms: what the eye averages at a distance, not a mean of codes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.luminance.region import Crop
from tests.luminance.made import check, cie_lightness, measured, solid, srgb_light

PIXELS = (1, 2, 3, 4, 6, 8, 11, 16)


def dots(size: int, dot: tuple[int, int, int], ground: tuple[int, int, int]) -> np.ndarray:
    """Return square dots of `size` pixels, one in a square of three times that, 10 × 10 of them."""
    y, x = np.mgrid[0 : 30 * size, 0 : 30 * size] // size % 3
    picture = np.empty((*y.shape, 3), dtype=np.uint8)
    picture[:] = ground
    picture[(x == 1) & (y == 1)] = dot
    return picture


def colour_light(colour: tuple[int, int, int]) -> float:
    """Return Y of an sRGB colour (IEC 61966-2-1)."""
    red, green, blue = map(srgb_light, colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("size", PIXELS)
@pytest.mark.parametrize(("one", "other"), [(0, 255), (30, 200), (100, 140)])
def test_an_even_check_has_the_mean_of_both_luminances(size: int, one: int, other: int) -> None:
    exact = cie_lightness((srgb_light(one) + srgb_light(other)) / 2)
    assert measured(check(one, other, size)).lightness == pytest.approx(exact, abs=0.02)


@pytest.mark.parametrize("size", PIXELS)
def test_white_dots_on_navy(size: int) -> None:
    white, navy = (255, 255, 255), (0, 0, 128)
    exact = cie_lightness(colour_light(white) / 9 + colour_light(navy) * 8 / 9)
    assert measured(dots(size, white, navy)).lightness == pytest.approx(exact, abs=0.02)


def test_a_fine_black_and_white_check_is_not_mid_grey() -> None:
    """The mean of codes (128) would give 53.6, the mean of L* 50; the eye sees 76.07."""
    assert measured(check(0, 255, 1)).lightness == pytest.approx(76.07, abs=0.01)


@pytest.mark.parametrize("size", PIXELS)
def test_a_crop_counts_exactly_its_own_pixels(size: int) -> None:
    picture = np.pad(check(20, 240, size, 8), 40, constant_values=255)
    height, width = picture.shape
    inside = Crop(40 / width, 40 / height, 1 - 40 / width, 1 - 40 / height)
    exact = cie_lightness((srgb_light(20) + srgb_light(240)) / 2)
    found = measured(picture, inside)
    assert found.pixels == (8 * size) ** 2
    assert found.lightness == pytest.approx(exact, abs=0.02)


@given(st.integers(0, 255), st.integers(0, 254), st.integers(0, 2))
@settings(deadline=None, max_examples=40)
def test_more_light_in_any_channel_never_lowers_lightness(
    other: int, code: int, channel: int
) -> None:
    colour = [other, other, other]
    colour[channel] = code
    brighter = colour.copy()
    brighter[channel] = code + 1
    before, after = (measured(solid(tuple(one), 8, 8)).lightness for one in (colour, brighter))
    assert before < after
