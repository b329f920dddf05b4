"""Photos kept as they came: whole or not at all, once each, under their checksum."""

import errno
import hashlib
import os
from pathlib import Path
from typing import Any

import pytest

from stashkeeper.catalogue.photo_files import (
    checksum_of,
    keep_photo,
    kept_photo,
    photo_path,
    preview_path,
    write_preview,
)
from stashkeeper.errors import BadPhotoError, CannotWriteError, NotFoundError

CONTENT = b"not really a photo" * 100_000


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    file = tmp_path / "IMG 1.jpg"
    file.write_bytes(CONTENT)
    return file


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "stash"


def files_in(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_the_checksum_is_sha_256(tmp_path: Path) -> None:
    # The one-block example of FIPS 180-2, appendix B.1: the message "abc".
    (tmp_path / "abc").write_bytes(b"abc")
    assert checksum_of(tmp_path / "abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


def test_a_photo_is_kept_as_it_came(photo: Path, home: Path) -> None:
    checksum = checksum_of(photo)
    kept = keep_photo(home, photo, checksum, "JPEG")
    assert kept == home / "photos" / checksum[:2] / f"{checksum}.jpg"
    assert kept == kept_photo(home, checksum, "JPEG")
    assert kept.read_bytes() == CONTENT
    assert files_in(home) == [f"photos/{checksum[:2]}/{checksum}.jpg"]


def test_keeping_it_again_touches_nothing(photo: Path, home: Path) -> None:
    checksum = checksum_of(photo)
    before = keep_photo(home, photo, checksum, "JPEG").stat()
    after = keep_photo(home, photo, checksum, "JPEG").stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)


def test_a_kept_photo_that_was_damaged_is_made_whole_again(photo: Path, home: Path) -> None:
    checksum = checksum_of(photo)
    kept = keep_photo(home, photo, checksum, "JPEG")
    kept.write_bytes(b"half")
    assert keep_photo(home, photo, checksum, "JPEG").read_bytes() == CONTENT


def test_a_photo_that_changed_meanwhile_is_not_kept(photo: Path, home: Path) -> None:
    checksum = checksum_of(photo)
    photo.write_bytes(b"another")
    with pytest.raises(BadPhotoError, match=r"IMG 1\.jpg.*changed"):
        keep_photo(home, photo, checksum, "JPEG")
    assert files_in(home) == []


def test_a_photo_that_cannot_be_read_is_named(tmp_path: Path, home: Path) -> None:
    with pytest.raises(BadPhotoError, match=r"gone\.jpg"):
        checksum_of(tmp_path / "gone.jpg")
    with pytest.raises(BadPhotoError, match=r"gone\.jpg"):
        keep_photo(home, tmp_path / "gone.jpg", "ab" * 32, "JPEG")
    with pytest.raises(NotFoundError, match="missing from the stash"):
        kept_photo(home, "ab" * 32, "JPEG")


def test_a_full_disk_leaves_no_half_photo(
    photo: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWriteError, match="No space left"):
        keep_photo(home, photo, checksum_of(photo), "JPEG")
    assert files_in(home) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_device_that_is_full_says_so(
    photo: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = os.open

    def open_full(path: Path, flags: int, *rest: Any, **named: Any) -> int:
        if str(path).endswith(".part"):
            return opened("/dev/full", os.O_WRONLY)
        return opened(path, flags, *rest, **named)

    monkeypatch.setattr(os, "open", open_full)
    with pytest.raises(CannotWriteError, match="No space left"):
        keep_photo(home, photo, hashlib.sha256(CONTENT).hexdigest(), "JPEG")


def test_a_stash_folder_that_is_a_file_says_so(photo: Path, tmp_path: Path) -> None:
    (tmp_path / "stash").write_text("in the way")
    with pytest.raises(CannotWriteError, match="photos"):
        keep_photo(tmp_path / "stash", photo, checksum_of(photo), "JPEG")


def test_a_checksum_is_never_a_way_out_of_the_folder(home: Path) -> None:
    for checksum in ("../" * 20, "AB" * 32, "ab", ""):
        with pytest.raises(ValueError, match="checksum"):
            photo_path(home, checksum, "JPEG")


def test_previews_are_written_whole_and_may_fail_in_silence(home: Path, tmp_path: Path) -> None:
    path = preview_path(home, "ab" * 32, "swatch-300.png")
    assert path == home / "previews" / "ab" / f"{'ab' * 32}-swatch-300.png"
    assert write_preview(path, b"png")
    assert path.read_bytes() == b"png"
    assert files_in(home) == [str(path.relative_to(home))]
    (tmp_path / "file").write_text("in the way")
    assert not write_preview(tmp_path / "file" / "preview.png", b"png")
