"""A 24-patch chart as drawn: read whichever way it lies, and refused where it is another."""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.chart import ChartReading, read_chart
from stashkeeper.luminance.chart_reference import reference_lightness, reference_xyz
from stashkeeper.luminance.decode import Photo
from tests.luminance.made import photo_of, srgb_light

# XYZ to linear sRGB (IEC 61966-2-1, annex F).
TO_SRGB = ((3.2406, -1.5372, -0.4986), (-0.9689, 1.8758, 0.0415), (0.0557, -0.2040, 1.0570))
LIGHT = np.array([srgb_light(code) for code in range(256)])
SIDE, GAP = 30, 6
ORDER = np.arange(24)


def drawn_chart(order: np.ndarray = ORDER, cover: tuple[int, ...] = ()) -> Image.Image:
    """Draw a chart, bent by a camera's curve (a power of 1.2 in linear light), warm light on it."""
    light = np.clip(reference_xyz() @ np.array(TO_SRGB).T, 0, 1) ** 1.2 * (1.0, 0.9, 0.75)
    codes = np.rint(np.interp(light, LIGHT, np.arange(256))).astype(int)
    pitch = SIDE + GAP
    chart = Image.new("RGB", (6 * pitch, 4 * pitch), (20, 20, 20))
    draw = ImageDraw.Draw(chart)
    for place, patch in enumerate(order):
        x, y = place % 6 * pitch + GAP // 2, place // 6 * pitch + GAP // 2
        fill = (235, 235, 235) if place in cover else tuple(codes[patch].tolist())
        draw.rectangle((x, y, x + SIDE - 1, y + SIDE - 1), fill=fill)
    whole = Image.new("RGB", (6 * pitch + 40, 4 * pitch + 40), (120, 120, 120))
    whole.paste(chart, (20, 20))
    return whole


def corners(chart: Image.Image, off: float = 0.0) -> np.ndarray:
    """Return the chart's corners in the picture, each `off` px away from where they are."""
    width, height = chart.size
    edges = np.array([(20, 20), (width - 20, 20), (width - 20, height - 20), (20, height - 20)])
    shift = off * np.array([(1, 1), (1, -1), (-1, -1), (1, -1)])
    return (edges + shift) / (width, height)


def read(chart: Image.Image, off: float = 0.0) -> ChartReading:
    return read_chart(photo_of(chart), corners(chart, off))


def test_the_reference_is_the_published_one() -> None:
    # Neutral row after November 2014, as its maker publishes it (L*, D50).
    greys = (95.19, 81.29, 66.89, 50.76, 35.63, 20.64)
    assert reference_lightness()[18:] == pytest.approx(greys, abs=0.06)


def test_a_drawn_chart_comes_out_as_drawn() -> None:
    reading = read(drawn_chart())
    assert np.abs(reading.left_out).mean() < 1.5
    assert reading.corners == pytest.approx(corners(drawn_chart()), abs=0.02)


@pytest.mark.parametrize(
    "turn",
    [Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270],
)
def test_a_turned_chart_is_told(turn: Image.Transpose) -> None:
    straight, turned = read(drawn_chart()), read(drawn_chart().transpose(turn))
    light = [np.array([patch.light for patch in one.patches]) for one in (straight, turned)]
    assert light[1] == pytest.approx(light[0], abs=1e-6)


def test_corners_a_fifth_of_a_patch_off_are_set_right() -> None:
    straight, off = read(drawn_chart()), read(drawn_chart(), off=6.0)
    assert off.left_out == pytest.approx(straight.left_out, abs=0.1)


@pytest.mark.parametrize("order", [(3, 2, 1, 0), (1, 2, 3, 0), (0, 2, 1, 3), (2, 0, 3, 1)])
def test_corners_come_in_any_order(order: tuple[int, ...]) -> None:
    clockwise = read(drawn_chart())
    other = read_chart(photo_of(drawn_chart()), corners(drawn_chart())[list(order)])
    assert other.left_out == pytest.approx(clockwise.left_out, abs=0.1)


@pytest.mark.parametrize("inwards", [-14.0, 18.0])
def test_corners_may_be_those_of_the_chart_or_the_middles_of_the_outer_patches(
    inwards: float,
) -> None:
    chart = drawn_chart()
    shift = inwards * np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)]) / chart.size
    other = read_chart(photo_of(chart), corners(chart) + shift)
    assert other.left_out == pytest.approx(read(chart).left_out, abs=0.1)


def stored_upside_down() -> Photo:
    """Return a photo whose stored rotation says it must be turned by half."""
    exif = Image.Exif()
    exif[274] = 3
    return photo_of(drawn_chart().transpose(Image.Transpose.ROTATE_180), exif=exif)


def test_corners_are_of_the_upright_photo() -> None:
    reading = read_chart(stored_upside_down(), corners(drawn_chart()))
    assert reading.corners[0] == pytest.approx(corners(drawn_chart())[0], abs=0.02)


def other_make(seed: int) -> np.ndarray:
    return np.random.default_rng(seed).permutation(24)


BAD = {
    "colours in another order": drawn_chart(np.concatenate([other_make(1) % 18, ORDER[18:]])),
    "greys first": drawn_chart(np.roll(ORDER, 6)),
    "another order altogether": drawn_chart(other_make(2)),
    "mirrored": drawn_chart().transpose(Image.Transpose.FLIP_LEFT_RIGHT),
    "half under a sheet of paper": drawn_chart(cover=tuple(n for n in range(24) if n % 6 > 2)),
    "two rows under a sheet of paper": drawn_chart(cover=tuple(range(12))),
    "greys under a sheet of paper": drawn_chart(cover=tuple(range(18, 24))),
    "no chart at all": Image.new("RGB", (256, 184), (90, 120, 60)),
}


@pytest.mark.parametrize("picture", BAD.values(), ids=BAD.keys())
def test_what_is_no_such_chart_is_refused(picture: Image.Image) -> None:
    with pytest.raises(BadReferenceError, match="no chart of 24 known patches"):
        read(picture)


@pytest.mark.campaign
def test_no_other_order_of_the_patches_passes_for_the_chart() -> None:
    for seed in range(25):
        with pytest.raises(BadReferenceError):
            read(drawn_chart(other_make(seed)))


def test_corners_that_enclose_nothing_are_refused() -> None:
    for bad in ([(0.1, 0.1), (0.5, 0.5), (0.9, 0.9), (0.3, 0.7)], [(0.5, 0.5)] * 4):
        with pytest.raises(BadReferenceError, match="do not go round a chart"):
            read_chart(photo_of(drawn_chart()), np.array(bad))
