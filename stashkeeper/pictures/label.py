"""Labels for pieces: a code to scan, and beside it code, name, size and place in words.

Drawn in place on sheets of labels; nothing comes nearer to the edge of a label than paper wanders
in a printer.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.pictures.canvas import SMALL, TEXT, TITLE, Canvas
from stashkeeper.pictures.greys import BLACK, WHITE
from stashkeeper.pictures.label_sheets import MILLIMETRES_PER_INCH, LabelSheet
from stashkeeper.pictures.paper import PX_PER_INCH

PX: Final = PX_PER_INCH / MILLIMETRES_PER_INCH
"""Px in a millimetre."""

QUIET: Final = 4
"""Blank modules around a code (ISO/IEC 18004, quiet zone)."""

WANDER: Final = 1.0
"""How far print may be off its place, in millimetres: so far the quiet zone stays off the edge."""

MARGIN: Final = 2.5
"""Between words and the edge of the label, in millimetres."""

MOST_ACROSS: Final = 0.46
"""How much of a label's width its code may take."""

HEIGHT_OF_USUAL: Final = 33.1 * PX
"""Height of the words on a label of usual size; on lower and higher ones type is scaled."""

SMALLEST_TYPE: Final = 10.0
"""In px (7½ point)."""

NUMBER: Final = 8.0
"""Size of the number in the corner of an outline, in px."""

SCALE_LINE: Final = 100.0
"""Length of the line that shows whether a printer kept the scale, in millimetres."""

ROOM_FOR_SCALE: Final = 9.0
"""So high must the margin above or below the labels be to hold that line, in millimetres."""


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says.

    Attributes:
        code, name: of the piece.
        size: of the piece, in words; empty where it is not known.
        place: where it lies; empty where that is not known.
        holds: what its code to scan holds.
    """

    code: str
    name: str
    size: str
    place: str
    holds: str


@dataclass(frozen=True, slots=True)
class _Area:
    """A label on its page, in px."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of words on a label: its size, and how far it is to the line before."""

    words: str
    size: float
    bold: bool = False

    @property
    def leading(self) -> float:
        return self.size * (1.1 if self.bold else 1.2)


def draw_labels(
    labels: Sequence[Label],
    sheet: LabelSheet,
    *,
    start: int = 1,
    outline: bool = False,
    title: str = "Labels",
) -> bytes:
    """Return labels as a PDF, as many pages as they need.

    Args:
        labels: in their order.
        sheet: what they are printed on.
        start: the first label of the first sheet that is still there, from 1.
        outline: whether the edges of all labels are drawn too, for a trial on plain paper.
        title: stands in the PDF's own record.
    """
    with Canvas(sheet.paper, title) as canvas:
        for places in _pages(len(labels), sheet.count, start):
            canvas.add_page(WHITE)
            _draw_scale(canvas, sheet, outline)
            if outline:
                _draw_outlines(canvas, sheet)
            for place, number in places:
                _draw_label(canvas, labels[number], _area(sheet, place))
        return canvas.pdf()


def _pages(count: int, places: int, start: int) -> Iterator[list[tuple[int, int]]]:
    """Yield, page by page, which place of the sheet holds which label."""
    page: list[tuple[int, int]] = []
    for number in range(count):
        place = (start - 1 + number) % places
        if page and place == 0:
            yield page
            page = []
        page.append((place, number))
    if page:
        yield page


def _area(sheet: LabelSheet, place: int) -> _Area:
    left, top = sheet.corner(place)
    return _Area(left * PX, top * PX, sheet.width * PX, sheet.height * PX)


def _draw_label(canvas: Canvas, label: Label, area: _Area) -> None:
    side = min(area.height - 2 * WANDER * PX, MOST_ACROSS * area.width)
    _draw_code(canvas, label.holds, area.x + WANDER * PX, area.y + (area.height - side) / 2, side)
    left = area.x + WANDER * PX + side
    _draw_words(canvas, label, _Area(left, area.y, area.x + area.width - left, area.height))


def _draw_code(canvas: Canvas, holds: str, x: float, y: float, side: float) -> None:
    """Draw a code to scan with its quiet zone into a square."""
    modules = code_modules(holds)
    module = side / (len(modules) + 2 * QUIET)
    x, y = x + QUIET * module, y + QUIET * module
    canvas.mosaic(
        (
            (x + start * module, y + row * module, (end - start) * module, module)
            for row, cells in enumerate(modules)
            for start, end in _runs(cells)
        ),
        BLACK,
    )


