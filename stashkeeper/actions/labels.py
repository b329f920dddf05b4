"""Labels for the pieces of a search, on sheets of labels, to be scanned with a phone."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from stashkeeper.actions.pictures import paper_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import parse_search
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure
from stashkeeper.pictures.label import Label, draw_labels
from stashkeeper.pictures.label_sheets import LabelSheet, parse_label_sheet, usual_sheet
from stashkeeper.pictures.web_pictures import web_page_picture
from stashkeeper.whole_file import write_whole

MOST: Final = 2_000
"""Labels that are drawn at once."""

_ADDRESS = re.compile(
    r"https?://(?:[\w.-]+|\[[0-9a-fA-F:.]+\])(?::\d{1,5})?(?:/[\w./~-]*)?", re.ASCII
)


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels for pieces, ready to be drawn.

    Attributes:
        codes: of the pieces, in the order of their labels.
        sheet: in words.
        sheets: how many of them the labels take.
        next_start: the first label of the last sheet that is still free; 1 where none is.
        file: where they were written; None until then.
    """

    codes: tuple[str, ...]
    sheet: str
    sheets: int
    next_start: int
    file: Path | None
    _wanted: "_Wanted" = field(repr=False)

    def pdf(self) -> bytes:
        """Return the labels as a PDF."""
        wanted = self._wanted
        return draw_labels(
            wanted.labels, wanted.sheet, start=wanted.start, outline=wanted.outline, title="Labels"
        )

    def first_sheet(self) -> bytes:
        """Return the first sheet as a picture for a page, a WebP file."""
        wanted = self._wanted
        labels = wanted.labels[: wanted.sheet.count - wanted.start + 1]
        pdf = draw_labels(labels, wanted.sheet, start=wanted.start, outline=wanted.outline)
        return web_page_picture(pdf)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What they are and where, and how to print them."""
        count = f"{len(self.codes)} label{'' if len(self.codes) == 1 else 's'}"
        ends = "" if len(self.codes) == 1 else f" to {self.codes[-1]}"
        sheets = f"{self.sheets} sheet{'' if self.sheets == 1 else 's'}"
        where = f": {self.file}" if self.file else "."
        free = f"The next free label of the last sheet is number {self.next_start}."
        return (
            f"{count}, {self.codes[0]}{ends}, on {sheets} ({self.sheet}){where}",
            "Print at full size (100 %), first on plain paper held against a sheet of labels.",
            *([free] if self.next_start > 1 else []),
        )


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is to be drawn."""

    labels: tuple[Label, ...]
    sheet: LabelSheet
    start: int
    outline: bool


def labels(
    stash: Stash,
    words: Sequence[str] | str,
    *,
    sheet: str | None = None,
    start: int = 1,
    address: str | None = None,
    outline: bool = False,
) -> Labels:
    """Return a label for each piece that answers to search words, in the order of their codes.

    Args:
        stash: the open stash.
        words: search words.
        sheet: of labels, as `parse_label_sheet`; the usual one of the settings' paper where None.
        start: the first label of the first sheet that is still there.
        address: where the pages of the stash are, from `http://` to the port: the codes hold
            the address of each piece. Without one they hold code, name and size in words.
        outline: whether the edges of the labels are drawn too.

    Raises:
        BadRequestError: no piece, too many, an unknown sheet, a label it has not, no address.
        StashkeeperError: as `list_pieces`.
    """
    on = label_sheet(stash, sheet)
    if not 1 <= start <= on.count:
        raise BadRequestError(
            f"There is no label {start} on this sheet: it has {on.count}.",
            f"Give a number from 1 to {on.count}.",
        )
    base = _address(address)
    with stash.reading() as session:
        rows = select_pieces(session, parse_search(words, stash.measure), thresholds(session))
    _must_be_some(rows)
    last = start - 1 + len(rows)
    return Labels(
        codes=tuple(row.code for row in rows),
        sheet=on.words,
        sheets=-(-last // on.count),
        next_start=last % on.count + 1,
        file=None,
        _wanted=_Wanted(
            tuple(_label(row, base, stash.measure) for row in rows), on, start, outline
        ),
    )


def write_labels(drawn: Labels, out: Path) -> Labels:
    """Draw labels and write them to a PDF file.

    Raises:
        BadRequestError: the file's name does not end in .pdf.
        CannotWriteError: it cannot be written.
    """
    if out.suffix.casefold() != ".pdf":
        raise BadRequestError(
            f"Labels are a PDF, and {quoted(out.name)} is none.", "Give a name that ends in .pdf."
        )
    write_whole(out, [drawn.pdf()])
    return replace(drawn, file=out)


def label_sheet(stash: Stash, typed: str | None) -> LabelSheet:
    """Return the sheet of labels that is meant; the usual one where none is named.

    Raises:
        BadRequestError: as `parse_label_sheet`.
    """
    paper = paper_of(stash, None)
    return parse_label_sheet(typed, paper) if typed else usual_sheet(paper)


def _must_be_some(rows: Sequence[PieceRow]) -> None:
    if not rows:
        raise BadRequestError(
            "No piece answers, so there is no label to draw.",
            "Leave a search word away, or log a piece first.",
        )
    if len(rows) > MOST:
        raise BadRequestError(
            f"{len(rows):,} labels are more than the {MOST:,} that are drawn at once.",
            "Add a search word, as at: or tag:.",
        )


def _address(typed: str | None) -> str | None:
    """Return the address that the addresses of all pieces begin with."""
    if typed is None or not typed.strip():
        return None
    base = typed.strip().rstrip("/")
    if len(base) > 200 or not _ADDRESS.fullmatch(base):
        raise BadRequestError(
            f"{quoted(typed)} is no address of a page.",
            "Give it as `stashkeeper serve --lan` shows it, from http:// to the port.",
        )
    return base


def _label(row: PieceRow, base: str | None, measure: Measure) -> Label:
    size = format_size(row.size, measure) if row.size else ""
    said = "\n".join(filter(None, (row.code, row.name, size)))
    holds = f"{base}/piece/{row.code}" if base else said
    return Label(row.code, row.name, size, row.place, holds)
