"""The exposure record: read from real and made files (Exif 3.0), nonsense left out."""

from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.exposure import Exposure
from tests.luminance.made import photo_of, solid


def record(**detail: object) -> Image.Exif:
    """Return Exif data by the names of the standard."""
    tags = {"time": 0x829A, "aperture": 0x829D, "iso": 0x8827, "taken": 0x9003}
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Example ", "P1\0\0"
    ifd = exif.get_ifd(0x8769)
    for name, found in detail.items():
        ifd[tags[name]] = found
    return exif


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_record_of_a_phone(kind: str) -> None:
    exif = record(
        time=IFDRational(1, 50), aperture=IFDRational(18, 10), iso=80, taken="2026:05:03 14:30:00"
    )
    found = photo_of(Image.fromarray(solid((90, 90, 90))), kind, exif=exif).exposure
    assert found == Exposure(0.02, 1.8, 80.0, "Example", "P1", datetime(2026, 5, 3, 14, 30))
    assert found.camera == "Example P1"


def test_a_photo_without_a_record() -> None:
    assert photo_of(solid(90), "JPEG").exposure == Exposure()
    assert Exposure().camera is None


def test_a_model_that_names_its_make_is_not_told_twice() -> None:
    assert Exposure(make="Example", model="Example P1").camera == "Example P1"


@pytest.mark.parametrize(
    "nonsense",
    [
        {"time": IFDRational(0, 0)}, {"time": IFDRational(0, 5)}, {"iso": 0},
        {"taken": "yesterday"}, {"taken": "0000:00:00 00:00:00"}, {"taken": "\x1b[2J"},
    ],
)  # fmt: skip
def test_nonsense_counts_as_not_said(nonsense: dict[str, object]) -> None:
    found = photo_of(solid(90), "JPEG", exif=record(**nonsense)).exposure
    assert found == Exposure(make="Example", model="P1")


def test_a_real_photo_keeps_its_record(check_photos: Path) -> None:
    assert open_photo(check_photos / "p3_red.jpg").exposure.seconds is None
