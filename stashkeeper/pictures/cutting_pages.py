"""The cutting pages of a plan: what to take from the shelf, then each piece with its steps.

Made for a person at a cutting table: large type, boxes to tick, black lines, a diagram to scale and
an inch square that shows whether the printer kept it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import TEXT, TITLE, Canvas
from stashkeeper.pictures.cutting_diagram import Drawing, draw_diagram
from stashkeeper.pictures.diagram_view import drawn_size, scale_of
from stashkeeper.pictures.greys import BLACK, WHITE
from stashkeeper.pictures.paper import PX_PER_INCH

MARGIN: Final = 40.0
READING: Final = 17.0
"""The size of what is read at arm's length, in px (about 13 point)."""

LEADING: Final = 23.0
BOX: Final = 15.0
"""A box to tick."""

FOOT: Final = PX_PER_INCH + 14.0
HEAD: Final = 84.0
MOST_OF_PAGE: Final = 0.56
"""So much of a page a diagram takes at most, to leave room for its first steps."""


@dataclass(frozen=True, slots=True)
class PieceSheet:
    """One piece on the cutting pages.

    Attributes:
        drawing: its diagram.
        place: where it lies.
        gives: what comes off it, in words.
        before: what to mind first.
        steps: number and words of each step.
    """

    drawing: Drawing
    place: str
    gives: str
    before: Sequence[str]
    steps: Sequence[tuple[int, str]]

    @property
    def title(self) -> str:
        """Its code and the name of its fabric."""
        return f"{self.drawing.piece.cloth.code}  {self.drawing.name}"


@dataclass(frozen=True, slots=True)
class CuttingPages:
    """What the pages of a plan say.

    Attributes:
        title: of the plan.
        cuts: each cut in words: its name, and how many of which size.
        facts: what it opens, uses and leaves: heading and words.
        cautions: about the cutter, told once.
        pieces: in the order they are cut.
        paper: what it is made for.
        created: the date on record inside the PDF; a fixed one where None.
    """

    title: str
    cuts: Sequence[tuple[str, str]]
    facts: Sequence[tuple[str, str]]
    cautions: Sequence[str]
    pieces: Sequence[PieceSheet]
    paper: Paper = Paper.LETTER
    created: datetime | None = None


def draw_cutting_pages(pages: CuttingPages) -> bytes:
    """Return the cutting pages as a PDF: an overview, then one or more pages for each piece."""
    with Canvas(pages.paper, pages.title, pages.created) as canvas:
        _Overview(canvas, pages).draw()
        for number, piece in enumerate(pages.pieces, start=1):
            _draw_piece(canvas, piece, f"piece {number} of {len(pages.pieces)}")
        return canvas.pdf()


def draw_piece_pages(piece: PieceSheet, title: str, paper: Paper) -> bytes:
    """Return the pages of one piece as a PDF."""
    with Canvas(paper, title) as canvas:
        _draw_piece(canvas, piece, title)
        return canvas.pdf()


class _Column:
    """Lines from the top of a page down, a new page where one is full."""

    def __init__(self, canvas: Canvas, title: str, beside: str) -> None:
        self.canvas, self.title, self.beside = canvas, title, beside
        self.width = canvas.paper.width - 2 * MARGIN
        self.bottom = canvas.paper.height - MARGIN - FOOT
        self.pages = 0
        self.y = 0.0
        self.start_page()

    def start_page(self) -> None:
        """Start a page with its heading."""
        canvas = self.canvas
        canvas.add_page(WHITE)
        self.pages += 1
        title = self.title if self.pages == 1 else f"{self.title}, continued"
        beside = canvas.shortened(self.beside, self.width / 2, READING)
        width = canvas.width(beside, READING)
        canvas.text(MARGIN + self.width - width, 58, beside, READING)
        shown = canvas.shortened(title, self.width - width - 24, TITLE, bold=True)
        canvas.text(MARGIN, 58, shown, TITLE, bold=True)
        canvas.line((MARGIN, 68), (MARGIN + self.width, 68), 1.6, BLACK)
        self.y = HEAD

    def need(self, height: float) -> None:
        """Go to a new page where so much room is not left."""
        if self.y + height > self.bottom:
            self.start_page()

    def write(
        self, words: str, *, bold: bool = False, ticked: bool = False, number: str = ""
    ) -> None:
        """Write words over as many lines as they need, perhaps behind a box to tick."""
        indent = (BOX + 12 if ticked else 0) + (34 if number else 0)
        lines = self.canvas.wrapped(words, self.width - indent, READING) or [""]
        self.need(LEADING * len(lines))
        if ticked:
            self.canvas.frame(MARGIN + 1, self.y + 3, BOX, BOX, 1.4, BLACK)
        if number:
            start = MARGIN + BOX + 12 + 24 - self.canvas.width(number, READING, bold=True)
            self.canvas.text(start, self.y + READING, number, READING, bold=True)
        for line in lines:
            self.canvas.text(MARGIN + indent, self.y + READING, line, READING, bold)
            self.y += LEADING

    def space(self, height: float = 10.0) -> None:
        """Leave some room."""
        self.y += height


