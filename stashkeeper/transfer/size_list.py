"""A list of sizes for a folder of photos: a CSV with a row for each piece of cloth.

Several rows may name one photo, each with its own crop. Every mistake is told with its line
number, and the rows without a mistake are still offered.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.errors import BadRequestError, Mistake, StashkeeperError, quoted
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_piece_size
from stashkeeper.lengths.size import TypedSize
from stashkeeper.luminance.region import Crop, parse_crop
from stashkeeper.transfer.size_columns import Column, SizeTable, read_table
from stashkeeper.transfer.table_text import TextRow

MOST_ALIKE: Final = 1000
"""The largest count one row may give (ours)."""

_YES_OR_NO: Final = {
    **dict.fromkeys(("yes", "y", "true", "1", "x", "washed", "squared"), True),
    **dict.fromkeys(("no", "n", "false", "0", "unwashed", "raw"), False),
}


@dataclass(frozen=True, slots=True)
class SizeRow:
    """What one row of a list says; None, or 1 for the count, where its cell is empty.

    Attributes:
        line: the number of its line in the file, from 1.
        photo: the name of the photo, as typed.
        size: the size, and how such a size is known.
        crop: the part of the photo that is this cloth.
        count: how many pieces alike.
        basis: how the size is known, where the row says so.
    """

    line: int
    photo: str
    size: TypedSize | None = None
    name: str | None = None
    place: str | None = None
    tags: tuple[str, ...] = ()
    crop: Crop | None = None
    count: int = 1
    basis: Basis | None = None
    washed: bool | None = None
    squared: bool | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class SizeList:
    """The rows that can be used, and every mistake, both in line order."""

    rows: tuple[SizeRow, ...]
    mistakes: tuple[Mistake, ...]


def read_size_list(path: Path, measure: Measure) -> SizeList:
    """Return the rows of the CSV file at `path`, and every mistake in it.

    Args:
        path: commas, semicolons or tabs between the cells; the columns of `Column` in any order.
        measure: the unit of sizes that name none, unless the heading does: `size (cm)`.

    Raises:
        NotFoundError: the file is not there or cannot be opened.
        BadFileError: the file is empty or no text.
    """
    table = read_table(path, measure)
    rows: list[SizeRow] = []
    mistakes = list(table.mistakes)
    for row in table.rows:
        read, problems = _read_row(row, table)
        mistakes += (Mistake(row.line, problem) for problem in problems)
        if not problems:
            rows.append(read)
    return SizeList(tuple(rows), tuple(sorted(mistakes, key=lambda mistake: mistake.line)))


class _Cells:
    """The cells of one row by their column, and the problems met while reading them."""

    def __init__(self, row: TextRow, table: SizeTable) -> None:
        self.fault = row.fault or _too_many(row, table.width)
        self.problems = [self.fault] if self.fault else []
        at = () if self.fault else table.columns.items()
        self._cells = {column: row.cells[n] for column, n in at if n < len(row.cells)}

    def read[T](self, column: Column, meaning: Callable[[str], T]) -> T | None:
        """Return what the cell means, None where it is empty; keep the problem if it has one."""
        text = self._cells.get(column, "")
        try:
            return meaning(text) if text else None
        except StashkeeperError as error:
            self.problems.append(f"{column.capitalize()}: {error.problem}")
            return None


def _too_many(row: TextRow, width: int) -> str | None:
    if not any(row.cells[width:]):
        return None
    return (
        f"There are {len(row.cells)} cells, but {width} headings. A cell with a comma in it needs "
        "quotation marks around it."
    )


def _read_row(row: TextRow, table: SizeTable) -> tuple[SizeRow, list[str]]:
    cells = _Cells(row, table)
    photo = cells.read(Column.PHOTO, str) or ""
    if not photo and not cells.fault:
        cells.problems.append("No photo is named.")
    read = SizeRow(
        line=row.line,
        photo=photo,
        size=cells.read(Column.SIZE, lambda text: parse_piece_size(text, table.measure)),
        name=cells.read(Column.NAME, str),
        place=cells.read(Column.PLACE, str),
        tags=cells.read(Column.TAGS, _tags) or (),
        crop=cells.read(Column.CROP, _crop),
        count=cells.read(Column.COUNT, _count) or 1,
        basis=cells.read(Column.BASIS, _basis),
        washed=cells.read(Column.WASHED, _yes_or_no),
        squared=cells.read(Column.SQUARED, _yes_or_no),
        note=cells.read(Column.NOTE, str),
    )
    return read, cells.problems


def _tags(text: str) -> tuple[str, ...]:
    return tuple(tag.strip() for tag in re.split(r"[,;|]", text) if tag.strip())


def _crop(text: str) -> Crop:
    # Spaces will do between the four numbers, since commas part the cells of most lists.
    return parse_crop(re.sub(r"[,;]?\s+|;", ",", text))


def _count(text: str) -> int:
    # Only a few ASCII digits are tried: int() takes more than anyone means by a count.
    if re.fullmatch(r"[0-9]{1,9}", text) and 1 <= int(text) <= MOST_ALIKE:
        return int(text)
    problem = f"{quoted(text)} is not a whole number from 1 to {MOST_ALIKE}."
    raise BadRequestError(problem, "Give how many pieces are alike, or leave the cell empty.")


def _basis(text: str) -> Basis:
    try:
        return Basis(text.casefold())
    except ValueError:
        known = ", ".join(Basis)
        problem = f"{quoted(text)} does not say how a size is known ({known})."
        raise BadRequestError(problem, "Give one of these, or leave the cell empty.") from None


def _yes_or_no(text: str) -> bool:
    answer = _YES_OR_NO.get(text.casefold())
    if answer is None:
        problem = f"{quoted(text)} is neither yes nor no."
        raise BadRequestError(problem, "Give yes or no, or leave the cell empty.")
    return answer
