"""Writing a file as a whole or not at all: beside its place, safe on the disk, then renamed."""

import os
import uuid
from collections.abc import Iterable
from pathlib import Path

from stashkeeper.errors import CannotWriteError


def write_whole(path: Path, portions: Iterable[bytes], mode: int = 0o666) -> None:
    """Write a file and its folders; whatever goes wrong, no half file ever bears its name.

    Args:
        path: the file; one that is there is replaced.
        portions: its content; an error raised while they are read leaves everything as it was.
        mode: who may read and write it, before the person's own mask.

    Raises:
        CannotWriteError: no permission, a read-only place, a full disk, or a folder of that name.
    """
    try:
        put_whole(path, portions, mode)
    except OSError as fault:
        raise CannotWriteError(
            f"“{path}” cannot be written ({(fault.strerror or str(fault)).lower()}).",
            "Make room or choose another place; nothing was changed.",
        ) from fault


def put_whole(path: Path, portions: Iterable[bytes], mode: int = 0o666) -> None:
    """Write a file as `write_whole`, for those who have a sentence of their own for a fault.

    Raises:
        OSError: it cannot be written.
    """
    passing = path.with_name(f".{path.name[:40]}.{uuid.uuid4().hex}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _write(passing, portions, mode)
        passing.replace(path)
    finally:
        _forget(passing)


def _write(passing: Path, portions: Iterable[bytes], mode: int) -> None:
    handle = os.open(passing, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(handle, "wb") as file:
        for portion in portions:
            file.write(portion)
        file.flush()
        os.fsync(file.fileno())


def _forget(passing: Path) -> None:
    try:
        passing.unlink(missing_ok=True)
    except OSError:  # a place that lets nothing be written lets nothing be left behind either
        return
