"""The same photos by two other programs: littleCMS (through Pillow) and scikit-image."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms
from skimage.color import rgb2lab

from tests.luminance.made import measured, solid

COLOURS = st.tuples(*[st.integers(0, 255)] * 3)


def lab_by_littlecms(colour: tuple[int, ...]) -> tuple[float, float, float]:
    """Return L*, a*, b* of an sRGB colour by littleCMS, in its steps of 100/255 and 1.

    They are relative to the profile's D50 instead of our D65: greys agree, a* and b* of strong
    colours differ by up to 13, and so does L* by up to 3 (pure blue).
    """
    transform = ImageCms.buildTransform(
        ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), "RGB", "LAB"
    )
    changed = ImageCms.applyTransform(Image.new("RGB", (1, 1), colour), transform)
    assert changed is not None
    lightness, a, b = changed.tobytes()
    return lightness * 100 / 255, (a ^ 128) - 128, (b ^ 128) - 128


@given(COLOURS)
@settings(deadline=None, max_examples=60)
def test_solids_agree_with_scikit_image(colour: tuple[int, ...]) -> None:
    patch = solid(colour, 8, 8)
    lightness, a, b = rgb2lab(patch)[0, 0]
    found = measured(patch)
    assert found.lightness == pytest.approx(lightness, abs=0.02)
    assert (found.a, found.b) == pytest.approx((a, b), abs=0.05)


@given(st.integers(0, 255))
@settings(deadline=None, max_examples=40)
def test_greys_agree_with_littlecms(code: int) -> None:
    lightness, _, _ = lab_by_littlecms((code, code, code))
    assert measured(solid(code, 8, 8)).lightness == pytest.approx(lightness, abs=0.4)


@given(COLOURS)
@settings(deadline=None, max_examples=60)
def test_colours_agree_with_littlecms_up_to_its_other_white(colour: tuple[int, ...]) -> None:
    lightness, a, b = lab_by_littlecms(colour)
    found = measured(solid(colour, 8, 8))
    assert found.lightness == pytest.approx(lightness, abs=3)
    assert (found.a, found.b) == pytest.approx((a, b), abs=13)


def test_a_print_agrees_with_scikit_image_in_linear_light() -> None:
    """Mean XYZ over the pixels, by scikit-image, and its L* of that mean."""
    from skimage.color import rgb2xyz, xyz2lab

    picture = np.random.default_rng(7).integers(0, 256, (50, 70, 3), dtype=np.uint8)
    lightness, a, b = xyz2lab(rgb2xyz(picture).mean(axis=(0, 1), keepdims=True))[0, 0]
    found = measured(picture)
    assert found.lightness == pytest.approx(lightness, abs=0.01)
    assert (found.a, found.b) == pytest.approx((a, b), abs=0.05)
