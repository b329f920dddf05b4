"""The truth about the sample fabrics, derived again without the generator's own averaging."""

import math
import warnings
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageCms
from skimage.color import lab2rgb, rgb2lab

from sample_photos.fabrics import NAMES, cloth, flat_swatch, print_of
from sample_photos.generate import take
from sample_photos.p3_profile import display_p3
from sample_photos.phone import develop, expose
from sample_photos.shelf import SHOTS, STOCK
from sample_photos.tints import encode, lab_of, lch, luminance
from tests.sample_photos.shelf_as_kept import truth

WHITE, NAVY_GROUND = lch(94, 2, 95), lch(17, 20, 275)
REPEAT = 8.0 * 8.0
"""Square inches of a repeat."""


def y_of(colour: np.ndarray) -> float:
    """Return the luminance of a linear colour (the Y row of IEC 61966-2-1)."""
    red, green, blue = (float(channel) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def lightness(y: float) -> float:
    """Return L* of a luminance above 0.9 % (CIE 15:2018, 8.2.1)."""
    return 116 * math.cbrt(y) - 16


def test_dots_cover_their_area() -> None:
    """256 dots of radius 0.073 in: the share is n·π·r² / area."""
    share = 256 * math.pi * 0.073**2 / REPEAT
    exact = share * y_of(WHITE) + (1 - share) * y_of(NAVY_GROUND)
    assert truth()["Net dots"] == pytest.approx(lightness(exact), abs=0.3)


def test_stripes_cover_their_width() -> None:
    """32 lines of 3/160 in on 8 in: the share is their width together."""
    share = 32 * 3 / 160 / 8
    exact = share * y_of(lch(86, 3, 250)) + (1 - share) * y_of(lch(27, 3, 265))
    assert truth()["Chandler's pinstripe"] == pytest.approx(lightness(exact), abs=0.1)


def test_a_gingham_is_half_one_colour_and_half_the_other() -> None:
    """A quarter of its squares are white, a quarter blue, the rest half of each."""
    exact = (y_of(WHITE) + y_of(lch(34, 36, 272))) / 2
    assert truth()["Pantry gingham"] == pytest.approx(lightness(exact), abs=0.1)


def test_a_woven_stripe_shows_each_thread_half_the_time() -> None:
    """Plain weave hides half of the warp under cream weft; 12 of 40 warp threads are slate."""
    cream, slate = y_of(lch(90, 9, 90)), y_of(lch(42, 14, 250))
    exact = cream / 2 + (28 * cream + 12 * slate) / 40 / 2
    assert truth()["Berth ticking"] == pytest.approx(lightness(exact), abs=0.1)


def test_triangles_cover_half_the_paper() -> None:
    """Each square is half paper; the four colours share the other half evenly."""
    colours = (lch(62, 60, 45), lch(80, 60, 82), lch(52, 28, 215), lch(70, 30, 10))
    exact = y_of(lch(93, 4, 90)) / 2 + sum(map(y_of, colours)) / 8
    assert truth()["Spinnaker"] == pytest.approx(lightness(exact), abs=0.1)


@pytest.mark.parametrize(("name", "exact"), [("Soot", 11.5), ("Putty", 64), ("Oyster", 93.5)])
def test_the_weave_leaves_the_mean_of_a_solid_alone(name: str, exact: float) -> None:
    assert truth()[name] == pytest.approx(exact, abs=0.05)


@pytest.mark.parametrize("name", [pytest.param("Kelp", marks=pytest.mark.campaign), "Shallows"])
def test_the_kept_truth_is_what_the_generator_draws_today(name: str) -> None:
    """By scikit-image, a second implementation: the mean light, coded, through rgb2lab."""
    mean = cloth(name).mean(axis=(0, 1), dtype=np.float64)
    coded = encode(mean.astype(np.float32))
    assert truth()[name] == pytest.approx(rgb2lab(coded[None, None])[0, 0, 0], abs=0.02)


@pytest.mark.parametrize(
    "lab", [(20.0, 10.0, -30.0), (50.0, 0.0, 0.0), (62.0, 40.0, 40.0), (90.0, -5.0, 20.0)]
)
def test_colours_are_what_a_second_implementation_says(lab: tuple[float, float, float]) -> None:
    """By scikit-image lab2rgb."""
    linear = lch(lab[0], math.hypot(lab[1], lab[2]), math.degrees(math.atan2(lab[2], lab[1])))
    assert encode(linear) == pytest.approx(lab2rgb(np.array(lab)), abs=2e-3)
    assert lab_of(linear) == pytest.approx(lab, abs=0.02)


def test_every_fabric_of_the_shelf_can_be_drawn() -> None:
    assert set(NAMES) == set(STOCK)


def test_a_repeat_joins_itself_at_its_edges() -> None:
    """Neighbours across the join differ no more than neighbours elsewhere."""
    drawn = luminance(print_of("Slack tide"))
    joins = np.abs(drawn[:, 0] - drawn[:, -1]).mean()
    inside = np.abs(np.diff(drawn, axis=1)).mean()
    assert joins < 3 * inside + 1e-3


def test_a_flat_swatch_shows_the_cloth_itself() -> None:
    swatch = flat_swatch("Putty", 40, 30)
    assert (swatch.size, swatch.mode) == ((40, 30), "RGB")
    mean = np.asarray(swatch, dtype=np.float64).mean(axis=(0, 1)) / 255
    assert rgb2lab(mean[None, None])[0, 0, 0] == pytest.approx(64, abs=1)


@pytest.mark.campaign
def test_the_phone_takes_the_same_photo_twice() -> None:
    shot = replace(SHOTS[1], size=(320, 240))
    (one, placed, exposure), again = take(shot), take(shot)
    assert (one == again[0]).all()
    assert (placed, exposure) == again[1:]


def test_the_phone_exposes_dark_cloth_longer() -> None:
    gains = [expose(np.full((60, 80, 3), grey, np.float32)).gain for grey in (0.8, 0.2, 0.05)]
    assert gains == sorted(gains)
    assert gains[2] > 2 * gains[0]


def test_display_p3_says_the_same_light_in_other_numbers() -> None:
    """A photo in P3, brought to sRGB by littleCMS, is the sRGB photo (within two codes)."""
    scene = np.empty((64, 96, 3), np.float32)
    for third, colour in enumerate((lch(45, 45, 30), lch(60, 20, 150), lch(40, 30, 270))):
        scene[:, third * 32 : third * 32 + 32] = colour
    plain, wide = (
        develop(scene, expose(scene), np.random.default_rng(1), wide_gamut=gamut)
        for gamut in (False, True)
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        source = ImageCms.ImageCmsProfile(BytesIO(display_p3()))
        brought = ImageCms.profileToProfile(
            Image.fromarray(wide), source, ImageCms.createProfile("sRGB")
        )
    middle = np.s_[8:56, 8:24]
    assert brought is not None
    assert np.asarray(brought)[middle].mean(axis=(0, 1)) == pytest.approx(
        plain[middle].mean(axis=(0, 1)), abs=2
    )
    assert np.abs(wide.astype(int) - plain).max() > 8


def test_the_profile_holds_the_published_primaries() -> None:
    """The P3 matrix of colour-science, brought to D50 by its Bradford transform, in littleCMS."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    space = colour.RGB_COLOURSPACES["Display P3"]
    white = colour.xy_to_XYZ(space.whitepoint)
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        white, np.array([0.9642, 1.0, 0.8249]), transform="Bradford"
    )
    exact = adapt @ space.matrix_RGB_to_XYZ
    profile = ImageCms.ImageCmsProfile(BytesIO(display_p3())).profile
    found = [getattr(profile, f"{name}_primary")[0] for name in ("red", "green", "blue")]
    assert pytest.approx(exact, abs=1e-3) == np.array(found).T