def code_modules(holds: str) -> list[list[bool]]:
    """Return the dark modules of a QR code (ISO/IEC 18004), row by row, without quiet zone."""
    import segno

    code = segno.make(holds, error="m", micro=False, encoding="utf-8")
    return [[bool(cell) for cell in row] for row in code.matrix]


def _runs(cells: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Yield where each run of dark modules begins and ends."""
    start: int | None = None
    for index, dark in enumerate([*cells, False]):
        if dark and start is None:
            start = index
        elif not dark and start is not None:
            yield start, index
            start = None


def _draw_words(canvas: Canvas, label: Label, area: _Area) -> None:
    """Write code, name, size and place, with as much of name and place as there is room for."""
    room, height = area.width - MARGIN * PX, area.height - 2 * MARGIN * PX
    lines: list[_Line] = []
    for name_lines, place_lines in ((2, 2), (2, 1), (1, 1), (1, 0)):
        lines = _lines(canvas, label, room, height, (name_lines, place_lines))
        if _height(lines) <= height:
            break
    baseline = area.y + (area.height - _height(lines)) / 2
    for line in lines:
        baseline += line.leading
        # Letters stand on the line with a fifth of their size below it.
        canvas.text(area.x, baseline - 0.22 * line.size, line.words, line.size, line.bold)


def _lines(
    canvas: Canvas, label: Label, room: float, height: float, most: tuple[int, int]
) -> list[_Line]:
    """Return what is written, with at most so many lines of name and place."""
    scale = min(1.6, max(0.72, height / HEIGHT_OF_USUAL))
    text, small = max(SMALL, TEXT * scale), max(SMALLEST_TYPE, SMALL * scale)
    code = _fitted(canvas, _Line(label.code, TITLE * scale, bold=True), room)
    size = _fitted(canvas, _Line(label.size, text), room)
    return [
        code,
        *(_Line(words, text) for words in _broken(canvas, label.name, room, text, most[0])),
        *([size] if label.size else []),
        *(_Line(words, small) for words in _broken(canvas, label.place, room, small, most[1])),
    ]


def _broken(canvas: Canvas, words: str, room: float, size: float, most: int) -> list[str]:
    """Return words broken into at most so many lines, the last one shortened if need be."""
    lines = canvas.wrapped(words, room, size)
    if len(lines) <= most:
        return lines
    rest = " ".join(
        canvas.shown(words).split()[sum(len(line.split()) for line in lines[: most - 1]) :]
    )
    return [*lines[: most - 1], canvas.shortened(rest, room, size)] if most else []


def _fitted(canvas: Canvas, line: _Line, room: float) -> _Line:
    """Return a line that must not be broken, in type small enough for its room."""
    width = canvas.width(line.words, line.size, line.bold)
    return replace(line, size=min(line.size, line.size * room / width)) if width else line


def _height(lines: Sequence[_Line]) -> float:
    return sum(line.leading for line in lines)


def _draw_outlines(canvas: Canvas, sheet: LabelSheet) -> None:
    for place in range(sheet.count):
        area = _area(sheet, place)
        canvas.frame(area.x + 0.25, area.y + 0.25, area.width - 0.5, area.height - 0.5, 0.5, BLACK)
        number = str(place + 1)
        right = area.x + area.width - canvas.width(number, NUMBER) - 3
        canvas.text(right, area.y + NUMBER, number, NUMBER)


def _draw_scale(canvas: Canvas, sheet: LabelSheet, outline: bool) -> None:
    """Draw the line that shows whether the printer kept the scale, where there is a margin."""
    left, top = sheet.margins
    if top >= ROOM_FOR_SCALE:
        y = canvas.paper.height - (top - 2.0) * PX
        _draw_scale_line(canvas, max(left, 8.0) * PX, y, words=True)
    elif outline:
        last = _area(sheet, sheet.count - sheet.columns)
        _draw_scale_line(canvas, last.x + 8.0 * PX, last.y + last.height - 1.2 * PX, words=False)


def _draw_scale_line(canvas: Canvas, x: float, y: float, *, words: bool) -> None:
    length, tick = SCALE_LINE * PX, 1.0 * PX
    canvas.line((x, y), (x + length, y), 0.75, BLACK)
    for end in (x, x + length):
        canvas.line((end, y - tick), (end, y + tick), 0.75, BLACK)
    said = "100 mm: print at full size" if words else "100 mm"
    canvas.text(x + length + 8, y + 4, said, SMALL)
