"""The real photo of a 24-patch chart: its greys fitted, its colours tested, in any pose."""

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from stashkeeper.luminance.chart import ChartReading, read_chart
from stashkeeper.luminance.chart_grid import GRID, patch_squares
from stashkeeper.luminance.chart_reference import reference_lightness
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.patches import stored_points, upright_fractions
from stashkeeper.luminance.perspective import perspective_through
from stashkeeper.luminance.referenced import chart_reading
from stashkeeper.luminance.region import Crop
from tests.luminance.made import srgb_light

GIVEN = np.array([(0.02, 0.0), (0.95, 0.0), (0.95, 0.99), (0.02, 0.99)])
"""Corners as a person points at them."""


@pytest.fixture(scope="module")
def file(check_photos: Path) -> Path:
    return check_photos / "chart24_real.png"


@pytest.fixture(scope="module")
def real(file: Path) -> ChartReading:
    return read_chart(open_photo(file), GIVEN)


def test_colours_left_out_come_out_right(real: ChartReading) -> None:
    # The greys are fitted; each of the 18 colours is tested by a calibration that never saw it.
    errors = np.abs(real.left_out)
    assert len(errors) == 18
    assert errors.mean() <= 4.0
    assert np.percentile(errors, 95) <= 9.0


def test_the_greys_alone_keep_the_colours_within_bounds(real: ChartReading) -> None:
    row = np.array([0.2290, 0.6917, 0.0793])  # the photo is in Display P3 (SMPTE EG 432-1)
    light = np.array([patch.light for patch in real.patches]) * real.calibration.gains
    found = [real.calibration.ramp.lightness(float(y)) for y in (light @ row)[:18]]
    errors = np.abs(np.array(found) - reference_lightness()[:18])
    assert errors.mean() <= 4.0
    assert np.percentile(errors, 95) <= 9.0


def test_each_colour_read_as_cloth_is_right_with_an_honest_uncertainty(
    file: Path, real: ChartReading
) -> None:
    photo = open_photo(file)
    readings = []
    for square in patch_squares(stored_points(photo, real.corners), 0.25):
        where = upright_fractions(photo, square)
        (left, top), (right, bottom) = where.min(axis=0).tolist(), where.max(axis=0).tolist()
        measured = measure(photo, Crop(left, top, right, bottom))
        at = real.calibration_at(((left + right) / 2, (top + bottom) / 2))
        readings.append(chart_reading(measured, real, at, (f"region:{left},{top}", "photo")))
    colours = [reading.lightness for reading in readings[:18]]
    errors = np.abs(np.array(colours) - reference_lightness()[:18])
    stated = np.array([reading.uncertainty for reading in readings[:18]])
    assert errors.mean() <= 4.0
    assert np.percentile(errors, 95) <= 9.0
    assert (errors <= stated).mean() >= 0.9
    assert np.median(stated) <= 2.5 * np.percentile(errors, 95)


def test_the_camera_alone_is_far_off(real: ChartReading) -> None:
    """The photo is a real trial: taken at its word, it is worse than after the greys."""
    row = np.array([0.2290, 0.6917, 0.0793])
    raw = np.array([116 * (np.array(patch.light) @ row) ** (1 / 3) - 16 for patch in real.patches])
    errors = np.abs(raw[:18] - reference_lightness()[:18])
    assert errors.mean() > np.abs(real.left_out).mean()


def changed(file: Path, change: Callable[[np.ndarray], np.ndarray]) -> ChartReading:
    """Read the photo after its light was changed, in linear light."""
    tones = np.array([srgb_light(code) for code in range(256)])
    with Image.open(file) as opened:
        light = tones[np.asarray(opened.convert("RGB"))]
        profile = opened.info["icc_profile"]
    codes = np.interp(change(light).clip(0, 1), tones, np.arange(256))
    packed = io.BytesIO()
    picture = Image.fromarray(np.rint(codes).astype(np.uint8))
    picture.save(packed, "PNG", icc_profile=profile)
    packed.seek(0)
    return read_chart(open_photo(packed), GIVEN)


