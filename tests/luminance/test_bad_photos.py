"""Whatever is handed over instead of a photo: one sentence, never a fault of the program."""

import io
import os
import random
import zlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from stashkeeper.errors import BadPhotoError, NotFoundError, StashkeeperError
from stashkeeper.luminance.decode import MAX_PIXELS, open_photo
from stashkeeper.luminance.measure import measure
from tests.luminance.made import file_of, solid

KINDS = ["JPEG", "PNG", "WEBP", "TIFF", "GIF", "BMP", "AVIF"]
NOISE = np.random.default_rng(4).integers(0, 256, (60, 80, 3), dtype=np.uint8)


def bomb(width: int, height: int) -> bytes:
    """Return a PNG of a few kilobytes that would unpack to `width` × `height` white pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        whole = kind + data
        return len(data).to_bytes(4, "big") + whole + zlib.crc32(whole).to_bytes(4, "big")

    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes([1, 0, 0, 0, 0])
    packer = zlib.compressobj(9)
    row = bytes(1 + (width + 7) // 8)
    packed = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    data = chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + data


def refusal(data: bytes, folder: Path, name: str = "cloth.jpg") -> BadPhotoError:
    """Write a file, open it as a photo, and return how it was refused."""
    path = folder / name
    path.write_bytes(data)
    with pytest.raises(BadPhotoError) as told:
        open_photo(path)
    assert name in told.value.problem
    assert told.value.remedy.endswith(".")
    return told.value


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
def test_a_file_cut_off(tmp_path: Path, kind: str, share: float) -> None:
    data = file_of(NOISE, kind).getvalue()
    told = refusal(data[: int(len(data) * share)], tmp_path)
    assert "cut off or damaged" in told.problem or "damaged" in told.problem


def test_an_empty_file(tmp_path: Path) -> None:
    assert "is empty" in refusal(b"", tmp_path).problem


def test_a_text_file_called_jpg(tmp_path: Path) -> None:
    told = refusal("Fat quarter, ¼ yd, navy with dots\n".encode() * 100, tmp_path)
    assert told.problem == "cloth.jpg is not a photo: it holds text."
    assert "JPEG, PNG, WebP, TIFF or HEIC" in told.remedy


def test_a_short_text_file(tmp_path: Path) -> None:
    assert "it holds text" in refusal(b"hi", tmp_path).problem


def test_a_pdf(tmp_path: Path) -> None:
    assert "it is a PDF" in refusal(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", tmp_path, "a.png").problem


def test_other_bytes(tmp_path: Path) -> None:
    assert "is not a photo" in refusal(bytes(range(1, 255)) * 20, tmp_path).problem


def test_a_format_that_would_run_a_program_is_not_opened(tmp_path: Path) -> None:
    data = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n"
    assert "is not a photo" in refusal(data, tmp_path, "cloth.eps").problem


@pytest.mark.parametrize("size", [(9000, 9000), (10_000, 10_000), (20_000, 20_000)])
def test_a_bomb_is_refused_before_it_is_unpacked(
    tmp_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def unpacked(image: Image.Image) -> None:
        raise AssertionError("the bomb was unpacked")

    data = bomb(*size)
    assert len(data) < 100_000
    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", unpacked)
    told = refusal(data, tmp_path, "tiny.png")
    assert "80 million" in told.problem


def test_the_limit_is_the_callers(tmp_path: Path) -> None:
    photo = file_of(solid(90, 40, 30))
    assert open_photo(photo, max_pixels=1200).width == 40
    photo.seek(0)
    with pytest.raises(BadPhotoError, match="pixels"):
        open_photo(photo, max_pixels=1199)
    assert MAX_PIXELS < 81_000_000  # a 10-kilobyte PNG of 81 megapixels is the smallest bomb met


def test_a_photo_under_another_name_is_opened_by_what_it_holds(tmp_path: Path) -> None:
    path = tmp_path / "really-a-png.jpg"
    path.write_bytes(file_of(solid(119)).getvalue())
    photo = open_photo(path)
    assert photo.format == "PNG"
    assert measure(photo).lightness == pytest.approx(50.034, abs=0.001)


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(BadPhotoError, match="is a folder, not a photo"):
        open_photo(tmp_path)


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match=r"There is no file .*nowhere\.jpg"):
        open_photo(tmp_path / "nowhere.jpg")


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(*_: object) -> None:
        raise PermissionError(13, os.strerror(13))

    monkeypatch.setattr("pathlib.Path.open", denied)
    with pytest.raises(BadPhotoError, match=r"cloth\.jpg cannot be read: permission denied"):
        open_photo(tmp_path / "cloth.jpg")


def test_a_disk_that_fails_while_reading() -> None:
    class Failing(io.BytesIO):
        def read(self, size: int | None = -1, /) -> bytes:
            raise OSError(5, os.strerror(5))

    with pytest.raises(BadPhotoError, match="cannot be read: input/output error"):
        open_photo(Failing())


def test_a_name_that_would_disturb_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "a\x1b[31mred\n.jpg"
    path.write_bytes(b"")
    with pytest.raises(BadPhotoError) as told:
        open_photo(path)
    assert told.value.problem.isprintable()


def outcome(data: bytes) -> str:
    """Open and measure bytes; return what came of it. Anything but our own errors is a fault."""
    try:
        return f"{measure(open_photo(io.BytesIO(data))).lightness:.0f}"
    except StashkeeperError as told:
        return told.problem


@given(st.binary(max_size=300))
@settings(deadline=None, max_examples=200)
def test_arbitrary_bytes_never_break_the_program(data: bytes) -> None:
    assert outcome(data)


@pytest.mark.parametrize("kind", [*KINDS, "HEIF"])
def test_photos_with_damaged_bytes_never_break_the_program(kind: str) -> None:
    """Seeded: 60 copies of a photo with a few bytes changed, most of them in its head."""
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    exif = Image.Exif()
    exif[274], exif[271], exif[306] = 6, "Example", "2026:05:03 14:30:00"
    photo = file_of(NOISE, kind, **({} if kind in {"GIF", "BMP"} else {"exif": exif.tobytes()}))
    chance = random.Random(kind)
    for _ in range(60):
        data = bytearray(photo.getvalue())
        for _ in range(chance.randint(1, 6)):
            reach = 200 if chance.random() < 0.7 else len(data)
            data[chance.randrange(min(reach, len(data)))] = chance.randrange(256)
        assert outcome(bytes(data))


@pytest.mark.campaign
@pytest.mark.parametrize("kind", KINDS)
def test_many_damaged_photos_never_break_the_program(kind: str) -> None:
    """Seeded, 3,000 a format."""
    photo = file_of(NOISE, kind).getvalue()
    chance = random.Random(kind)
    for _ in range(3000):
        data = bytearray(photo)
        for _ in range(chance.randint(1, 10)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        assert outcome(bytes(data[: chance.randint(1, len(data))]))
