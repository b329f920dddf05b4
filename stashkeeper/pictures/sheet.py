"""The sheet: every fabric in colour and in grey, along the value rule, to pin up or send.

Plain values in, a PDF out; `canvas.page_images` makes pictures of the same pages.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from stashkeeper.cloth.value import Value
from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.contrast import Verdict
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop
from stashkeeper.pictures.value_rule import Mark


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One fabric on the sheet.

    Attributes:
        code: of the piece it is shown by.
        name: its name.
        lightness: its reading's L*, 0 to 100; None where it is not measured yet.
        uncertainty: 95 %, ± L*.
        value: the group it is in; None where it is not measured yet.
        provisional: whether only an unreferenced photo speaks for its lightness.
        doubtful: whether something in the photo makes its reading less sure.
        straddles: whether its light and dark parts fall into two groups.
        weak: whether it is one of a pair that keeps two groups from standing apart.
        more: how many further pieces of the same fabric there are.
        photo: the file that shows it; None where there is none.
        crop: the part of the upright photo that shows the cloth.
    """

    code: str
    name: str
    lightness: float | None
    uncertainty: float | None
    value: Value | None
    provisional: bool = False
    doubtful: bool = False
    straddles: bool = False
    weak: bool = False
    more: int = 0
    photo: Path | None = None
    crop: Crop = WHOLE_LESS_MARGIN

    @property
    def measured(self) -> bool:
        """Whether it has a place on the rule."""
        return self.lightness is not None and self.value is not None

    @property
    def mark(self) -> Mark:
        """How its reading is marked."""
        if self.doubtful:
            return Mark.DOUBTFUL
        return Mark.PROVISIONAL if self.provisional else Mark.SURE


@dataclass(frozen=True, slots=True)
class SheetGap:
    """The contrast between two neighbouring groups.

    Attributes:
        between: the lighter and the darker group.
        gap: lowest of the lighter less highest of the darker, L*; None where one is empty.
        uncertainty: of the gap, 95 %, ± L*; None where one is empty.
        verdict: the word for it.
        pair: codes of the two fabrics that set the gap, the lighter group's first.
    """

    between: tuple[Value, Value]
    gap: float | None
    uncertainty: float | None
    verdict: Verdict
    pair: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a sheet shows.

    Attributes:
        title: in large type.
        subtitle: a line beside it, such as a count and a date.
        entries: the fabrics, in any order.
        gaps: the contrast between neighbouring groups.
        sentences: what is to be said below: weak pairs and their cures, one sentence an item.
        paper: what it is made for.
        created: the date on record inside the PDF; a fixed one where None.
    """

    title: str
    subtitle: str
    entries: Sequence[SheetEntry]
    gaps: Sequence[SheetGap] = ()
    sentences: Sequence[str] = ()
    paper: Paper = Paper.A4
    created: datetime | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """One value group of a sheet, its entries from light to dark."""

    value: Value
    entries: tuple[SheetEntry, ...]

    @property
    def lightnesses(self) -> list[float]:
        """The lightness of every entry, from light to dark."""
        return [entry.lightness for entry in self.entries if entry.lightness is not None]


def groups_of(sheet: Sheet) -> list[Group]:
    """Return the three groups of a sheet from light to dark, empty ones too."""
    ranked = sorted(sheet.entries, key=lambda entry: (-(entry.lightness or 0.0), entry.code))
    return [
        Group(value, tuple(entry for entry in ranked if entry.measured and entry.value is value))
        for value in Value
    ]


def unmeasured(sheet: Sheet) -> list[SheetEntry]:
    """Return the entries without a lightness or a group, by code."""
    return sorted(
        (entry for entry in sheet.entries if not entry.measured), key=lambda entry: entry.code
    )
