"""An outline of a quilt to colour by hand: thin lines on white, and boxes to try colours in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import TEXT, TITLE, Canvas
from stashkeeper.pictures.greys import BLACK, WHITE
from stashkeeper.pictures.patchwork import Line
from stashkeeper.pictures.seam_lines import outlines
from stashkeeper.pictures.svg_canvas import SvgCanvas
from stashkeeper.quilts.quilt import Quilt, finished_size
from stashkeeper.quilts.quilt_patches import quilt_patches

MARGIN: Final = 40.0
TOP: Final = 88.0
BOX: Final = 40.0
ROW: Final = 56.0
COLUMN: Final = 220.0
THIN: Final = 0.8
SMALLEST_PATCH: Final = 4.0
"""Smaller patches, in px, cannot be coloured by hand."""


@dataclass(frozen=True, slots=True)
class Outline:
    """What an outline shows.

    Attributes:
        title: in large type.
        subtitle: beside it.
        quilt: what is to be sewn.
        paper: what it is made for.
        created: the date on record inside the PDF; a fixed one where None.
    """

    title: str
    subtitle: str
    quilt: Quilt
    paper: Paper = Paper.A4
    created: datetime | None = None


def draw_outline_pdf(outline: Outline) -> tuple[bytes, float]:
    """Return an outline as a PDF of one page, and how far down the page it reaches, in px.

    Raises:
        BadSizeError: a quilt of a size that none has.
        BadRequestError: its patches would be too small to colour.
    """
    with Canvas(outline.paper, outline.title, outline.created) as canvas:
        canvas.add_page(WHITE)
        bottom = _draw(canvas, outline)
        return canvas.pdf(), bottom


def draw_outline_svg(outline: Outline) -> str:
    """Return an outline as an SVG picture.

    Raises:
        BadSizeError, BadRequestError: as `draw_outline_pdf`.
    """
    height = draw_outline_pdf(outline)[1] + MARGIN
    with SvgCanvas((float(outline.paper.width), height), outline.title) as canvas:
        _draw(canvas, outline)
        return canvas.svg()


def _draw(canvas: Canvas, outline: Outline) -> float:
    patches = list(quilt_patches(outline.quilt))
    roles = list(dict.fromkeys(role_name(patch.role) for patch in patches))
    size = finished_size(outline.quilt)
    width = canvas.paper.width - 2 * MARGIN
    across = max(1, int(width // COLUMN))
    boxes = -(-len(roles) // across) * ROW
    room = canvas.paper.height - TOP - MARGIN - min(boxes, 4 * ROW) - 16
    scale = min(width / size.width.ticks, room / size.length.ticks)
    area = size.area * scale * scale / len(patches)
    if area < SMALLEST_PATCH**2:
        raise BadRequestError(
            f"{len(patches):,} patches on one page are too small to colour by hand.",
            "Draw fewer units, with --columns and --rows.",
            on_page="Draw fewer columns and rows.",
        )
    right = canvas.paper.width - MARGIN
    canvas.text(MARGIN, 56, canvas.shortened(outline.title, width / 2, TITLE), TITLE)
    beside = canvas.shortened(outline.subtitle, width / 2 - 16)
    canvas.text(right - canvas.width(beside), 56, beside)
    lines = outlines(patch.outline for patch in patches)
    for start, end in _placed(lines, scale):
        canvas.line(start, end, THIN, BLACK)
    bottom = TOP + size.length.ticks * scale
    canvas.frame(MARGIN, TOP, size.width.ticks * scale, bottom - TOP, 1.6, BLACK)
    return _draw_boxes(canvas, roles[: 4 * across], bottom + 16, across)


def _placed(lines: Iterator[tuple[tuple[int, int], tuple[int, int]]], scale: float) -> list[Line]:
    return [
        (
            (MARGIN + start[0] * scale, TOP + start[1] * scale),
            (MARGIN + end[0] * scale, TOP + end[1] * scale),
        )
        for start, end in lines
    ]


def _draw_boxes(canvas: Canvas, roles: Sequence[str], top: float, across: int) -> float:
    """Draw an empty box for each role; return how far down they reach."""
    for number, role in enumerate(roles):
        x, y = MARGIN + number % across * COLUMN, top + number // across * ROW
        canvas.frame(x + 1, y + 1, BOX * 1.5, BOX, 1.0, BLACK)
        room = COLUMN - BOX * 1.5 - 24
        canvas.text(x + BOX * 1.5 + 10, y + BOX / 2 + 5, canvas.shortened(role, room, TEXT))
    return top + -(-len(roles) // across) * ROW
