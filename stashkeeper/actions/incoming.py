"""Photos on their way in from a page: each written whole into the stash folder, then kept or gone.

They lie in a folder of their own, because only there a photo can be kept without being copied from
disk to disk, and because its name must not meet the name of another one.
"""

import re
import shutil
import time
import unicodedata
import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from stashkeeper.actions.stash import Stash
from stashkeeper.errors import CannotWriteError, TooLargeError, quoted

LONGEST_NAME: Final = 120
"""Signs of a photo's name that are kept."""

FORGOTTEN: Final = 24 * 3600.0
"""Seconds until what a stopped program left behind is thrown away."""

_PORTION: Final = 1 << 20
_NOT_IN_NAMES = re.compile(r'[<>:"|?*]')


@dataclass(frozen=True, slots=True)
class Upload:
    """A photo as it is being sent: the name its sender gives it, and its bytes."""

    name: str
    file: BinaryIO


@contextmanager
def received(stash: Stash, uploads: Sequence[Upload], most: int) -> Iterator[list[Path]]:
    """Write uploads whole into the stash folder while the block runs; all of them, or none.

    Each has a folder of its own and in it its own name, made harmless.

    Args:
        stash: the open stash.
        uploads: read from their beginning.
        most: bytes that one photo may have.

    Raises:
        TooLargeError: one has more.
        CannotWriteError: the stash folder is read-only, or its disk is full.
    """
    room = stash.home / "incoming"
    own = room / uuid.uuid4().hex
    try:
        _sweep(room)
        yield [
            _written(own / str(number), upload, most)
            for number, upload in enumerate(uploads, start=1)
        ]
    finally:
        shutil.rmtree(own, ignore_errors=True)


def harmless_name(sent: str) -> str:
    """Return the name of a photo as it may stand on any disk: no folders, no hidden signs.

    >>> harmless_name("../../etc/<b>passwd.jpg")
    '-b-passwd.jpg'
    """
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", sent))[-1]
    shown = "".join(sign for sign in last if unicodedata.category(sign)[0] != "C")
    name = _NOT_IN_NAMES.sub("-", shown).strip(" .")
    stem, dot, suffix = name.rpartition(".")
    if dot and len(suffix) <= 8:
        # A name holds at most 255 bytes on most disks; a sign has up to four.
        return f"{_cut(stem or 'photo')}.{suffix}"
    return _cut(name) or "photo"


def _cut(text: str) -> str:
    return text[:LONGEST_NAME].encode()[:200].decode(errors="ignore").strip(" .")


def _written(folder: Path, upload: Upload, most: int) -> Path:
    name = harmless_name(upload.name)
    path = folder / name
    size = 0
    try:
        folder.mkdir(mode=0o700, parents=True)
        with path.open("xb") as file:
            upload.file.seek(0)
            while portion := upload.file.read(_PORTION):
                size += len(portion)
                if size > most:
                    raise _too_large(name, most)
                file.write(portion)
    except OSError as fault:
        raise CannotWriteError(
            f"The photo {quoted(name)} could not be kept ({fault.strerror}).",
            "Free some space on the computer, or make the stash folder writable, and try again.",
        ) from fault
    return path


def _too_large(name: str, most: int) -> TooLargeError:
    return TooLargeError(
        f"The photo {quoted(name)} has more than {most // 1_000_000} megabytes.",
        "Send a smaller copy of it; nothing was added.",
    )


def _sweep(room: Path) -> None:
    """Throw away what a stopped program left behind."""
    for left in room.iterdir() if room.is_dir() else ():
        try:
            old = time.time() - left.stat().st_mtime > FORGOTTEN
        except OSError:
            continue
        if old:
            shutil.rmtree(left, ignore_errors=True)
