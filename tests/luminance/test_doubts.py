"""Doubts: told when there is reason, and not when the cloth is merely busy."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter

from stashkeeper.cloth.reading import Doubt
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.card_layout import usual_lightness
from stashkeeper.luminance.card_reading import read_card
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.referenced import card_reading
from stashkeeper.luminance.region import Crop
from tests.luminance.made import Codes, check, measured, solid
from tests.simulated_phone.posed import Pose, seen

HIGH, WIDE = 900, 1200
Y, X = np.mgrid[-1 : 1 : HIGH * 1j, -1 : 1 : WIDE * 1j]


def encoded(light: np.ndarray) -> Codes:
    """Return sRGB codes of linear light (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    bent = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(bent * 255), dtype=np.uint8)


def prints() -> dict[str, np.ndarray]:
    """Return the linear light of cloths that are evenly lit, with a little noise."""
    chance = np.random.default_rng(11)
    rows, columns = np.mgrid[0:HIGH, 0:WIDE]
    floral = np.full((HIGH, WIDE), 0.05)
    for _ in range(60):
        x, y, r = chance.uniform(0, WIDE), chance.uniform(0, HIGH), chance.uniform(30, 130)
        floral[(columns - x) ** 2 + (rows - y) ** 2 < r * r] = chance.uniform(0.05, 0.7)
    found = {
        "solid": np.full((HIGH, WIDE), 0.3),
        "dots": np.where((rows % 40 - 20) ** 2 + (columns % 40 - 20) ** 2 < 60, 0.7, 0.02),
        "gingham": 0.1 + 0.3 * (rows // 25 % 2) + 0.3 * (columns // 25 % 2),
        "pinstripe": np.where(columns % 30 < 3, 0.6, 0.08),
        "large floral": floral,
        "border print": np.where(columns < WIDE / 2, 0.08, 0.5),
    }
    return {name: light * chance.normal(1, 0.03, light.shape) for name, light in found.items()}


PRINTS = prints()
REPEATING = ["solid", "dots", "gingham", "pinstripe"]


def doubts_of(light: np.ndarray) -> tuple[Doubt, ...]:
    return measured(encoded(light), kind="JPEG", quality=92).doubts


@pytest.mark.parametrize("name", PRINTS)
def test_an_even_sharp_photo_leaves_no_doubt(name: str) -> None:
    assert doubts_of(PRINTS[name]) == ()


@pytest.mark.parametrize("name", REPEATING)
@pytest.mark.parametrize("slope", [X, Y, (X + Y) / 2, -X])
def test_light_from_one_side_is_told(name: str, slope: np.ndarray) -> None:
    """± 40 % from edge to edge."""
    assert Doubt.UNEVEN_LIGHT in doubts_of(PRINTS[name] * (1 + 0.4 * slope))


@pytest.mark.parametrize("name", REPEATING)
def test_dark_corners_are_told(name: str) -> None:
    assert Doubt.UNEVEN_LIGHT in doubts_of(PRINTS[name] * (1 - 0.3 * (X * X + Y * Y)))


@pytest.mark.parametrize("name", PRINTS)
def test_a_slight_slope_is_let_pass(name: str) -> None:
    """± 12 % from edge to edge: an ordinary window."""
    assert doubts_of(PRINTS[name] * (1 + 0.12 * X)) == ()


@pytest.mark.parametrize("name", ["dots", "gingham", "pinstripe", "large floral"])
def test_a_blurred_print_is_told(name: str) -> None:
    picture = Image.fromarray(encoded(PRINTS[name])).filter(ImageFilter.GaussianBlur(6))
    if name in {"dots", "large floral"}:
        assert Doubt.BLURRED in measured(picture, kind="JPEG", quality=92).doubts


def test_a_solid_gives_nothing_to_judge_focus_by() -> None:
    picture = Image.fromarray(solid(120, WIDE, HIGH)).filter(ImageFilter.GaussianBlur(6))
    assert Doubt.BLURRED not in measured(picture).doubts


@pytest.mark.parametrize(("code", "clipped"), [(255, True), (254, True), (253, False)])
def test_white_without_detail_is_clipped(code: int, clipped: bool) -> None:
    assert (Doubt.CLIPPED in measured(solid(code)).doubts) is clipped


@pytest.mark.parametrize(("white", "clipped"), [(0, False), (10, False), (11, True)])
def test_more_than_one_pixel_in_a_hundred_must_be_clipped(white: int, clipped: bool) -> None:
    picture = solid(120, 40, 25)
    picture.flat[:white] = 255
    assert (Doubt.CLIPPED in measured(picture).doubts) is clipped


def test_one_clipped_channel_is_enough() -> None:
    assert Doubt.CLIPPED in measured(solid((255, 60, 60))).doubts


@pytest.mark.parametrize(("code", "lost"), [(0, True), (1, True), (2, False)])
def test_black_without_detail_is_clipped_too(code: int, lost: bool) -> None:
    assert (Doubt.CLIPPED in measured(solid(code)).doubts) is lost


def test_a_pure_colour_is_not_lost_in_black() -> None:
    assert measured(solid((0, 200, 0))).doubts == ()


def test_a_tiny_photo_is_not_judged_for_light_and_focus() -> None:
    assert measured(check(60, 180, 4, 4)).doubts == ()


@pytest.mark.parametrize("number", [1, 2])
def test_real_cloth_in_even_light_leaves_no_doubt(check_photos: Path, number: int) -> None:
    assert measure(open_photo(check_photos / f"cloth_grey_{number}.jpg")).doubts == ()


def test_real_cloth_that_is_burnt_out_is_told(check_photos: Path) -> None:
    assert measure(open_photo(check_photos / "cloth_grey_3.jpg")).doubts == (Doubt.CLIPPED,)


@pytest.mark.parametrize("name", ["cloth_grey_1.jpg", "weave_cc0.png"])
def test_real_cloth_under_a_lamp_to_one_side_is_told(check_photos: Path, name: str) -> None:
    codes = np.asarray(open_photo(check_photos / name).image.convert("L"))
    light = (codes / 255.0) ** 2.2 * np.linspace(0.4, 1.0, codes.shape[1])
    assert Doubt.UNEVEN_LIGHT in measured(encoded(light)).doubts


@pytest.mark.parametrize("name", ["exif_landscape_1.jpg", "exif_portrait_3.jpg"])
def test_a_real_photo_out_of_focus_is_told(check_photos: Path, name: str) -> None:
    picture = open_photo(check_photos / name).image
    assert Doubt.BLURRED not in measured(picture, kind="JPEG", quality=92).doubts
    soft = picture.filter(ImageFilter.GaussianBlur(5))
    assert Doubt.BLURRED in measured(soft, kind="JPEG", quality=92).doubts


def shone_on(light: np.ndarray, strength: float, radius: float = 0.25) -> np.ndarray:
    """Return cloth with a soft spot of white light thrown back."""
    spot = np.exp(-((X - 0.3) ** 2 + (Y + 0.2) ** 2) / radius**2)
    return np.asarray(light + strength * spot)


@pytest.mark.parametrize("name", REPEATING)
@pytest.mark.parametrize("radius", [0.2, 0.35])
def test_glare_is_told(name: str, radius: float) -> None:
    assert Doubt.GLARE in doubts_of(shone_on(PRINTS[name] * 0.7, 0.35, radius))


def test_clouds_of_a_hand_dye_are_hardly_ever_glare() -> None:
    told = 0
    for seed in range(10):
        coarse = Image.fromarray(np.random.default_rng(seed).normal(0, 1, (8, 10)).astype("f4"))
        clouds = np.asarray(coarse.resize((WIDE, HIGH), Image.Resampling.BICUBIC))
        told += Doubt.GLARE in doubts_of(0.25 * np.exp(0.35 * clouds))
    assert told <= 1


def test_a_light_motif_on_a_dark_ground_is_no_glare() -> None:
    disc = np.where((X - 0.3) ** 2 + (Y + 0.2) ** 2 < 0.06, 0.6, 0.08)
    assert Doubt.GLARE not in doubts_of(disc)


@pytest.mark.parametrize(("per_inch", "told"), [(64, True), (78, False)])
def test_too_few_pixels_to_the_inch_are_told_where_the_card_gives_the_scale(
    per_inch: float, told: bool
) -> None:
    photo = seen(Pose(per_inch, blur=0.3, noise=1.0))
    card = read_card(photo, find_card(photo), usual_lightness())
    cloth = measure(photo, Crop(0.55, 0.4, 0.62, 0.5))
    reading = card_reading(cloth, card, card.calibration, ("own", "photo"), known=True)
    assert (Doubt.COARSE in reading.doubts) is told
