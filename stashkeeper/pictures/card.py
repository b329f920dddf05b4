"""The reference card as a page to print: the card at its true size, and how to use it."""

from collections.abc import Sequence
from typing import Final

from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.card_layout import (
    CODE_MODULES,
    CODE_SIDE,
    CODES,
    HEIGHT,
    LINE,
    NOMINAL,
    WIDTH,
    code_modules,
    grey_squares,
)
from stashkeeper.pictures.canvas import SMALL, TEXT, TITLE, Canvas
from stashkeeper.pictures.greys import BLACK, WHITE, grey
from stashkeeper.pictures.label_sheets import MILLIMETRES_PER_INCH
from stashkeeper.pictures.paper import PX_PER_INCH

PX: Final = PX_PER_INCH / MILLIMETRES_PER_INCH
"""Px in a millimetre."""
TOP: Final = 24.0
"""From the top of the page to the card, in millimetres."""
CUT: Final = grey(75.0)

STEPS: Final = (
    "Print at full size (100 %, no “fit to page”) on white, matt paper, in grey or colour.",
    "Lay a ruler on the line: it must be 100 mm (3 15/16 in) long, or sizes will be wrong.",
    "Cut along the thin frame, or use the whole sheet. Keep it clean and out of the sun.",
    "Lay it flat beside the cloth, in the same light: near a window, no lamp, no shadow.",
    "Take the photo straight from above, with all four square codes in it.",
)
MORE: Final = (
    "No home printer makes known greys. If you have an instrument, or a bought grey scale, tell "
    "Stashkeeper once what paper and greys of this very print are, from light to dark:\n"
    "stashkeeper card known {card_id} PAPER G1 G2 G3 G4 G5 G6\n"
    "Without that, fabrics photographed with this card still compare well with each other."
).splitlines()


def draw_card(card_id: str, paper: Paper) -> bytes:
    """Return the reference card as a PDF of one page.

    Args:
        card_id: the four signs of its name.
        paper: what it is printed on.
    """
    with Canvas(paper, f"Reference card {card_id}") as canvas:
        canvas.add_page(WHITE)
        left = (paper.width / PX - WIDTH) / 2
        _draw_face(canvas, card_id, left, TOP)
        _draw_words(canvas, card_id, left * PX, (TOP + HEIGHT + 16) * PX)
        return canvas.pdf()


def _draw_face(canvas: Canvas, card_id: str, left: float, top: float) -> None:
    """Draw the card with its top left corner at a place in millimetres."""
    canvas.frame(left * PX, top * PX, WIDTH * PX, HEIGHT * PX, 0.5, CUT)
    for corner, (x, y) in CODES.items():
        _draw_code(canvas, code_modules(corner, card_id), left + x, top + y)
    for lightness, places in zip(NOMINAL, grey_squares(), strict=True):
        for square in places:
            canvas.rectangle(
                (left + square.left) * PX,
                (top + square.top) * PX,
                (square.right - square.left) * PX,
                (square.bottom - square.top) * PX,
                grey(lightness),
            )
    _draw_line(canvas, left, top)
    middle = (left + WIDTH / 2) * PX
    _centred(canvas, f"Reference card {card_id}", middle, (top + 44.5) * PX, TEXT, bold=True)
    _centred(canvas, "Stashkeeper", middle, (top + 49.5) * PX, SMALL)


def _draw_code(canvas: Canvas, modules: Sequence[Sequence[bool]], x: float, y: float) -> None:
    side = CODE_SIDE / CODE_MODULES
    canvas.mosaic(
        (
            ((x + column * side) * PX, (y + row * side) * PX, side * PX, side * PX)
            for row, cells in enumerate(modules)
            for column, dark in enumerate(cells)
            if dark
        ),
        BLACK,
    )


def _draw_line(canvas: Canvas, left: float, top: float) -> None:
    """Draw the line of 100 mm, with a tick every 10 mm and longer ones at its ends."""
    (start, y), (end, _) = LINE
    height = (top + y) * PX
    canvas.line(((left + start) * PX, height), ((left + end) * PX, height), 0.75, BLACK)
    for tick in range(11):
        x = (left + start + (end - start) * tick / 10) * PX
        reach = (2.5 if tick in {0, 10} else 1.5 if tick == 5 else 1.0) * PX
        canvas.line((x, height - reach), (x, height + reach), 0.75, BLACK)
    _centred(canvas, "100 mm = 3 15/16 in", (left + WIDTH / 2) * PX, height + 5.5 * PX, SMALL)


def _draw_words(canvas: Canvas, card_id: str, left: float, top: float) -> None:
    room, line = WIDTH * PX, 22.0
    canvas.text(left, top, "Reference card", TITLE, bold=True)
    y = top + 34
    for number, step in enumerate(STEPS, start=1):
        canvas.text(left, y, f"{number}", TEXT, bold=True)
        for words in canvas.wrapped(step, room - 24, TEXT):
            canvas.text(left + 24, y, words, TEXT)
            y += line
    y += 10
    for number, sentence in enumerate(MORE):
        said = sentence.format(card_id=card_id)
        for words in canvas.wrapped(said, room, TEXT):
            canvas.text(left, y, words, TEXT, bold=number == 1)
            y += line


def _centred(
    canvas: Canvas, words: str, middle: float, baseline: float, size: float, bold: bool = False
) -> None:
    canvas.text(middle - canvas.width(words, size, bold) / 2, baseline, words, size, bold)
