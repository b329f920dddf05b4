"""The columns of a list of sizes: found by their headings, or by what is in them.

Headings are matched forgivingly (capitals, spaces, order, near misses). Where a heading is wrong
the mistake is told together with the right ones, and reading goes on as well as it can.
"""

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

from stashkeeper.errors import BadFileError, BadSizeError, Mistake, quoted
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.transfer.photo_folder import PHOTO_ENDINGS
from stashkeeper.transfer.table_text import SEPARATORS, TextRow, read_lines, split_rows


class Column(StrEnum):
    """The columns of a list of sizes; photo and size are needed, the others are welcome."""

    PHOTO = "photo"
    SIZE = "size"
    NAME = "name"
    PLACE = "place"
    TAGS = "tags"
    CROP = "crop"
    COUNT = "count"
    BASIS = "basis"
    WASHED = "washed"
    SQUARED = "squared"
    NOTE = "note"


NEEDED: Final = (Column.PHOTO, Column.SIZE)
"""The columns without which a list is no list of sizes."""

_ALSO: Final = {
    Column.PHOTO: "photos, file, file name, filename, image, picture",
    Column.SIZE: "sizes, width x length, dimensions",
    Column.NAME: "fabric, fabric name",
    Column.PLACE: "at, where, location",
    Column.TAGS: "tag",
    Column.COUNT: "how many, number, pieces, quantity",
    Column.BASIS: "how known",
    Column.SQUARED: "squared up",
    Column.NOTE: "notes",
}
_HEADINGS: Final = {
    heading: column
    for column in Column
    for heading in (column.value, *_ALSO.get(column, "").split(", "))
    if heading
}
_UNITS: Final = {
    **dict.fromkeys(("in", "inch", "inches"), Measure.INCHES),
    **dict.fromkeys(("cm", "centimetres", "centimeters"), Measure.CENTIMETRES),
}
_IN_UNITS: Final = re.compile(r"(?P<heading>.*?) ?(?:\((?P<unit>\w+)\)|in (?P<of>\w+))")
_ALL: Final = f"The columns are {', '.join(Column)}."


@dataclass(frozen=True, slots=True)
class SizeTable:
    """A list of sizes, split into cells.

    Attributes:
        columns: where each column is, from 0.
        width: how many headings there are.
        measure: the unit of sizes that name none.
        rows: the rows below the headings.
        mistakes: what is wrong with the headings.
    """

    columns: Mapping[Column, int]
    width: int
    measure: Measure
    rows: tuple[TextRow, ...]
    mistakes: tuple[Mistake, ...]


def read_table(path: Path, measure: Measure) -> SizeTable:
    """Return the list in the CSV file at `path`, split into cells, its columns found.

    Raises:
        NotFoundError: the file is not there or cannot be opened.
        BadFileError: the file is empty or no text.
    """
    rows = _split(read_lines(path))
    top = rows[0]
    if any(_names_a_photo(cell) for cell in top.cells):
        found = _Headings((), measure)
        found.tell("The first line holds no headings.")
        below = rows
    else:
        found = _Headings(top.cells, measure)
        below = rows[1:]
    if top.fault:
        found.tell(top.fault)
    found.look_into(below)
    mistakes = tuple(Mistake(top.line, text) for text in found.told())
    width = len((below[0] if top.fault and below else top).cells)
    return SizeTable(found.columns, width, found.measure, tuple(below), mistakes)


def _split(lines: Sequence[str]) -> list[TextRow]:
    """Return the rows, split at the separator that shows the most headings, or cells."""
    first = 1
    if re.fullmatch(r"\ufeff?sep=.", lines[0].strip(), re.IGNORECASE):
        first, lines = 2, lines[1:]  # a line some spreadsheets write for themselves

    def headings(rows: list[TextRow]) -> tuple[int, int]:
        cells = rows[0].cells
        return sum(_plain(cell) in _HEADINGS for cell in cells), len(cells)

    ways = [split_rows(lines, separator, first) for separator in SEPARATORS]
    if not all(ways):
        raise BadFileError("The list has no rows.", "Give one with the columns photo and size.")
    return max(ways, key=headings)


class _Headings:
    """The columns found so far, the headings that none was found for, and what was said of them."""

    def __init__(self, headings: Sequence[str], measure: Measure) -> None:
        self.columns: dict[Column, int] = {}
        self.measure = measure
        self._told: list[str] = []
        unknown = {at: text for at, text in enumerate(headings) if not self._take(text, at)}
        self._unknown = {
            at: text for at, text in unknown.items() if not self._take_nearly(text, at)
        }

    def tell(self, text: str) -> None:
        """Keep a mistake."""
        self._told.append(text)

    def told(self) -> list[str]:
        """Return every mistake; the last one goes on to list the right headings."""
        left_out = [
            f"{quoted(text)} is no column of such a list; it was left out."
            for text in self._unknown.values()
        ]
        told = self._told + left_out
        return [*told[:-1], f"{told[-1]} {_ALL}"] if told else []

    def look_into(self, rows: Sequence[TextRow]) -> None:
        """Find a needed column that no heading names by what is in the cells below."""
        for column in (column for column in NEEDED if column not in self.columns):
            at = self._where_most_are(column, rows)
            if at is None:
                self.tell(f"No column is called “{column}”.")
                continue
            self.columns[column] = at
            heading = quoted(self._unknown.pop(at, f"column {at + 1}"))
            self.tell(f"{heading} was taken for “{column}”, by what is in it.")

    def _take(self, heading: str, at: int) -> bool:
        """Take a heading that is known, or empty; tell of one that is there twice."""
        plain = _plain(heading)
        in_units = _IN_UNITS.fullmatch(plain)
        if in_units and (unit := _UNITS.get(in_units["unit"] or in_units["of"])):
            plain = in_units["heading"]
            self.measure = unit
        column = _HEADINGS.get(plain)
        if column in self.columns:
            self.tell(f"Two columns are called “{column}”; the second was left out.")
        elif column:
            self.columns[column] = at
        return column is not None or not plain

    def _take_nearly(self, heading: str, at: int) -> bool:
        """Take a heading for the column it is a near miss of, if that one is missing."""
        near = difflib.get_close_matches(_plain(heading)[:40], _HEADINGS, n=1, cutoff=0.75)
        column = _HEADINGS[near[0]] if near else None
        if column is None or column in self.columns:
            return False
        self.columns[column] = at
        self.tell(f"{quoted(heading)} was taken for “{column}”.")
        return True

    def _where_most_are(self, column: Column, rows: Sequence[TextRow]) -> int | None:
        fits = _names_a_photo if column is Column.PHOTO else self._is_a_size
        taken = set(self.columns.values())
        width = max((len(row.cells) for row in rows), default=0)
        counts = {
            at: sum(fits(row.cells[at]) for row in rows if at < len(row.cells))
            for at in range(width)
            if at not in taken
        }
        best = max(counts, key=lambda at: counts[at], default=None)
        return best if best is not None and 2 * counts[best] > len(rows) else None

    def _is_a_size(self, cell: str) -> bool:
        try:
            parse_size(cell, self.measure)
        except BadSizeError:
            return False
        return True


def _plain(heading: str) -> str:
    return " ".join(re.split(r"[\s_\-.:*]+", heading.casefold())).strip()


def _names_a_photo(cell: str) -> bool:
    return cell.casefold().endswith(PHOTO_ENDINGS)
