"""How far a print varies after the viewing blur, against closed forms and full counting."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.luminance.colour_space import srgb
from stashkeeper.luminance.samples import SHIFTS, STEP
from tests.luminance.made import Codes, check, cie_lightness, measured, solid

WIDE, HIGH = 1600, 1280


def counted(codes: Codes) -> tuple[float, float, float]:
    """Return the spread by counting every pixel: squares of 1/64, mean light, then CIE L*."""
    side = max(codes.shape) // 64
    light = srgb().tones[0][codes]
    rows, columns = light.shape[0] // side, light.shape[1] // side
    squares = light[: rows * side, : columns * side].reshape(rows, side, columns, side)
    lightness = np.vectorize(cie_lightness)(squares.mean(axis=(1, 3)))
    return lightness.std(), *np.percentile(lightness, (2, 98))


def test_a_solid_has_no_spread() -> None:
    found = measured(solid(119, WIDE, HIGH)).spread
    assert found.deviation == pytest.approx(0, abs=1e-3)
    assert (found.low, found.high) == pytest.approx((50.034, 50.034), abs=1e-3)


@pytest.mark.parametrize("size", [1, 2, 3, 4])
def test_a_fine_check_blurs_into_one_grey(size: int) -> None:
    """Black and white in equal parts: Y = 0.5, so L* = 76.07 (CIE 015:2018)."""
    found = measured(check(0, 255, size, 1536 // size)).spread
    assert found.deviation < 0.6
    assert (found.low, found.high) == pytest.approx((76.07, 76.07), abs=1.3)


def test_a_coarse_check_keeps_both_its_greys() -> None:
    found = measured(check(119, 188, 200, 8)).spread
    assert (found.low, found.high) == pytest.approx((50.034, 76.246), abs=0.01)
    assert found.deviation == pytest.approx((76.246 - 50.034) / 2, abs=0.5)


@given(
    st.floats(2.5, 12),
    st.floats(0, np.pi),
    st.sampled_from(["weave", "stripe"]),
    st.integers(20, 70),
)
@settings(deadline=None, max_examples=12)
def test_sampling_agrees_with_counting_every_pixel(
    period: float, angle: float, kind: str, strength: int
) -> None:
    """A weave or stripe at any angle, with the contrast that a lens leaves of it at its pitch.

    A pitch that nearly keeps step with the samples is the worst: 0.6 and 1.6 L* apart.
    """
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    across = x * np.cos(angle) + y * np.sin(angle)
    down = y * np.cos(angle) - x * np.sin(angle)
    wave = np.sin(2 * np.pi * across / period)
    if kind == "weave":
        wave = wave * np.sin(2 * np.pi * down / period)
    amplitude = strength * max(0.1, 1 - 1.8 / period)
    codes = np.round(120 + amplitude * wave + 20 * np.sin(x / 200)).astype(np.uint8)
    found = measured(codes).spread
    deviation, low, high = counted(codes)
    assert found.deviation == pytest.approx(deviation, abs=1)
    assert (found.low, found.high) == pytest.approx((low, high), abs=2.5)


def test_every_row_and_column_is_sampled_equally_often() -> None:
    across, down = zip(*SHIFTS, strict=True)
    assert sorted(across) == sorted(down) == list(range(STEP))
