"""Every kind of picture file that a quilter may hand over means the same cloth."""

import io
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from stashkeeper.cloth.reading import Doubt
from stashkeeper.errors import BadCropError, BadPhotoError
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.region import Crop
from tests.luminance.made import file_of, measured, photo_of, solid

ROSE = (200, 100, 120)
LOSSLESS = {"PNG": {}, "TIFF": {}, "BMP": {}, "WEBP": {"lossless": True}}
LOSSY = {"JPEG": {"quality": 95}, "WEBP": {"quality": 95}, "AVIF": {"quality": 95}}


def sixteen_bit_png(codes: np.ndarray) -> io.BytesIO:
    """Write a 16-bit colour PNG by hand (ISO/IEC 15948): Pillow writes only grey ones."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        whole = kind + data
        return len(data).to_bytes(4, "big") + whole + zlib.crc32(whole).to_bytes(4, "big")

    height, width = codes.shape[:2]
    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes([16, 2, 0, 0, 0])
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in codes)
    data = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return io.BytesIO(b"\x89PNG\r\n\x1a\n" + data)


@pytest.mark.parametrize(("kind", "options"), LOSSLESS.items())
def test_lossless_formats_measure_the_same(kind: str, options: dict[str, object]) -> None:
    expected = measured(solid(ROSE))
    found = measure(photo_of(solid(ROSE), kind, **options))
    assert found.lightness == expected.lightness
    assert (found.a, found.b) == (expected.a, expected.b)


@pytest.mark.parametrize(("kind", "options"), LOSSY.items())
def test_lossy_formats_measure_nearly_the_same(kind: str, options: dict[str, object]) -> None:
    expected = measured(solid(ROSE))
    photo = photo_of(solid(ROSE), kind, **options)
    assert photo.format == kind
    assert measure(photo).lightness == pytest.approx(expected.lightness, abs=0.6)


def test_heic_is_opened_by_its_own_library() -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    photo = photo_of(solid(ROSE), "HEIF", quality=95)
    assert photo.format == "HEIF"
    assert measure(photo).lightness == pytest.approx(measured(solid(ROSE)).lightness, abs=0.6)


@pytest.mark.parametrize("name", ["small_grey.heic", "ten_bit.heif"])
def test_real_heic_files_open(check_photos: Path, name: str) -> None:
    photo = open_photo(check_photos / name)
    assert photo.format == "HEIF"
    assert 0 < measure(photo).lightness < 100


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bit_grey_is_not_clipped(kind: str) -> None:
    """Pillow's own conversion to eight bits clips at 255 instead of dividing by 257."""
    grey = np.full((20, 30), 128 * 257, dtype=np.uint16)
    found = measure(photo_of(Image.fromarray(grey), kind))
    assert found.lightness == pytest.approx(53.585, abs=0.001)  # IEC 61966-2-1, CIE 015


def test_sixteen_bit_colour() -> None:
    codes = np.full((20, 30, 3), np.array(ROSE) * 257, dtype=np.uint16)
    found = measure(open_photo(sixteen_bit_png(codes)))
    assert found.lightness == measured(solid(ROSE)).lightness


def test_grey_is_colour_with_equal_channels() -> None:
    grey, colour = measured(solid(90)), measured(solid((90, 90, 90)))
    assert grey.lightness == pytest.approx(colour.lightness, abs=1e-9)
    assert np.array_equal(grey.histograms, colour.histograms)


def test_a_palette_is_looked_up() -> None:
    picture = Image.fromarray(solid(ROSE)).quantize(4)
    assert picture.mode == "P"
    assert measured(picture).lightness == measured(solid(ROSE)).lightness


def test_black_and_white_of_one_bit() -> None:
    codes = np.zeros((20, 20), dtype=np.uint8)
    codes[:, ::2] = 255
    found = measured(Image.fromarray(codes).convert("1"))
    assert found.lightness == pytest.approx(76.07, abs=0.01)  # half the light: CIE 015


def test_transparent_pixels_are_left_out() -> None:
    """A photo with its background cut away holds cloth only where it is opaque."""
    picture = np.full((40, 60, 4), (0, 0, 0, 0), dtype=np.uint8)
    picture[10:30, 20:40] = (*ROSE, 255)
    found = measured(picture)
    assert found.pixels == 400
    assert found.lightness == measured(solid(ROSE)).lightness
    assert found.spread.deviation == pytest.approx(0, abs=1e-3)
    assert photo_of(picture).image.getpixel((0, 0)) == (255, 255, 255)