def vivid(light: np.ndarray) -> np.ndarray:
    grey = light.mean(axis=2, keepdims=True)
    return np.asarray(grey + 1.5 * (light - grey))


def falling(axis: int) -> Callable[[np.ndarray], np.ndarray]:
    def change(light: np.ndarray) -> np.ndarray:
        ramp = np.exp(-0.6 * np.linspace(0, 1, light.shape[axis]))
        return np.asarray(light * (ramp[:, None, None] if axis == 0 else ramp[None, :, None]))

    return change


CHANGES = {
    "lamp light": lambda light: light * (1.0, 0.7, 0.35),
    "a quarter of the light": lambda light: light / 4,
    "hard tones": lambda light: light**1.5,
    "soft tones": lambda light: light**0.7,
    "vivid colours": vivid,
    "light that falls off along the rows": falling(0),
    "light that falls off across them": falling(1),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_whatever_light_and_phone_do_the_chart_undoes(
    file: Path, change: Callable[[np.ndarray], np.ndarray]
) -> None:
    reading = changed(file, change)
    errors = np.abs(reading.left_out)
    assert errors.mean() <= 4.0
    assert np.percentile(errors, 95) <= 9.0
    assert (errors <= reading.uncertainty).mean() >= 0.9


def test_light_that_falls_off_far_is_doubted(file: Path, real: ChartReading) -> None:
    assert not real.uneven
    assert changed(file, lambda light: falling(0)(light) ** 1.2).uneven


def posed(file: Path, real: ChartReading, seed: int) -> tuple[io.BytesIO, np.ndarray]:
    """Return the photo turned and tilted on a table, as a JPEG, and where its chart's grid lies."""
    random = np.random.default_rng(seed)
    with Image.open(file) as opened:
        flat, profile = opened.convert("RGB"), opened.info["icc_profile"]
    size = np.array(flat.size, dtype=np.float64)
    angle = np.radians(random.uniform(0, 360))
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    frame = np.array([(0, 0), (size[0], 0), size, (0, size[1])])
    tilt = random.uniform(-0.04, 0.04, (4, 2)) * size.min()
    ends = random.uniform(1.0, 2.3) * ((frame - size / 2) @ turn + tilt) + 600
    place = perspective_through(frame, ends)
    back = place.back.matrix
    picture = flat.transform(
        (1200, 1200),
        Image.Transform.PERSPECTIVE,
        tuple((back / back[2, 2]).ravel()[:8]),
        Image.Resampling.BICUBIC,
        fillcolor=(120, 118, 110),
    )
    packed = io.BytesIO()
    picture.save(packed, "JPEG", quality=int(random.integers(75, 95)), icc_profile=profile)
    packed.seek(0)
    return packed, place(real.corners * size)


def read_posed(file: Path, real: ChartReading, seed: int, margin: float) -> float:
    """Return the mean error of the colours, with corners so far outside the patches, and shuffled.

    Each corner is a tenth of a patch off as well.
    """
    packed, corners = posed(file, real, seed)
    random = np.random.default_rng(seed)
    outwards = np.sign(GRID - GRID.mean(axis=0))
    off = random.normal(0, 0.1, (4, 2))
    given = perspective_through(GRID, corners)(GRID + margin * outwards + off) / 1200
    reading = read_chart(open_photo(packed), random.permutation(given.clip(0, 1)))
    return float(np.abs(reading.left_out).mean())


@pytest.mark.parametrize("margin", [0.0, -0.5, 0.3])
def test_in_another_pose_with_corners_meant_otherwise_it_says_the_same(
    file: Path, real: ChartReading, margin: float
) -> None:
    said = read_posed(file, real, 1, margin)
    assert said == pytest.approx(np.abs(real.left_out).mean(), abs=0.3)


@pytest.mark.campaign
def test_in_many_poses_the_chart_says_the_same(file: Path, real: ChartReading) -> None:
    said = [
        read_posed(file, real, seed, margin)
        for seed in range(2, 12)
        for margin in (0.0, -0.5, 0.2, 0.4)
    ]
    assert said == pytest.approx([float(np.abs(real.left_out).mean())] * len(said), abs=0.4)
