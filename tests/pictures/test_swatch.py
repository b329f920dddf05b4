"""Swatches show the cloth as it is measured, the twin its lightness and nothing else."""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from stashkeeper.errors import BadPhotoError
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.region import WHOLE_FRAME, Box, Crop
from stashkeeper.pictures.preview import draw_preview
from stashkeeper.pictures.swatch import cut_swatch
from stashkeeper.pictures.swatch_book import Wanted, cut_swatches
from tests.pictures.made import reference_lightness, solid_photo


def whole(image: Image.Image) -> Box:
    return Box(0, 0, image.width, image.height)


def grey_lightness(twin: Image.Image) -> float:
    """Return the mean L* of a grey twin by scikit-image."""
    return float(reference_lightness(np.asarray(twin.convert("RGB"))).mean())


@pytest.mark.parametrize(
    "colour", [(200, 30, 40), (20, 60, 140), (250, 240, 90), (90, 120, 60), (12, 10, 14)]
)
def test_the_twin_of_a_solid_is_as_light_as_its_colour(colour: tuple[int, int, int]) -> None:
    swatch = cut_swatch(image := Image.new("RGB", (50, 50), colour), whole(image), (20, 20))
    assert np.all(np.asarray(swatch.colour) == colour)
    expected = float(reference_lightness(np.array([colour], dtype=np.uint8))[0])
    assert grey_lightness(swatch.grey) == pytest.approx(expected, abs=0.3)


def test_a_fine_check_is_reduced_to_the_grey_the_eye_mixes() -> None:
    """A check of black and white has Y = ½, which is sRGB code 188 (IEC 61966-2-1)."""
    check = (np.indices((256, 256)).sum(axis=0) % 2 * 255).astype(np.uint8)
    image = Image.fromarray(check).convert("RGB")
    swatch = cut_swatch(image, whole(image), (32, 32))
    assert np.all(np.abs(np.asarray(swatch.grey).astype(int) - 188) <= 1)


def test_the_twin_stands_at_the_reading_even_where_the_exposure_does_not() -> None:
    image = Image.new("RGB", (40, 40), (90, 100, 110))
    swatch = cut_swatch(image, whole(image), (20, 20), lightness=62.0)
    assert grey_lightness(swatch.grey) == pytest.approx(62.0, abs=0.3)
    assert np.all(np.asarray(swatch.colour) == (90, 100, 110))


def test_the_swatch_is_the_middle_of_the_region_and_not_stretched() -> None:
    image = Image.new("RGB", (300, 100), (255, 255, 255))
    image.paste((0, 0, 0), (0, 0, 100, 100))
    image.paste((255, 0, 0), (200, 0, 300, 100))
    swatch = cut_swatch(image, whole(image), (50, 50))
    assert np.asarray(swatch.colour)[:, 5:45].min() == 255


@pytest.mark.parametrize("region", [Box(0, 0, 1, 1), Box(0, 0, 2000, 3), Box(0, 0, 3, 1500)])
def test_a_region_of_any_shape_gives_a_swatch_of_the_size_asked_for(region: Box) -> None:
    image = Image.new("RGB", (2000, 1500), (10, 200, 30))
    swatch = cut_swatch(image, region, (37, 21))
    assert swatch.colour.size == swatch.grey.size == (37, 21)


def test_a_photo_of_several_fabrics_is_opened_once_and_cut_apart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    image = Image.new("RGB", (200, 100), (255, 0, 0))
    image.paste((0, 0, 255), (100, 0, 200, 100))
    image.save(tmp_path / "two.png")
    opened: list[Path] = []

    def counted(file: Path) -> Photo:
        opened.append(file)
        return open_photo(file)

    monkeypatch.setattr("stashkeeper.pictures.swatch_book.open_photo", counted)
    wanted = [
        Wanted("A1", tmp_path / "two.png", Crop(0.0, 0.0, 0.5, 1.0), None),
        Wanted("B1", tmp_path / "two.png", Crop(0.5, 0.0, 1.0, 1.0), None),
    ]
    cut = cut_swatches(wanted, (10, 10))
    assert cut["A1"].colour.getpixel((5, 5)) == (255, 0, 0)
    assert cut["B1"].colour.getpixel((5, 5)) == (0, 0, 255)
    assert len(opened) == 1


def test_a_missing_or_damaged_photo_has_no_swatch_and_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "text.jpg").write_text("no photo at all")
    wanted = [
        Wanted("A1", tmp_path / "absent.jpg", WHOLE_FRAME, None),
        Wanted("B1", tmp_path / "text.jpg", WHOLE_FRAME, None),
        Wanted("C1", solid_photo(tmp_path / "c.png", (1, 2, 3)), WHOLE_FRAME, None),
    ]
    assert set(cut_swatches(wanted, (4, 4))) == {"C1"}


def test_a_preview_is_upright_and_carries_no_record(tmp_path: Path) -> None:
    """Exif tag 274 = 6: the top of the upright photo is the stored left side (CIPA DC-008)."""
    image = Image.new("RGB", (400, 200), (255, 255, 255))
    image.paste((200, 0, 0), (0, 0, 100, 200))
    exif = image.getexif()
    exif[274], exif[271] = 6, "Invented Camera"
    image.save(tmp_path / "turned.jpg", exif=exif, quality=95)
    preview = Image.open(io.BytesIO(draw_preview(tmp_path / "turned.jpg", WHOLE_FRAME, 100)))
    assert preview.size == (100, 200)
    assert not preview.getexif()
    top, bottom = preview.getpixel((50, 20)), preview.getpixel((50, 180))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert (top[1] < 60, bottom[1] > 200) == (True, True)


def test_a_preview_is_never_larger_than_its_cloth(tmp_path: Path) -> None:
    photo = solid_photo(tmp_path / "small.png", (9, 9, 9), side=30)
    preview = Image.open(io.BytesIO(draw_preview(photo, Crop(0.0, 0.0, 1.0, 0.5), 500)))
    assert preview.size == (30, 15)


def test_a_preview_of_no_photo_says_so(tmp_path: Path) -> None:
    (tmp_path / "zero.jpg").write_bytes(b"")
    with pytest.raises(BadPhotoError):
        draw_preview(tmp_path / "zero.jpg", WHOLE_FRAME, 100)