def test_a_large_cut_out_is_sampled_only_where_there_is_cloth() -> None:
    picture = np.full((1100, 1300, 4), (255, 255, 255, 0), dtype=np.uint8)
    picture[100:900, 100:800] = (*ROSE, 255)
    found = measured(picture)
    assert found.pixels == 800 * 700
    assert found.spread.deviation == pytest.approx(0, abs=0.05)


def test_an_opaque_picture_with_an_alpha_channel_is_taken_whole() -> None:
    picture = np.full((40, 60, 4), (*ROSE, 255), dtype=np.uint8)
    assert measured(picture).pixels == 2400


@pytest.mark.parametrize("mode", ["LA", "PA"])
def test_grey_and_palette_with_alpha(mode: str) -> None:
    picture = Image.new("LA", (30, 20), (90, 255)).convert(mode) if mode == "LA" else None
    picture = picture or Image.new("RGBA", (30, 20), (90, 90, 90, 255)).convert("PA")
    kind = "PNG" if mode == "LA" else "TIFF"
    assert measure(photo_of(picture, kind)).lightness == measured(solid(90)).lightness


def test_a_see_through_colour_of_a_palette_is_left_out() -> None:
    picture = Image.new("P", (20, 20), 0)
    picture.putpalette([0, 0, 0, *ROSE])
    picture.paste(1, (0, 0, 10, 20))
    found = measured(picture, transparency=0)
    assert found.pixels == 200
    assert found.lightness == measured(solid(ROSE)).lightness


def test_a_picture_without_any_cloth_in_it() -> None:
    with pytest.raises(BadPhotoError, match="transparent all over"):
        photo_of(np.zeros((20, 20, 4), dtype=np.uint8))


def test_a_crop_without_any_cloth_in_it() -> None:
    picture = np.zeros((40, 40, 4), dtype=np.uint8)
    picture[:, 20:] = (*ROSE, 255)
    with pytest.raises(BadCropError, match="transparent all over"):
        measured(picture, Crop(0, 0, 0.5, 1))


def test_inks_without_a_profile_are_only_a_guess() -> None:
    found = measured(Image.new("CMYK", (30, 20), (0, 0, 0, 127)), kind="TIFF")
    assert found.lightness == pytest.approx(53.6, abs=0.5)  # code 128 of 255, as plain inks go
    assert Doubt.COLOUR_PROFILE in found.doubts


def test_a_cmyk_jpeg_is_not_upside_down() -> None:
    """Many programs write CMYK JPEGs inverted; paper must stay light."""
    found = measured(Image.new("CMYK", (32, 32), (0, 0, 0, 10)), kind="JPEG", quality=95)
    assert found.lightness > 90


def test_lab_pixels_come_through_littlecms() -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
    picture = ImageCms.profileToProfile(
        Image.fromarray(solid(ROSE)), ImageCms.createProfile("sRGB"), lab, outputMode="LAB"
    )
    assert picture is not None
    found = measured(picture, kind="TIFF")
    assert found.lightness == pytest.approx(measured(solid(ROSE)).lightness, abs=1.0)


@pytest.mark.parametrize("dtype", [np.float32, np.int32])
def test_numbers_without_a_scale_are_no_photo(dtype: type) -> None:
    with pytest.raises(BadPhotoError, match="without a scale"):
        photo_of(Image.fromarray(np.full((20, 20), 7, dtype=dtype)), "TIFF")


def test_the_first_picture_of_several_counts() -> None:
    frames = [Image.fromarray(solid(code)) for code in (90, 200)]
    for kind in ("GIF", "TIFF", "MPO"):
        photo = photo_of(frames[0], kind, save_all=True, append_images=frames[1:])
        assert measure(photo).lightness == pytest.approx(measured(solid(90)).lightness, abs=0.5)


def test_a_phones_double_picture_is_a_jpeg() -> None:
    frames = [Image.fromarray(solid(ROSE)) for _ in range(2)]
    file = file_of(frames[0], "MPO", save_all=True, append_images=frames[1:])
    assert open_photo(file).format == "JPEG"
