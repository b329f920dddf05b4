"""Sheets of self-adhesive labels: where each label is, in millimetres from the paper's corner.

The labels of every sheet stand in the middle of their paper, so that a sheet is told by the size
of a label, how many there are, and how far apart they stand. The sizes are those that labels are
commonly sold in (common practice; from memory, and to be checked with the test outline).
"""

import re
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.paper import Paper

MILLIMETRES_PER_INCH: Final = 25.4

SMALLEST: Final = (25.0, 15.0)
"""Width and height of the smallest label that still holds a code that a phone can read."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels; lengths in millimetres.

    Attributes:
        paper: what it is cut from.
        width, height: of one label.
        columns, rows: how many labels stand side by side, and one below the other.
        across, down: the room between two of them.
    """

    paper: Paper
    width: float
    height: float
    columns: int
    rows: int
    across: float = 0.0
    down: float = 0.0

    @property
    def count(self) -> int:
        """How many labels there are."""
        return self.columns * self.rows

    @property
    def key(self) -> str:
        """The size of a label, as it is typed to choose the sheet."""
        return f"{_tenths(self.width)}x{_tenths(self.height)}"

    @property
    def words(self) -> str:
        """The sheet in words."""
        paper = "A4" if self.paper is Paper.A4 else "Letter"
        size = self.key.replace("x", " × ")
        return f"{size} mm, {self.count} a sheet on {paper}"

    @property
    def margins(self) -> tuple[float, float]:
        """The room left of the first label, and above it."""
        paper_width, paper_height = millimetres_of(self.paper)
        return (
            (paper_width - _reach(self.width, self.across, self.columns)) / 2,
            (paper_height - _reach(self.height, self.down, self.rows)) / 2,
        )

    def corner(self, place: int) -> tuple[float, float]:
        """Return the left and upper edge of a label; place 0 is the first, then along the row."""
        row, column = divmod(place, self.columns)
        left, top = self.margins
        return left + column * (self.width + self.across), top + row * (self.height + self.down)


LABEL_SHEETS: Final = (
    LabelSheet(Paper.A4, 63.5, 38.1, 3, 7, across=2.54),
    LabelSheet(Paper.A4, 70.0, 37.0, 3, 8),
    LabelSheet(Paper.A4, 99.1, 38.1, 2, 7, across=2.5),
    LabelSheet(Paper.A4, 99.1, 67.7, 2, 4, across=2.5),
    LabelSheet(Paper.A4, 45.7, 21.2, 4, 12, across=2.54),
    LabelSheet(Paper.A4, 38.1, 21.2, 5, 13, across=2.5),
    LabelSheet(Paper.LETTER, 66.675, 25.4, 3, 10, across=3.175),
    LabelSheet(Paper.LETTER, 101.6, 50.8, 2, 5, across=4.7625),
    LabelSheet(Paper.LETTER, 101.6, 25.4 * 4 / 3, 2, 7, across=4.7625),
)
"""The sheets that are known; the first one of a paper is the usual one for it."""

_SIZE = r"(\d{1,3}(?:\.\d+)?) ?[x×] ?(\d{1,3}(?:\.\d+)?)"
_TYPED = re.compile(
    rf"{_SIZE}(?: ?mm)?(?: +(\d{{1,2}}) ?[x×] ?(\d{{1,2}}))?(?: +(a4|letter))?(?: +gap {_SIZE})?"
)


def millimetres_of(paper: Paper) -> tuple[float, float]:
    """Return width and height of a paper (A4: ISO 216; Letter: 8½ × 11 in)."""
    return (210.0, 297.0) if paper is Paper.A4 else (215.9, 279.4)


def usual_sheet(paper: Paper) -> LabelSheet:
    """Return the sheet that is taken for a paper when none is named."""
    return next(sheet for sheet in LABEL_SHEETS if sheet.paper is paper)


def parse_label_sheet(typed: str, paper: Paper) -> LabelSheet:
    """Return the sheet of labels that is meant.

    Args:
        typed: the size of a label of a known sheet, as `63.5x38.1`; of another one also how many
            stand side by side and below each other, and if need be the paper and the room between
            them: `70x42.3 3x7 a4 gap 0x0`.
        paper: of a sheet that names none.

    Raises:
        BadRequestError: it cannot be read, is not known, or does not fit its paper.
    """
    match = _TYPED.fullmatch(" ".join(typed.casefold().split()))
    if match is None:
        raise _unknown(typed)
    width, height, columns, rows, named, across, down = match.groups()
    if columns is None:
        key = f"{_tenths(float(width))}x{_tenths(float(height))}"
        known = [sheet for sheet in LABEL_SHEETS if sheet.key == key]
        if not known or named not in {None, known[0].paper.value}:
            raise _unknown(typed)
        return known[0]
    sheet = LabelSheet(
        Paper(named) if named else paper, float(width), float(height), int(columns), int(rows)
    )
    if across is not None:
        sheet = replace(sheet, across=float(across), down=float(down))
    return _possible(sheet, typed)


def _possible(sheet: LabelSheet, typed: str) -> LabelSheet:
    left, top = sheet.margins
    if sheet.count < 1 or left < -0.5 or top < -0.5:
        raise BadRequestError(
            f"{quoted(typed)} does not fit on its paper.",
            "Measure a label and count again: width x height in millimetres, then columns x rows.",
        )
    if sheet.width < SMALLEST[0] or sheet.height < SMALLEST[1]:
        raise BadRequestError(
            f"A label of {sheet.key} mm is too small for a code that a phone can read.",
            f"Take one of {SMALLEST[0]:g} x {SMALLEST[1]:g} mm or more.",
        )
    return sheet


def _unknown(typed: str) -> BadRequestError:
    known = ", ".join(sheet.key for sheet in LABEL_SHEETS)
    return BadRequestError(
        f"{quoted(typed)} is no sheet of labels known here.",
        f"Give one of {known}, or measure yours: width x height in millimetres, then columns x "
        "rows, as in 70x42.3 3x7.",
    )


def _reach(size: float, between: float, count: int) -> float:
    return count * size + (count - 1) * between


def _tenths(length: float) -> str:
    return f"{round(length + 1e-9, 1):g}"
