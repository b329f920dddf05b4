"""A table saved as text (CSV): its lines, however a spreadsheet wrote them.

The format is RFC 4180 with what spreadsheets really write: a byte order mark, UTF-16, Windows-1252,
semicolons or tabs between the cells. One row is one line, so that a quotation mark that is never
closed spoils one row and not the rest of the file.
"""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.errors import BadFileError, NotFoundError, quoted

SEPARATORS: Final = (",", ";", "\t")
"""What may stand between two cells."""

LARGEST_FILE: Final = 10_000_000
"""Bytes; a list this long names more photos than anyone owns."""

_UTF_16_MARKS: Final = (b"\xff\xfe", b"\xfe\xff")
_HIDDEN_SIGNS: Final = bytes(set(range(32)) - set(b"\t\n\f\r"))
_SAVE_AS_CSV = "Save the list from your spreadsheet as CSV, and give that file."


@dataclass(frozen=True, slots=True)
class TextRow:
    """One row of a table: the number of its line, from 1, and its cells without outer spaces.

    Attributes:
        line: the number of the line, from 1.
        cells: the cells; empty where `fault` is given.
        fault: what keeps the row from being read, in a sentence.
    """

    line: int
    cells: tuple[str, ...]
    fault: str | None = None


def read_lines(path: Path) -> list[str]:
    """Return the lines of a text file: UTF-8 or UTF-16 by their marks, else Windows-1252.

    Raises:
        NotFoundError: the file is not there or cannot be opened.
        BadFileError: the file is empty, too large, or no text.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        name = quoted(str(path), 120)
        raise NotFoundError(f"{name} cannot be opened ({why}).", "Check the name.") from error
    if len(data) > LARGEST_FILE:
        raise BadFileError(f"“{path.name}” is too large to be a list of sizes.", _SAVE_AS_CSV)
    if not data.strip():
        raise BadFileError(f"“{path.name}” is empty.", _SAVE_AS_CSV)
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF")):
        raise BadFileError(f"“{path.name}” is a workbook or document, not CSV.", _SAVE_AS_CSV)
    if _is_no_text(data[:4096]):
        raise BadFileError(f"“{path.name}” is no text, and so no list of sizes.", _SAVE_AS_CSV)
    return _decoded(data).replace("\r\n", "\n").replace("\r", "\n").split("\n")


def split_rows(lines: Sequence[str], separator: str, first_line: int = 1) -> list[TextRow]:
    """Return the rows that have something in them, split at `separator`."""
    numbered = enumerate(lines, first_line)
    rows = [_split(number, text, separator) for number, text in numbered if text.strip()]
    return [row for row in rows if row.fault or any(row.cells)]


def _split(number: int, text: str, separator: str) -> TextRow:
    try:
        (cells,) = csv.reader([text], delimiter=separator, strict=True)
    except (csv.Error, ValueError) as error:
        if len(text) > csv.field_size_limit():
            return TextRow(number, (), "This line is too long to be a row.")
        return TextRow(number, (), f"The quotation marks do not pair up ({error}).")
    return TextRow(number, tuple(cell.strip() for cell in cells))


def _is_no_text(start: bytes) -> bool:
    """Tell whether a file begins like a picture or program: with many signs no text is made of."""
    hidden = len(start) - len(start.translate(None, _HIDDEN_SIGNS))
    return hidden > len(start) // 50 and not start.startswith(_UTF_16_MARKS)


def _decoded(data: bytes) -> str:
    if data.startswith(_UTF_16_MARKS):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")
