"""Cutting pages and diagrams of a plan, from the record to a file."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from PIL import Image

from stashkeeper.actions.pictures import paper_of
from stashkeeper.actions.plan_steps import steps_of_piece
from stashkeeper.actions.plans import LoadedPlan, load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import crop_of_row
from stashkeeper.catalogue.photo_files import photo_path
from stashkeeper.cutting.plan import PiecePlan
from stashkeeper.cutting.steps import CAUTIONS
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Rounding
from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.cutting_diagram import Drawing, diagram_svg
from stashkeeper.pictures.cutting_pages import (
    CuttingPages,
    PieceSheet,
    draw_cutting_pages,
    draw_piece_pages,
)
from stashkeeper.pictures.diagram_view import drawn_size, scale_of
from stashkeeper.pictures.swatch_book import Wanted, cut_swatches
from stashkeeper.pictures.web_pictures import packed_png
from stashkeeper.settings.habits import Hand
from stashkeeper.whole_file import write_whole

_LAYERED: Final = (
    "Square up each, lay them on one another, the largest at the bottom, with their squared "
    "corners together, and cut all at once."
)
KINDS: Final = ("pdf", "png", "svg")
ON_PAGE: Final = (560.0, 640.0)
"""Width and height a diagram may have on a page, in px; so its words can be read on a phone."""
LOOK: Final = (480, 480)
"""Width and height of the look at the cloth that lies under a diagram, in pixels."""


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """What was drawn of a plan: its files, one a page or piece where they must be."""

    plan: int
    pieces: tuple[str, ...]
    files: tuple[Path, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was drawn, and where it is."""
        names = ", ".join(str(file) for file in self.files)
        return (
            f"Drew plan {self.plan} ({', '.join(self.pieces)}): {names}",
            "Print at full size (100 %); the inch square shows whether the printer kept it."
            if any(file.suffix.casefold() != ".svg" for file in self.files)
            else "",
        )


def draw_plan(
    stash: Stash, number: int, out: Path, code: str | None = None, paper: str | None = None
) -> DrawnPlan:
    """Draw the cutting pages of a plan (PDF or PNG), or the bare diagrams of its pieces (SVG).

    Args:
        stash: the open stash.
        number: of the plan.
        out: a .pdf, .png or .svg file; several pages or pieces become several files.
        code: only this piece; all of them where None.
        paper: a4 or letter; the settings' paper where None.

    Raises:
        NotFoundError: there is no such plan, or it does not cut such a piece.
        BadRequestError: the file's name ends in none of the three, or an unknown paper.
        CannotWriteError: a file cannot be written.
    """
    kind = _kind_of(out)
    wanted = paper_of(stash, paper)
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
    pieces = loaded.plan.pieces if code is None else (loaded.piece(code),)
    codes = tuple(piece.cloth.code for piece in pieces)
    contents = list(_contents(stash, loaded, pieces, kind, wanted, whole=code is None))
    files = tuple(_named(out, codes if kind == "svg" else (), len(contents)))
    for file, content in zip(files, contents, strict=True):
        write_whole(file, [content])
    return DrawnPlan(number, codes, files)


def plan_pdf(stash: Stash, number: int, paper: str | None = None) -> bytes:
    """Return the cutting pages of a whole plan as a PDF.

    Raises:
        NotFoundError: there is no such plan.
        BadRequestError: an unknown paper.
    """
    wanted = paper_of(stash, paper)
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
    return _pdf(stash, loaded, loaded.plan.pieces, wanted, whole=True)


def piece_svg(stash: Stash, number: int, code: str, now: Iterable[int] = ()) -> str:
    """Return the diagram of one piece of a plan as an SVG picture.

    Args:
        stash: the open stash.
        number: of the plan.
        code: of the piece.
        now: the numbers of the cuts that are being made; they stand out.

    Raises:
        NotFoundError: there is no such plan, or it does not cut such a piece.
    """
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
    drawing = _drawings(stash, loaded, [loaded.piece(code)])[0]
    return diagram_svg(replace(drawing, now=frozenset(now)), *ON_PAGE)


def diagram_size(piece: PiecePlan) -> tuple[int, int]:
    """Return width and height of the diagram of a piece on a page, in px."""
    whole = piece.cloth.whole
    width, height = drawn_size(whole, scale_of(whole, *ON_PAGE))
    return round(width), round(height)


