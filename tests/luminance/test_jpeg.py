"""The quick way to decode JPEGs gives the codes that Pillow gives, and mixes up no two photos."""

import gc
import io
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from stashkeeper.errors import BadPhotoError
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.jpeg import decoded
from stashkeeper.luminance.measure import count_codes
from stashkeeper.luminance.pixels import Memory, picture_of
from stashkeeper.luminance.region import Box
from tests.luminance.made import Codes, file_of, photo_of, solid

SAMPLES = Path(__file__).parents[2] / "sample_photos"
KINDS: dict[str, dict[str, object]] = {
    "full colour": {"subsampling": 0},
    "colour halved across": {"subsampling": 1},
    "colour halved both ways": {"subsampling": 2},
    "progressive": {"progressive": True},
    "own tables": {"optimize": True},
    "coarse": {"quality": 5},
    "fine": {"quality": 100},
    "restart marks": {"restart_marker_blocks": 3},
    "stored as red, green and blue": {"keep_rgb": True},
}


def print_(width: int, height: int, seed: int = 5) -> Codes:
    """Return a printed cloth of many colours with noise."""
    y, x = np.mgrid[0:height, 0:width]
    noise = np.random.default_rng(seed).normal(0, 20, (height, width, 3))
    stripes = np.stack([80 * np.sin(x / 3), 60 * np.sin(y / 5), 70 * np.sin((x + y) / 9)], axis=2)
    return np.clip(120 + stripes + noise, 0, 255).astype(np.uint8)


def quick(file: io.BytesIO) -> Memory | None:
    """Return what the quick way makes of a file."""
    with Image.open(file) as head:
        return decoded(head, file)


def slow(file: io.BytesIO) -> Codes:
    """Return what Pillow makes of a file."""
    with Image.open(file) as image:
        return np.asarray(image.convert("RGB"))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("size", [(1, 1), (7, 9), (16, 16), (33, 17), (250, 131)])
def test_codes_are_those_of_pillow(kind: str, size: tuple[int, int]) -> None:
    file = file_of(print_(*size), "JPEG", **KINDS[kind])
    memory = quick(file)
    assert memory is not None
    rows = memory.reshape(size[1] + 1, size[0], 4)[:-1, :, :3]
    assert np.array_equal(rows, slow(file))


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.jpg")), ids=lambda path: path.stem)
def test_codes_of_the_sample_photos_are_those_of_pillow(path: Path) -> None:
    pixels = open_photo(path).pixels
    assert pixels.memory is not None
    assert np.array_equal(np.asarray(pixels.stored)[..., :3], slow(io.BytesIO(path.read_bytes())))


def test_codes_of_real_photos_are_those_of_pillow(check_photos: Path) -> None:
    quickly = 0
    for path in sorted(check_photos.glob("*.jp*g")):
        pixels = open_photo(path).pixels
        quickly += pixels.memory is not None
        if pixels.stored.mode == "RGBX":
            expected = slow(io.BytesIO(path.read_bytes()))
            assert np.array_equal(np.asarray(pixels.stored)[..., :3], expected), path.name
    assert quickly > 5


def test_the_first_of_several_pictures_in_a_file_counts() -> None:
    """Phones put a second picture behind the photo (CIPA DC-007)."""
    second = Image.fromarray(solid((0, 0, 0)))
    file = file_of(print_(64, 48), "MPO", save_all=True, append_images=[second])
    photo = open_photo(file)
    assert photo.format == "JPEG"
    assert photo.pixels.memory is not None
    assert np.array_equal(np.asarray(photo.pixels.stored)[..., :3], slow(file))


def test_what_is_no_colour_jpeg_is_left_to_pillow() -> None:
    inks = Image.new("CMYK", (20, 10), (10, 20, 30, 40))
    assert quick(file_of(inks, "JPEG")) is None
    assert quick(file_of(solid(90), "JPEG")) is None
    assert quick(file_of(solid((90, 20, 60)), "PNG")) is None


def test_a_file_with_more_behind_its_picture_is_read_as_pillow_reads_it() -> None:
    file = file_of(print_(64, 48), "JPEG")
    longer = io.BytesIO(file.getvalue() + b"Sunday at Larkmere")
    assert np.array_equal(np.asarray(open_photo(longer).pixels.stored)[..., :3], slow(file))


@pytest.mark.parametrize("kept", [0.3, 0.6, 0.9, 0.99])
def test_a_cut_off_file_is_refused(kept: float) -> None:
    whole = file_of(print_(200, 150), "JPEG").getvalue()
    with pytest.raises(BadPhotoError, match="cut off or damaged"):
        open_photo(io.BytesIO(whole[: int(kept * len(whole))]))


@given(seed=st.integers(0, 2**32 - 1), at=st.floats(0.1, 0.95))
def test_damage_means_what_it_means_to_pillow(seed: int, at: float) -> None:
    """Where bytes are spoilt inside, both make the same of it, or both refuse."""
    spoilt = bytearray(file_of(print_(120, 90), "JPEG").getvalue())
    place = int(at * len(spoilt))
    spoilt[place : place + 4] = seed.to_bytes(4, "big")
    try:
        expected = slow(io.BytesIO(spoilt))
    except Exception:
        with pytest.raises(BadPhotoError):
            open_photo(io.BytesIO(spoilt))
    else:
        found = open_photo(io.BytesIO(spoilt)).pixels.stored.convert("RGB")
        assert np.array_equal(np.asarray(found), expected)


@given(left=st.integers(0, 119), top=st.integers(0, 89), across=st.integers(1), down=st.integers(1))
def test_a_region_is_counted_where_it_lies(left: int, top: int, across: int, down: int) -> None:
    pixels = photo_of(print_(120, 90), "JPEG").pixels
    box = Box(left, top, left + 1 + across % (120 - left), top + 1 + down % (90 - top))
    region = np.asarray(pixels.stored)[box.top : box.bottom, box.left : box.right, :3]
    expected = [np.bincount(region[..., channel].ravel(), minlength=256) for channel in range(3)]
    assert np.array_equal(count_codes(pixels, box), expected)


def test_a_photo_keeps_its_pixels_while_others_are_opened() -> None:
    """Each part of it does: the photo, its picture, a region of it."""
    photo = photo_of(print_(300, 200, seed=1), "JPEG")
    picture = photo_of(print_(300, 200, seed=2), "JPEG").pixels.stored
    memory = photo_of(print_(300, 200, seed=3), "JPEG").pixels.memory
    assert memory is not None
    region = picture_of(memory, 300, Box(10, 20, 50, 60))
    del memory
    held = [photo.pixels.stored, picture, region]
    before = [one.tobytes() for one in held]
    gc.collect()
    for seed in range(10, 20):
        photo_of(print_(300, 200, seed=seed), "JPEG")
    assert [one.tobytes() for one in held] == before


def test_memory_serves_the_next_photo_of_its_size_or_smaller() -> None:
    def place() -> int:
        memory = photo_of(print_(300, 200), "JPEG").pixels.memory
        assert memory is not None
        return memory.ctypes.data

    first = place()
    assert {place() for _ in range(5)} == {first}
