"""Photos of a folder on their way in from a page, kept under their own names, made harmless."""

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.incoming import Upload, harmless_name
from stashkeeper.errors import TooLargeError, quoted
from stashkeeper.transfer.photo_folder import PHOTO_ENDINGS
from stashkeeper.whole_file import write_whole

LIST: Final = "sizes.csv"
"""The list of sizes, beside the folder of photos."""

MOST_PHOTO: Final = 64 * 1024 * 1024
MOST_LIST: Final = 4 * 1024 * 1024
MOST_PHOTOS: Final = 5_000
"""Photos that a folder may hold."""

_DEEPEST: Final = 6
_PORTION: Final = 1 << 20


@dataclass(frozen=True, slots=True)
class SentPhotos:
    """What came of a sending: how many photos were kept, and the names of what was passed over."""

    kept: int
    passed_over: tuple[str, ...]


def keep_photos(home: Path, uploads: Sequence[Upload], listed: Upload | None) -> SentPhotos:
    """Write photos whole into `home/photos`, and the list of sizes beside it.

    A folder chosen whole may hold the list; it is taken where no other one was chosen.

    Raises:
        TooLargeError: a photo or the list has too many bytes, or there are too many photos.
        CannotWriteError: the folder cannot be written.
    """
    passed_over: list[str] = []
    kept = 0
    room = MOST_PHOTOS - len(photo_names(home))
    for upload in uploads:
        path = harmless_path(upload.name)
        if path.suffix.lower() == ".csv" and listed is None:
            listed = upload
        elif path.suffix.lower() not in PHOTO_ENDINGS or path.name.startswith("."):
            passed_over.append(path.name)
        elif kept >= room:
            raise TooLargeError(
                f"There are more than {MOST_PHOTOS:,} photos.", "Begin another intake for the rest."
            )
        else:
            _keep(home / "photos" / path, upload)
            kept += 1
    if listed is not None:
        write_whole(home / LIST, _portions(listed, MOST_LIST))
    return SentPhotos(kept, tuple(passed_over))


def photo_names(home: Path) -> dict[str, int]:
    """Return the photos that are here already: their paths in order, and their sizes in bytes.

    A photo that goes meanwhile, because all were taken in, is not here any more.
    """
    photos = home / "photos"
    sizes: dict[str, int] = {}
    for folder, _, names in photos.walk():
        for file in (folder / name for name in names if not name.startswith(".")):
            with suppress(FileNotFoundError):
                sizes[file.relative_to(photos).as_posix()] = file.stat().st_size
    return dict(sorted(sizes.items()))


def harmless_path(sent: str) -> Path:
    """Return where a photo may lie below a folder: the folders it was in, but the outermost.

    >>> harmless_path("shelf/blue/../navy.jpg").as_posix()
    'blue/navy.jpg'
    """
    *folders, name = re.split(r"[/\\]", sent)
    kept = [harmless_name(folder) for folder in folders[1:] if folder.strip(" .")]
    return Path(*kept[-_DEEPEST:], harmless_name(name))


def _keep(path: Path, upload: Upload) -> None:
    """Write a photo; another one of the same name gets a number behind its own."""
    number = 1
    numbered = path
    while numbered.exists() and not _same(numbered, upload):
        number += 1
        numbered = path.with_name(f"{path.stem} ({number}){path.suffix}")
    if not numbered.exists():
        write_whole(numbered, _portions(upload, MOST_PHOTO))


def _same(path: Path, upload: Upload) -> bool:
    """Tell whether a file holds the very same bytes as an upload."""
    upload.file.seek(0)
    with path.open("rb") as file:
        while portion := file.read(_PORTION):
            if portion != upload.file.read(len(portion)):
                return False
    return not upload.file.read(1)


def _portions(upload: Upload, most: int) -> Iterator[bytes]:
    size = 0
    upload.file.seek(0)
    while portion := upload.file.read(_PORTION):
        size += len(portion)
        if size > most:
            raise TooLargeError(
                f"{quoted(harmless_name(upload.name))} has over {most // 1_000_000} megabytes.",
                "Send a smaller copy of it; what was sent before is kept.",
            )
        yield portion
