"""A folder of photos: which files in it are photos, and which are passed over and why."""

import os
import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.errors import NotFoundError, quoted

PHOTO_ENDINGS: Final = (
    ".jpg", ".jpeg", ".jfif", ".heic", ".heif", ".hif", ".png", ".webp", ".avif", ".tif",
    ".tiff", ".bmp", ".gif",
)  # fmt: skip
"""How the name of a photo ends, in small letters."""


@dataclass(frozen=True, slots=True)
class PassedOver:
    """A file or folder that was left alone, and the reason in a few words."""

    path: Path
    reason: str


@dataclass(frozen=True, slots=True)
class FolderListing:
    """The photos of a folder and of the folders in it, and what was passed over, each in order."""

    photos: tuple[Path, ...]
    passed_over: tuple[PassedOver, ...]


def find_photos(folder: Path) -> FolderListing:
    """Return the photos in `folder` and in the folders inside it, in the order a person counts.

    Photos are told by how their names end; nothing is opened. Hidden files and folders, other
    files, links that lead nowhere and folders that cannot be opened are passed over. A folder
    reached twice, through links, is read once.

    Raises:
        NotFoundError: there is no such folder, it cannot be opened, or no photo is in it.
    """
    if trouble := _no_folder(folder):
        raise NotFoundError(
            f"{quoted(str(folder), 120)} {trouble}.", "Give the folder that holds the photos."
        )
    found = sorted(_walk(folder, set()), key=lambda each: natural_order(each[0]))
    photos = tuple(path for path, reason in found if reason is None)
    passed_over = tuple(PassedOver(path, reason) for path, reason in found if reason is not None)
    if not photos:
        raise NotFoundError(_nothing_in(folder, passed_over), _endings_told())
    return FolderListing(photos, passed_over)


def _no_folder(folder: Path) -> str | None:
    """Return why something is no folder, as the end of a sentence; None if it is one."""
    try:
        if folder.is_dir():
            return None
        return "is a file, not a folder" if folder.exists() else "is not there"
    except OSError as error:  # a name too long, or a folder around it that lets nobody in
        return f"cannot be reached ({_in_words(error)})"


def natural_order(path: Path) -> tuple[str, str]:
    """Return a key that sorts paths as a person counts: 9.jpg before 10.jpg, capitals aside."""
    return re.sub(r"\d+", _counted, path.as_posix().casefold()), str(path)


def _counted(digits: re.Match[str]) -> str:
    """Put in front of a number how many digits it has, so that text order is number order."""
    number = digits.group().lstrip("0")
    return f"{len(number):03}{number}"


def _walk(folder: Path, been: set[tuple[int, int]]) -> Iterator[tuple[Path, str | None]]:
    """Yield each file with the reason to pass it over, None for a photo."""
    try:
        here = folder.stat()
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        yield folder, f"this folder cannot be opened ({_in_words(error)})"
        return
    if (here.st_dev, here.st_ino) in been:
        yield folder, "this folder was read already, under another name"
        return
    been.add((here.st_dev, here.st_ino))
    for entry in entries:
        path = folder / entry.name
        if not entry.name.startswith(".") and _is_folder(entry):
            yield from _walk(path, been)
        else:
            yield path, _reason_to_pass_over(path)


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:
        return False


def _reason_to_pass_over(path: Path) -> str | None:
    if path.name.startswith("."):
        return "hidden"
    try:
        mode = path.stat().st_mode
    except OSError as error:
        return f"it cannot be reached ({_in_words(error)})"
    if not stat.S_ISREG(mode):
        return "no ordinary file"
    if path.suffix.lower() not in PHOTO_ENDINGS:
        return f"{path.suffix.lower()} is no photo" if path.suffix else "no photo by its name"
    return None


def _in_words(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _nothing_in(folder: Path, passed_over: tuple[PassedOver, ...]) -> str:
    if not passed_over:
        return f"The folder “{folder}” is empty."
    first = passed_over[0]
    others = len(passed_over) - 1
    more = f", and {others} more" if others else ""
    return f"No photo is in “{folder}”: passed over {first.path.name} ({first.reason}){more}."


def _endings_told() -> str:
    return f"A photo's name ends in {', '.join(PHOTO_ENDINGS[:-1])} or {PHOTO_ENDINGS[-1]}."
