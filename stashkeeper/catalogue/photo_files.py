"""Photos as they came, under their checksum, and the throw-away folder of previews beside them."""

import hashlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from stashkeeper.errors import BadPhotoError, CannotWriteError, NotFoundError, quoted
from stashkeeper.whole_file import put_whole

SUFFIXES: Final = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif", "HEIF": ".heic"}
"""What a kept photo's file name ends in, by its format."""

_CHECKSUM = re.compile(r"[0-9a-f]{64}")


def checksum_of(source: Path) -> str:
    """Return the SHA-256 of a file, hexadecimal.

    Raises:
        BadPhotoError: it cannot be read.
    """
    try:
        with source.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as fault:
        raise _unreadable(source, fault) from fault


def photo_path(home: Path, checksum: str, photo_format: str) -> Path:
    """Return where a photo is kept in the stash folder: `photos/ab/abcd….jpg`."""
    if not _CHECKSUM.fullmatch(checksum):
        raise ValueError(f"not a SHA-256 checksum: {checksum!r}")
    suffix = SUFFIXES.get(photo_format.upper(), f".{photo_format.lower()}")
    return home / "photos" / checksum[:2] / f"{checksum}{suffix}"


def kept_photo(home: Path, checksum: str, photo_format: str) -> Path:
    """Return a kept photo's file.

    Raises:
        NotFoundError: it is gone from the stash folder.
    """
    path = photo_path(home, checksum, photo_format)
    if not path.is_file():
        raise NotFoundError(
            f"The photo “{path.name[:12]}…” is missing from the stash folder.",
            "Put it back from a backup, or add the photo again.",
        )
    return path


def keep_photo(home: Path, source: Path, checksum: str, photo_format: str) -> Path:
    """Keep a photo as it came and return its file; one kept before is left as it is.

    It is written beside its place, checked, and put there whole: a kept file is never half a one.

    Args:
        home: the stash folder.
        source: the photo's file.
        checksum: its SHA-256 as taken when it was opened.
        photo_format: as `JPEG`.

    Raises:
        BadPhotoError: it cannot be read, or changed since its checksum was taken.
        CannotWriteError: the stash folder is read-only, or its disk is full.
    """
    path = photo_path(home, checksum, photo_format)
    if path.is_file() and checksum_of(path) == checksum:
        return path
    try:
        put_whole(path, _checked(source, checksum))
    except OSError as fault:
        raise CannotWriteError(
            f"The photo could not be kept in “{path.parent}” ({fault.strerror}).",
            "Free some space, or make the stash folder writable, and try again.",
        ) from fault
    return path


def preview_path(home: Path, checksum: str, name: str) -> Path:
    """Return where a preview lies: `previews/ab/abcd…-<name>`; the folder may be deleted any day.

    `name` tells previews of one photo apart, as `swatch-300.png`.
    """
    photo = photo_path(home, checksum, "JPEG")
    return home / "previews" / checksum[:2] / f"{photo.stem}-{name}"


def write_preview(path: Path, content: bytes) -> bool:
    """Write a preview whole; return whether it could be kept. A stash folder may be read-only."""
    try:
        put_whole(path, [content])
    except OSError:
        return False
    return True


def _checked(source: Path, checksum: str) -> Iterator[bytes]:
    """Read a photo in portions; refuse it at the end, before it is kept, if it is another one."""
    digest = hashlib.sha256()
    try:
        with source.open("rb") as file:
            while portion := file.read(1 << 20):
                digest.update(portion)
                yield portion
    except OSError as fault:
        raise _unreadable(source, fault) from fault
    if digest.hexdigest() != checksum:
        raise BadPhotoError(
            f"The photo {quoted(source.name)} changed while it was being added.",
            "Add it again when nothing writes to it any more.",
        )


def _unreadable(source: Path, fault: OSError) -> BadPhotoError:
    return BadPhotoError(
        f"The photo {quoted(source.name)} cannot be read ({fault.strerror}).",
        "Check that it is there and that you may read it.",
    )
