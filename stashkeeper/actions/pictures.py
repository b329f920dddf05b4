"""The sheet, from the shelf to a file."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from stashkeeper.actions.ranking import RankedPiece, Ranking, weak_codes
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import crop_of_row
from stashkeeper.actions.values import contrast, sort
from stashkeeper.catalogue.photo_files import photo_path
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.sheet import Sheet, SheetEntry, SheetGap
from stashkeeper.pictures.sheet_pages import draw_sheet
from stashkeeper.pictures.swatch_book import Report
from stashkeeper.pictures.web_pictures import packed_png
from stashkeeper.whole_file import write_whole

SHELF = "The shelf by value"
CHOICE = "Contrast of a few"
"""What stands at the head of a sheet that was given no title."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sheet drawn: its files, one a page for PNG, and how many fabrics are on it."""

    files: tuple[Path, ...]
    fabrics: int

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was drawn, and where it is."""
        names = ", ".join(str(file) for file in self.files)
        return (f"Drew {self.fabrics} fabric{'' if self.fabrics == 1 else 's'}: {names}",)


def sheet(
    stash: Stash,
    out: Path,
    words: Sequence[str],
    *,
    by: str = "bands",
    title: str | None = None,
    paper: str | None = None,
) -> Drawn:
    """Draw the sheet of the pieces that answer to search words.

    Args:
        stash: the open stash.
        out: a .pdf or .png file; a PNG of several pages becomes several files, `-1`, `-2` …
        words: search words.
        by: bands or split, as `sort`.
        title: stands at its head.
        paper: a4 or letter; the settings' paper where None.

    Raises:
        BadRequestError: neither .pdf nor .png, an unknown paper, or no piece to draw.
        CannotWriteError: the file cannot be written.
        StashkeeperError: as `sort`.
    """
    kind = kind_of(out)
    wanted = paper_of(stash, paper)
    ranking = ranking_to_draw(stash, words, by)
    return draw_ranking(stash, ranking, out, title or SHELF, wanted, kind)


def choice_sheet(stash: Stash, ranking: Ranking, out: Path, title: str | None = None) -> Drawn:
    """Draw the sheet of a choice in three groups, on the settings' paper.

    Raises:
        BadRequestError: neither .pdf nor .png.
        CannotWriteError: the file cannot be written.
    """
    kind = kind_of(out)
    return draw_ranking(stash, ranking, out, title or CHOICE, paper_of(stash, None), kind)


def ranking_to_draw(
    stash: Stash,
    words: Sequence[str] | str,
    by: str = "bands",
    groups: Sequence[str] | None = None,
) -> Ranking:
    """Return what is to be on a sheet: what search words find, or a choice in three groups.

    Raises:
        BadRequestError: there is no piece to draw.
        StashkeeperError: as `sort` and `contrast`.
    """
    ranking = sort(stash, words, by=by) if groups is None else contrast(stash, groups)
    if not ranking.pieces and not ranking.unmeasured:
        raise BadRequestError(
            "No piece answers, so there is nothing to draw.",
            "Leave a search word away, or log a piece first.",
        )
    return ranking


def draw_ranking(
    stash: Stash, ranking: Ranking, out: Path, title: str, paper: Paper, kind: str
) -> Drawn:
    """Draw a ranking as a sheet and write it, as `pdf` or `png`."""
    pdf, fabrics = draw_pdf(stash, ranking, title, paper)
    contents = [pdf] if kind == "pdf" else [packed_png(page) for page in page_images(pdf)]
    files = tuple(_file_names(out, len(contents)))
    for file, content in zip(files, contents, strict=True):
        write_whole(file, [content])
    return Drawn(files, fabrics)


def draw_pdf(
    stash: Stash,
    ranking: Ranking,
    title: str,
    paper: Paper,
    report: Report = lambda _done, _of, _name: None,
) -> tuple[bytes, int]:
    """Draw a ranking as a sheet; return the PDF, and how many fabrics are on it.

    `report` is told after each photo.
    """
    entries = _entries(stash, ranking)
    today = datetime.now().astimezone()
    count = f"{len(entries)} fabric{'' if len(entries) == 1 else 's'} by value"
    pdf = draw_sheet(
        Sheet(
            title=title,
            subtitle=f"{count}  ·  {today.day} {today:%B %Y}",
            entries=entries,
            gaps=_gaps(ranking),
            sentences=ranking.advice,
            paper=paper,
            created=today,
        ),
        report,
    )
    return pdf, len(entries)


def kind_of(out: Path) -> str:
    """Return what a sheet is to be by the name of its file: `pdf` or `png`.

    Raises:
        BadRequestError: it is neither.
    """
    kind = out.suffix.casefold().removeprefix(".")
    if kind not in {"pdf", "png"}:
        raise BadRequestError(
            f"A sheet is a PDF or a PNG, and {quoted(out.name)} is neither.",
            "Give a name that ends in .pdf or .png.",
        )
    return kind


def paper_of(stash: Stash, paper: str | None) -> Paper:
    """Return the paper that is meant; that of the settings where none is named.

    Raises:
        BadRequestError: it is not known.
    """
    word = (paper or stash.settings.paper.value).casefold()
    try:
        return Paper(word)
    except ValueError:
        raise BadRequestError(f"{quoted(word)} is no paper.", "Give a4 or letter.") from None


def _entries(stash: Stash, ranking: Ranking) -> list[SheetEntry]:
    """Return one entry for each fabric of each group."""
    weak = weak_codes(ranking)
    grouped: dict[tuple[object, object], list[RankedPiece]] = {}
    for piece in ranking.pieces:
        grouped.setdefault((piece.value, piece.row.fabric_id), []).append(piece)
    entries = [_entry(stash, alike, weak) for alike in grouped.values()]
    return entries + [_unmeasured(stash, row) for row in ranking.unmeasured_rows]


def _entry(stash: Stash, alike: Sequence[RankedPiece], weak: Iterable[str]) -> SheetEntry:
    piece = alike[0]
    doubts = {"provisional", "straddles"}
    return SheetEntry(
        code=piece.code,
        name=piece.name,
        lightness=piece.lightness,
        uncertainty=piece.uncertainty,
        value=piece.value,
        provisional=piece.provisional,
        doubtful=bool(set(piece.flags) - doubts),
        straddles="straddles" in piece.flags,
        weak=any(one.code in set(weak) for one in alike),
        more=len(alike) - 1,
        photo=_photo(stash, piece.row),
        crop=crop_of_row(piece.row),
    )


def _unmeasured(stash: Stash, row: PieceRow) -> SheetEntry:
    return SheetEntry(row.code, row.name, None, None, None, photo=_photo(stash, row))


def _photo(stash: Stash, row: PieceRow) -> Path | None:
    if row.checksum is None or row.photo_format is None:
        return None
    return photo_path(stash.home, row.checksum, row.photo_format)


def _gaps(ranking: Ranking) -> list[SheetGap]:
    return [
        SheetGap(one.between, one.gap, one.uncertainty, one.verdict, ranking.pair_at(one.between))
        for one in ranking.contrast
    ]


def _file_names(out: Path, pages: int) -> Iterable[Path]:
    if pages == 1:
        return [out]
    return [out.with_name(f"{out.stem}-{number}{out.suffix}") for number in range(1, pages + 1)]