@dataclass(frozen=True, slots=True)
class _Overview:
    """The first page: what is cut, and from what."""

    canvas: Canvas
    pages: CuttingPages

    def draw(self) -> None:
        """Draw it, over several pages where it must be."""
        column = _Column(self.canvas, self.pages.title, "")
        column.write("What is cut", bold=True)
        for name, words in self.pages.cuts:
            column.write(f"{name}:  {words}")
        column.space()
        column.write("Take from the shelf", bold=True)
        for piece in self.pages.pieces:
            where = f" ({piece.place})" if piece.place else ""
            column.write(f"{piece.title}{where}: {piece.gives}", ticked=True)
        column.space()
        for heading, words in self.pages.facts:
            column.write(f"{heading.capitalize()}: {words}")
        column.space()
        for caution in self.pages.cautions:
            column.write(caution)
        self._foot()

    def _foot(self) -> None:
        words = "Rings: cuts in order. Hatched: cut away. Dashed: goes back on the shelf."
        lines = self.canvas.wrapped(words, self.canvas.paper.width - 2 * MARGIN, TEXT)
        baseline = self.canvas.paper.height - MARGIN - 20 * (len(lines) - 1)
        for number, line in enumerate(lines):
            self.canvas.text(MARGIN, baseline + 20 * number, line, TEXT)


def _draw_piece(canvas: Canvas, sheet: PieceSheet, beside: str) -> None:
    """Draw the pages of one piece: its diagram, then its steps."""
    where = f"{beside} · {sheet.place}" if sheet.place else beside
    column = _Column(canvas, sheet.title, where)
    whole = sheet.drawing.piece.cloth.whole
    room = canvas.paper.height * MOST_OF_PAGE
    scale = scale_of(whole, column.width, room)
    width, height = drawn_size(whole, scale)
    left = MARGIN + (column.width - width) / 2
    draw_diagram(canvas, sheet.drawing, left, column.y - 12, scale)
    _draw_foot(canvas, scale)
    column.y += height - 6
    for words in sheet.before:
        column.write(words, bold=True)
    column.write(f"Gives {sheet.gives}.", bold=True)
    column.space(4)
    for number, words in sheet.steps:
        column.write(words, ticked=True, number=f"{number}")


def _draw_foot(canvas: Canvas, scale: int) -> None:
    """Draw the inch square at the foot of a page to scale, and say what the scale is."""
    side = float(PX_PER_INCH)
    left, top = canvas.paper.width - MARGIN - side, canvas.paper.height - MARGIN - side
    canvas.frame(left + 1, top + 1, side - 2, side - 2, 1.0, BLACK)
    for number, line in enumerate(("1 in", "25.4 mm", "square")):
        start = left + (side - canvas.width(line, TEXT)) / 2
        canvas.text(start, top + 36 + 18 * number, line, TEXT)
    words = list(_scale_words(scale))
    baseline = canvas.paper.height - MARGIN - 20 * (len(words) - 1) - 4
    for number, line in enumerate(words):
        canvas.text(MARGIN, baseline + 20 * number, line, TEXT)


def _scale_words(scale: int) -> Iterator[str]:
    yield f"Scale 1 : {scale}. An inch on the diagram is {scale} in of cloth."
    yield "The square must measure one inch: print at full size (100 %)."
    yield "Rings: cuts in order. Hatched: cut away. Dashed: goes back on the shelf."
