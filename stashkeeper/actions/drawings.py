"""Sheets drawn for a page: begun, looked after, kept in the stash folder for a while."""

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import ClassVar, Final

from stashkeeper.actions.background import Report, Work
from stashkeeper.actions.pictures import CHOICE, SHELF, Drawn, draw_pdf, paper_of, ranking_to_draw
from stashkeeper.actions.works import Kind, Works
from stashkeeper.errors import NotFoundError
from stashkeeper.pictures.canvas import page_count, page_image
from stashkeeper.pictures.web_pictures import packed_png, web_page_picture
from stashkeeper.whole_file import write_whole

SHEETS: Final = Kind(
    "drawn",
    20,
    ("This sheet is not here, or no longer.", "Draw it again."),
    ("The drawing was stopped before it was finished.", "Draw it again."),
)
"""Sheets that are drawn."""

_NOT_IN_NAMES = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]+')


@dataclass(frozen=True, slots=True)
class SheetWords:
    """What is wanted on a sheet, as typed.

    Attributes:
        q: search words; not looked at where a choice is given.
        by: bands or split.
        title: stands at its head.
        paper: a4 or letter; empty for that of the settings.
        light, medium, dark: codes of a choice.
    """

    q: str = ""
    by: str = "bands"
    title: str = ""
    paper: str = ""
    light: str = ""
    medium: str = ""
    dark: str = ""

    @property
    def groups(self) -> tuple[str, str, str] | None:
        """The codes of a choice; None where the shelf is searched."""
        chosen = (self.light, self.medium, self.dark)
        return chosen if any(chosen) else None


@dataclass(frozen=True, slots=True)
class Drawing:
    """A sheet on its way, or drawn.

    Attributes:
        number: by which it is known.
        words: what was wanted.
        work: how far it is; None where it is drawn, or was stopped.
        pages: how many it has; 0 until it is drawn.
        sentences: what was drawn.
        trouble: what was wrong and what to do, where it could not be drawn.
    """

    number: str
    words: SheetWords
    work: Work | None = None
    pages: int = 0
    sentences: tuple[str, ...] = ()
    trouble: tuple[str, str] | None = None

    @property
    def name(self) -> str:
        """How its file is called, without its ending."""
        return _NOT_IN_NAMES.sub("-", self.words.title[:80]).strip(" .-") or _title(self.words)


@dataclass(frozen=True, slots=True)
class Drawings(Works):
    """The sheets drawn for the pages of a stash."""

    kind: ClassVar[Kind] = SHEETS

    def begin(self, words: SheetWords) -> str:
        """Begin to draw, and return the number by which the drawing is known.

        Raises:
            StashkeeperError: as `sheet`; then nothing is begun.
        """
        paper_of(self.stash, words.paper or None)
        ranking_to_draw(self.stash, words.q, words.by, words.groups)
        return self.start(asdict(words), lambda number, report: self._draw(number, words, report))

    def look(self, number: str, patience: float = 0.0) -> Drawing:
        """Return a drawing as far as it is, after waiting a little for it to be finished.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        seen = self.seen(number, patience)
        return Drawing(
            number,
            SheetWords(**seen.words),
            seen.work,
            seen.answer.get("pages", 0),
            seen.answer.get("sentences", ()),
            seen.trouble,
        )

    def pdf(self, number: str) -> bytes:
        """Return a drawn sheet as a PDF.

        Raises:
            NotFoundError: there is none of this number, or it is not drawn yet.
        """
        return self.records.content(number, "sheet.pdf")

    def png(self, number: str, page: int) -> bytes:
        """Return a page of a drawn sheet as a PNG file; pages count from 1.

        Raises:
            NotFoundError: there is no such sheet or page.
        """
        pdf = self.pdf(number)
        if not 1 <= page <= page_count(pdf):
            raise NotFoundError(*self.kind.gone)
        return packed_png(page_image(pdf, page))

    def first_page(self, number: str) -> bytes:
        """Return the first page as a picture to look at, a WebP file.

        Raises:
            NotFoundError: as `pdf`.
        """
        return web_page_picture(self.pdf(number), 120)

    def _draw(self, number: str, words: SheetWords, report: Report) -> Mapping[str, object]:
        ranking = ranking_to_draw(self.stash, words.q, words.by, words.groups)
        title, paper = words.title.strip() or _title(words), paper_of(self.stash, words.paper)
        pdf, fabrics = draw_pdf(self.stash, ranking, title, paper, report)
        write_whole(self.records.home(number) / "sheet.pdf", [pdf])
        told = Drawn((Path(f"{Drawing(number, words).name}.pdf"),), fabrics).sentences
        return {"pages": page_count(pdf), "sentences": told}


def _title(words: SheetWords) -> str:
    return CHOICE if words.groups else SHELF
