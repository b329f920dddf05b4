"""A measurement keeps everything needed to be read anew, and cannot be changed."""

import dataclasses
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.reading import Doubt, Method
from stashkeeper.errors import BadLightnessError
from stashkeeper.luminance.colour_space import display_p3
from stashkeeper.luminance.measurement import mean_light, measurement_from_bytes
from stashkeeper.luminance.readings import lone_photo_reading, typed_reading
from stashkeeper.luminance.region import WHOLE_FRAME, Crop
from tests.luminance.made import cie_lightness, measured, solid, srgb_light

NOISE = np.random.default_rng(8).integers(0, 256, (40, 50, 3), dtype=np.uint8)


@given(st.integers(0, 2**32 - 1))
@settings(deadline=None, max_examples=25)
def test_what_is_stored_comes_back_the_same(seed: int) -> None:
    picture = np.random.default_rng(seed).integers(0, 256, (9, 11, 3), dtype=np.uint8)
    found = measured(picture, Crop(0.1, 0.2, 0.8, 0.9))
    back = measurement_from_bytes(found.to_bytes())
    assert back == found
    assert back.crop == found.crop
    assert back.doubts == found.doubts
    assert np.array_equal(back.histograms, found.histograms)


def test_a_wide_colour_space_is_stored_too() -> None:
    found = dataclasses.replace(measured(NOISE), space=display_p3())
    back = measurement_from_bytes(found.to_bytes())
    assert np.array_equal(back.space.tones, display_p3().tones)
    assert np.array_equal(back.space.to_xyz, display_p3().to_xyz)


def test_an_ordinary_measurement_takes_little_room() -> None:
    assert len(measured(NOISE).to_bytes()) < 3000


def test_histograms_count_every_pixel_of_every_channel() -> None:
    found = measured(NOISE)
    for channel in range(3):
        counts = np.bincount(NOISE[..., channel].ravel(), minlength=256)
        assert np.array_equal(found.histograms[channel], counts)
    assert found.pixels == 2000


def test_another_tone_curve_can_be_applied_without_the_photo() -> None:
    """A photo a third darker, by IEC 61966-2-1 and CIE 015, from the histograms alone."""
    found = measured(solid((150, 150, 150)))
    means = mean_light(found.histograms, found.space.tones / 3)
    luminance = float(found.space.to_xyz[1] @ np.array(means))
    assert cie_lightness(luminance) == pytest.approx(cie_lightness(srgb_light(150) / 3), abs=0.01)


def test_nobody_can_change_a_measurement() -> None:
    found = measured(NOISE)
    with pytest.raises(ValueError, match="read-only"):
        found.histograms[0, 0] = 1
    with pytest.raises(ValueError, match="read-only"):
        found.space.tones[0, 0] = 1
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.lightness = 1.0  # type: ignore[misc]


def test_measurements_differ_where_the_cloth_differs() -> None:
    assert measured(solid(100)) == measured(solid(100))
    assert hash(measured(solid(100))) == hash(measured(solid(100)))
    assert measured(solid(100)) != measured(solid(101))
    assert measured(solid(100)) != measured(solid(100), Crop(0, 0, 0.5, 0.5))


def test_a_lone_photo_is_known_to_plus_minus_25() -> None:
    reading = lone_photo_reading(measured(NOISE), "own", "photo")
    assert reading.method is Method.PHOTO
    assert reading.provisional
    assert reading.uncertainty == pytest.approx(25, abs=0.05)
    assert reading.doubts[-1] is Doubt.NO_REFERENCE
    assert reading.spread == measured(NOISE).spread
    assert reading.lightness == measured(NOISE, WHOLE_FRAME).lightness


def test_a_typed_lightness_is_taken_as_it_is() -> None:
    reading = typed_reading(62.5, "own")
    assert (reading.lightness, reading.a, reading.b) == (62.5, None, None)
    assert reading.uncertainty == 2.0
    assert not reading.provisional


@pytest.mark.parametrize("lightness", [-0.1, 100.1, float("nan"), float("inf")])
def test_an_impossible_lightness_gets_its_sentence(lightness: float) -> None:
    with pytest.raises(BadLightnessError, match="from 0"):
        typed_reading(lightness, "own")


def test_the_slow_libraries_are_loaded_only_when_needed() -> None:
    """A photo that is no HEIC is opened without its library, and nothing needs colour-science."""
    script = (
        "import io, sys; from PIL import Image;"
        "from stashkeeper.luminance import contrast, decode, measure, naming, ranking, readings;"
        "file = io.BytesIO(); Image.new('L', (9, 9)).save(file, 'PNG'); file.seek(0);"
        "decode.open_photo(file); print(*({'colour', 'pillow_heif'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True)
    assert told.stdout.strip() == b""
