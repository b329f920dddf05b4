"""The stored rotation: applied once, in every format, to crop and picture alike."""

import io
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.orientation import turned, unturned
from stashkeeper.luminance.region import Crop, parse_crop
from tests.luminance.made import file_of, photo_of

ORIENTATIONS = range(1, 9)
TOP_LEFT = Crop(0.0, 0.0, 0.5, 0.5)


def quarters() -> Image.Image:
    """Return a wide picture whose four quarters are black, dark, light and white."""
    codes = np.repeat(np.repeat(np.array([[0, 80], [170, 255]], dtype=np.uint8), 32, 0), 48, 1)
    return Image.fromarray(codes).convert("RGB")


def stored_as(picture: Image.Image, orientation: int, kind: str) -> io.BytesIO:
    """Write a picture so that a reader must turn it by `orientation` to see it upright.

    How each tag is undone: Exif 3.0, tag 274, by Pillow's own names for the turns.
    """
    undo = {
        2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }  # fmt: skip
    stored = picture.transpose(undo[orientation]) if orientation in undo else picture
    exif = Image.Exif()
    exif[274] = orientation
    options = {"quality": 95} if kind == "JPEG" else {"lossless": True} if kind == "WEBP" else {}
    return file_of(stored, kind, exif=exif.tobytes(), **options)


@pytest.mark.parametrize("orientation", ORIENTATIONS)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_every_stored_rotation_is_applied_once(kind: str, orientation: int) -> None:
    photo = open_photo(stored_as(quarters(), orientation, kind))
    assert (photo.width, photo.height) == photo.image.size == (96, 64)
    found = [
        measure(photo, Crop(left, top, left + 0.5, top + 0.5)).lightness
        for top in (0.0, 0.5)
        for left in (0.0, 0.5)
    ]
    assert found == pytest.approx([0.0, 34.03, 69.61, 100.0], abs=0.4)  # IEC 61966-2-1, CIE 015
    corners = [photo.image.getpixel(point) for point in ((5, 5), (90, 5), (5, 60), (90, 60))]
    assert np.array(corners)[:, 1] == pytest.approx([0, 80, 170, 255], abs=2)


def test_a_heic_is_turned_once() -> None:
    """pillow-heif turns on loading; to turn again would be wrong."""
    import pillow_heif

    pillow_heif.register_heif_opener()
    photo = open_photo(stored_as(quarters(), 6, "HEIF"))
    assert (photo.width, photo.height) == (96, 64)
    assert measure(photo, TOP_LEFT).lightness == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        ("exif_landscape_1.jpg", 1800, 1200),
        ("exif_landscape_6.jpg", 1800, 1200),
        ("exif_portrait_3.jpg", 1200, 1800),
        ("exif_portrait_8.jpg", 1200, 1800),
    ],
)
def test_real_photos_come_upright(check_photos: Path, name: str, width: int, height: int) -> None:
    """Sizes as published with the photos (recurser/exif-orientation-examples)."""
    photo = open_photo(check_photos / name)
    assert (photo.width, photo.height) == photo.image.size == (width, height)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("exif_landscape_1.jpg", "exif_landscape_6.jpg"),
        ("exif_portrait_3.jpg", "exif_portrait_8.jpg"),
    ],
)
@pytest.mark.parametrize("crop", ["0,0,0.5,0.5", "0.5,0,1,0.4", "0.1,0.6,0.5,0.95"])
def test_the_same_real_scene_measures_the_same_however_it_was_held(
    check_photos: Path, one: str, other: str, crop: str
) -> None:
    """Two files of one scene, stored in different rotations; they show their number in ink."""
    first, second = (
        measure(open_photo(check_photos / name), parse_crop(crop)) for name in (one, other)
    )
    assert first.lightness == pytest.approx(second.lightness, abs=1.0)
    assert (first.a, first.b) == pytest.approx((second.a, second.b), abs=1.5)


def test_a_rotation_that_does_not_exist_counts_as_none() -> None:
    exif = Image.Exif()
    exif[274] = 77
    assert photo_of(quarters(), "JPEG", exif=exif).orientation == 1


@given(st.sampled_from(ORIENTATIONS), st.data())
@settings(deadline=None, max_examples=100)
def test_a_crop_is_the_same_before_and_after_turning(orientation: int, data: st.DataObject) -> None:
    stored = Image.fromarray(np.arange(7 * 5, dtype=np.uint8).reshape(5, 7))
    stored.getexif()[274] = orientation
    upright = ImageOps.exif_transpose(stored)
    left, right = sorted(data.draw(st.tuples(st.floats(0, 0.9), st.floats(0, 0.9))))
    top, bottom = sorted(data.draw(st.tuples(st.floats(0, 0.9), st.floats(0, 0.9))))
    box = Crop(left, top, right + 0.1, bottom + 0.1).pixels(*upright.size)
    cut_late = upright.crop(box.edges)
    cut_early = stored.crop(unturned(box, *upright.size, orientation).edges)
    assert turned(cut_early, orientation).tobytes() == cut_late.tobytes()
