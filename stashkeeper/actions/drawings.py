"""Sheets drawn for a page: begun, looked after, kept in the stash folder for a while."""

import json
import re
import shutil
import uuid
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from stashkeeper.actions.background import Background, Report, Work
from stashkeeper.actions.pictures import CHOICE, SHELF, Drawn, draw_pdf, paper_of, ranking_to_draw
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import NotFoundError, StashkeeperError
from stashkeeper.pictures.canvas import page_count, page_image
from stashkeeper.pictures.web_pictures import packed_png, web_page_picture
from stashkeeper.whole_file import write_whole

KEPT: Final = 20
"""Drawn sheets that are kept; the oldest is thrown away first."""

_NOT_IN_NAMES = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]+')
_NUMBER = re.compile(r"[0-9a-f]{32}")


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
class Drawings:
    """The sheets drawn for the pages of a stash."""

    stash: Stash
    background: Background

    def begin(self, words: SheetWords) -> str:
        """Begin to draw, and return the number by which the drawing is known.

        Raises:
            StashkeeperError: as `sheet`; then nothing is begun.
        """
        paper_of(self.stash, words.paper or None)
        ranking_to_draw(self.stash, words.q, words.by, words.groups)
        number = uuid.uuid4().hex
        self._sweep()
        self._write(number, {"words": asdict(words)})
        self.background.start(number, lambda report: self._draw(number, words, report))
        return number

    def look(self, number: str, patience: float = 0.0) -> Drawing:
        """Return a drawing as far as it is, after waiting a little for it to be finished.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        work = self.background.of(number)
        under_way = work is not None and not work.wait(patience)
        kept = self._read(number)
        words = SheetWords(**kept["words"])
        if under_way:
            return Drawing(number, words, work)
        trouble = kept.get("trouble")
        if trouble is None and "sentences" not in kept:
            trouble = ["The drawing was stopped before it was finished.", "Draw it again."]
        return Drawing(
            number,
            words,
            None,
            int(kept.get("pages", 0)),
            tuple(kept.get("sentences", ())),
            (trouble[0], trouble[1]) if trouble else None,
        )

    def pdf(self, number: str) -> bytes:
        """Return a drawn sheet as a PDF.

        Raises:
            NotFoundError: there is none of this number, or it is not drawn yet.
        """
        return self._file(number).read_bytes()

    def png(self, number: str, page: int) -> bytes:
        """Return a page of a drawn sheet as a PNG file; pages count from 1.

        Raises:
            NotFoundError: there is no such sheet or page.
        """
        pdf = self.pdf(number)
        if not 1 <= page <= page_count(pdf):
            raise _gone()
        return packed_png(page_image(pdf, page))

    def first_page(self, number: str) -> bytes:
        """Return the first page as a picture to look at, a WebP file.

        Raises:
            NotFoundError: as `pdf`.
        """
        return web_page_picture(self.pdf(number), 120)

    def _draw(self, number: str, words: SheetWords, report: Report) -> None:
        kept: dict[str, object] = {"words": asdict(words)}
        try:
            ranking = ranking_to_draw(self.stash, words.q, words.by, words.groups)
            title, paper = words.title.strip() or _title(words), paper_of(self.stash, words.paper)
            pdf, fabrics = draw_pdf(self.stash, ranking, title, paper, report)
            write_whole(self._room / number / "sheet.pdf", [pdf])
            told = Drawn((Path(f"{Drawing(number, words).name}.pdf"),), fabrics).sentences
            kept |= {"pages": page_count(pdf), "sentences": told}
        except StashkeeperError as error:
            kept["trouble"] = [error.problem, error.on_page]
        self._write(number, kept)

    @property
    def _room(self) -> Path:
        return self.stash.home / "drawn"

    def _write(self, number: str, kept: Mapping[str, object]) -> None:
        write_whole(self._room / number / "sheet.json", [json.dumps(kept).encode()])

    def _read(self, number: str) -> dict[str, Any]:
        if not _NUMBER.fullmatch(number):
            raise _gone()
        try:
            kept: dict[str, Any] = json.loads((self._room / number / "sheet.json").read_bytes())
        except (OSError, ValueError):
            raise _gone() from None
        return kept

    def _file(self, number: str) -> Path:
        path = self._room / number / "sheet.pdf"
        if not _NUMBER.fullmatch(number) or not path.is_file():
            raise _gone()
        return path

    def _sweep(self) -> None:
        """Throw away all but the newest."""
        if not self._room.is_dir():
            return
        by_age = sorted(self._room.iterdir(), key=lambda one: one.stat().st_mtime, reverse=True)
        for old in by_age[KEPT - 1 :]:
            shutil.rmtree(old, ignore_errors=True)


def _title(words: SheetWords) -> str:
    return CHOICE if words.groups else SHELF


def _gone() -> NotFoundError:
    return NotFoundError("This sheet is not here, or no longer.", "Draw it again.")
