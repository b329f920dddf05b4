"""The settings file: one `name = "value"` a line, each value as a person would type it.

Comments and order are a person's own and survive every change. A change is written beside the
file and takes its place when it is complete.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from stashkeeper.errors import (
    BadFileError,
    BadSettingError,
    CannotWriteError,
    Mistake,
    StashkeeperError,
    StashUnavailableError,
)
from stashkeeper.lengths.length import Measure
from stashkeeper.settings.known import find_setting
from stashkeeper.whole_file import put_whole


def read_file(file: Path) -> dict[str, Any]:
    """Return the value of every setting in a settings file; none where there is no file.

    Raises:
        BadFileError: the file holds mistakes; all are told, each with its line and its setting.
        StashUnavailableError: it is there but cannot be read.
    """
    text = _text(file)
    typed = _typed(text, file)
    values: dict[str, Any] = {}
    mistakes: list[Mistake] = []
    # The measure goes first: it gives every number without a unit its own.
    for name in sorted(typed, key=lambda name: name != "measure"):
        try:
            setting = find_setting(name)
            if setting.name in values:
                raise BadSettingError("It is set twice.", "Leave one of the lines.")
            measure = values.get("measure", Measure.INCHES)
            values[setting.name] = setting.read(_as_text(typed[name]), measure)
        except StashkeeperError as fault:
            mistakes.append(
                Mistake(_line_of(name, text), f"{name}: {fault.problem} {fault.remedy}")
            )
    if mistakes:
        raise _mistaken(file, sorted(mistakes, key=lambda mistake: mistake.line))
    return values


def rewrite_file(file: Path, changes: Mapping[str, str | None]) -> None:
    """Change settings in a settings file (None takes one out), and nothing else in it.

    Raises:
        BadFileError: the file holds mistakes; it is left as it was.
        CannotWriteError: it cannot be written; it is as it was.
        StashUnavailableError: it is there but cannot be read.
    """
    import tomlkit

    read_file(file)
    document = tomlkit.parse(_text(file))
    for name, value in changes.items():
        written = [key for key in document if find_setting(key).name == name]
        for key in written[1:] if value is not None else written:
            del document[key]
        if value is not None:
            document[written[0] if written else name] = value
    _write(file, tomlkit.dumps(document))


def _write(file: Path, text: str) -> None:
    """Put a text in a file's place once all of it lies on the disk."""
    try:
        # Readable by its owner only: a database's URL may hold a password.
        put_whole(file.resolve(), [text.encode()], mode=0o600)
    except OSError as fault:
        raise CannotWriteError(
            f"The settings cannot be written to “{file}” ({fault.strerror}).",
            "Make room, or make the folder writable; the settings are as they were.",
        ) from fault


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8-sig")
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except UnicodeDecodeError:
        raise _mistaken(file, [Mistake(0, "It is not a text file (UTF-8).")]) from None
    except OSError as fault:
        raise StashUnavailableError(
            f"The settings in “{file}” cannot be read ({fault.strerror}).",
            "Make the file readable, or name another stash folder.",
        ) from fault


def _typed(text: str, file: Path) -> dict[str, Any]:
    try:
        # Decimals stay as typed, so that 0.1 means a tenth exactly.
        return tomllib.loads(text, parse_float=str)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        line = re.search(r"line ([0-9]+)", str(fault))
        last = text.count("\n") + 1
        mistake = Mistake(int(line[1]) if line else last, 'This is not of the form name = "value".')
        raise _mistaken(file, [mistake]) from None


def _as_text(value: Any) -> str:
    if isinstance(value, str | int) and not isinstance(value, bool):
        return str(value)
    raise BadSettingError(
        "The value is neither text nor a number.", 'Write the line as name = "value".'
    )


def _line_of(name: str, text: str) -> int:
    found = re.search(rf"""^[ \t]*["']?{re.escape(name)}["']?[ \t]*=""", text, re.MULTILINE)
    return text.count("\n", 0, found.start()) + 1 if found else 0


def _mistaken(file: Path, mistakes: Sequence[Mistake]) -> BadFileError:
    return BadFileError(
        f"The settings in “{file}” hold {'a mistake' if len(mistakes) == 1 else 'mistakes'}.",
        "Put the file right in a text editor, or move it away to go on with the usual settings.",
        mistakes,
    )