def _contents(
    stash: Stash,
    loaded: LoadedPlan,
    pieces: Sequence[PiecePlan],
    kind: str,
    paper: Paper,
    whole: bool,
) -> Iterator[bytes]:
    if kind == "svg":
        for drawing in _drawings(stash, loaded, pieces):
            yield diagram_svg(drawing).encode("utf-8")
        return
    pdf = _pdf(stash, loaded, pieces, paper, whole)
    if kind == "pdf":
        yield pdf
        return
    for page in page_images(pdf):
        yield packed_png(page)


def _pdf(
    stash: Stash, loaded: LoadedPlan, pieces: Sequence[PiecePlan], paper: Paper, whole: bool
) -> bytes:
    sheets = [_sheet(stash, loaded, drawing) for drawing in _drawings(stash, loaded, pieces)]
    title = f"Plan {loaded.number}, {loaded.plan.goal.value}"
    if not whole:
        return draw_piece_pages(sheets[0], title, paper)
    cuts = [
        (cut.name, f"{cut.count:,} × {format_size(cut.size, stash.measure, Rounding.UP)}"
                   + (", length along the selvedge" if cut.directional else ""))
        for cut in loaded.plan.cuts
    ]  # fmt: skip
    facts = [fact for fact in loaded.view.facts() if fact[0] not in {"saved as", "pieces opened"}]
    facts += [(name, f"{', '.join(codes)}. {_LAYERED}") for name, codes in _stacks(loaded)]
    return draw_cutting_pages(CuttingPages(title, cuts, facts, CAUTIONS, sheets, paper))


def _sheet(stash: Stash, loaded: LoadedPlan, drawing: Drawing) -> PieceSheet:
    piece = drawing.piece
    told = steps_of_piece(stash, loaded, piece)
    view = loaded.view_of(piece.cloth.code)
    gives = ", ".join(f"{count} × {name}" for name, count in view.gives.items())
    stacks = [name for name, codes in _stacks(loaded) if told.code in codes]
    keeps = [format_size(size, stash.measure) for size in view.keeps]
    back = f"{', '.join(keeps)} go{'es' if len(keeps) == 1 else ''} back"
    return PieceSheet(
        drawing,
        ", ".join([told.place] * bool(told.place) + stacks),
        f"{gives}; {back}" if keeps else gives,
        told.before,
        [(step.number, step.shown) for step in told.steps],
    )


def _stacks(loaded: LoadedPlan) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the name of each stack and the pieces that are cut in it, in layers."""
    for number, codes in enumerate(loaded.stacks, start=1):
        if len(codes) > 1:
            yield f"stack {number}", codes


def _drawings(stash: Stash, loaded: LoadedPlan, pieces: Sequence[PiecePlan]) -> list[Drawing]:
    """Return what the diagrams of some pieces show, with a look at their cloth."""
    rows = [loaded.rows[piece.cloth.code] for piece in pieces]
    looks = cut_swatches(
        [
            Wanted(
                row.code,
                photo_path(stash.home, row.checksum, row.photo_format),
                crop_of_row(row),
                row.lightness,
            )
            for row in rows
            if row.checksum is not None and row.photo_format is not None
        ],
        LOOK,
    )
    left_handed = stash.settings.habits.hand is Hand.LEFT
    cloths: list[Image.Image | None] = [
        looks[row.code].colour if row.code in looks else None for row in rows
    ]
    return [
        Drawing(piece, row.name, row.direction, stash.measure, left_handed, cloth)
        for piece, row, cloth in zip(pieces, rows, cloths, strict=True)
    ]


def _kind_of(out: Path) -> str:
    kind = out.suffix.casefold().removeprefix(".")
    if kind not in KINDS:
        raise BadRequestError(
            f"A plan is drawn as a PDF, PNG or SVG, and {quoted(out.name)} is none of them.",
            "Give a name that ends in .pdf, .png or .svg.",
        )
    return kind


def _named(out: Path, codes: Sequence[str], count: int) -> Iterator[Path]:
    """Yield a name for each file: with the code of the piece, or the number of the page."""
    if count == 1:
        yield out
        return
    marks = codes or [f"{number}" for number in range(1, count + 1)]
    for mark in marks:
        yield out.with_name(f"{out.stem}-{mark}{out.suffix}")
