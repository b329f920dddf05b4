"""One fabric of a sheet: its swatch, the grey twin below, and what is said of it."""

from collections.abc import Sequence
from typing import Final

from stashkeeper.pictures.canvas import SMALL, TEXT, Canvas
from stashkeeper.pictures.greys import ACCENT, grey, ink_on
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.sheet import SheetEntry
from stashkeeper.pictures.sheet_layout import (
    BETWEEN_TWINS,
    FIRST_LINE,
    NEXT_LINE,
    Grid,
    Tile,
)
from stashkeeper.pictures.swatch import Swatch
from stashkeeper.pictures.value_rule import draw_hatched, draw_mark

WEAK: Final = "weak"
STRADDLES: Final = "straddles"
BEAD: Final = 8.0
HAIRLINE: Final = 0.4
HAIRLINE_LIGHTNESS: Final = 50.0
"""Around each swatch, so that cloth as light as the ground still has an edge."""
HATCHED: Final = 9.0
"""Side of the hatched square beside the word "weak"."""


def pixels_of(grid: Grid) -> tuple[int, int]:
    """Return the size of a swatch in dots, so that a picture of it needs no resampling."""
    return round(grid.width * DOTS_PER_PX), round(grid.height * DOTS_PER_PX)


def flags_of(entry: SheetEntry) -> list[str]:
    """Return the words said of a fabric below its name, a line each, what matters most first."""
    return [word for word, said in ((WEAK, entry.weak), (STRADDLES, entry.straddles)) if said]


def lines_needed(entries: Sequence[SheetEntry]) -> int:
    """Return how many lines of type the captions of these entries take."""
    return 2 + max((len(flags_of(entry)) for entry in entries if entry.measured), default=0)


def draw_tile(canvas: Canvas, tile: Tile, grid: Grid, swatch: Swatch | None) -> None:
    """Draw a fabric's swatch and twin and its caption; without a photo, the grey of its L*."""
    if swatch is None:
        _draw_without_photo(canvas, tile, grid)
    else:
        _draw_swatch(canvas, tile, grid, swatch)
    height = 2 * grid.height + BETWEEN_TWINS
    canvas.frame(tile.x, tile.y, grid.width, height, HAIRLINE, grey(HAIRLINE_LIGHTNESS))
    if tile.entry.weak:
        canvas.frame(tile.x - 1, tile.y - 1, grid.width + 2, height + 2, 2.0, ACCENT)
    _draw_caption(canvas, tile, grid)


def _draw_swatch(canvas: Canvas, tile: Tile, grid: Grid, swatch: Swatch) -> None:
    canvas.picture(swatch.colour, tile.x, tile.y, grid.width, grid.height)
    below = tile.y + grid.height + BETWEEN_TWINS
    canvas.picture(swatch.grey, tile.x, below, grid.width, grid.height)


def _draw_without_photo(canvas: Canvas, tile: Tile, grid: Grid) -> None:
    lightness = tile.entry.lightness or 0.0
    height = 2 * grid.height + BETWEEN_TWINS
    canvas.rectangle(tile.x, tile.y, grid.width, height, grey(lightness))
    words = "no photo"
    x = tile.x + (grid.width - canvas.width(words, SMALL)) / 2
    canvas.text(x, tile.y + height / 2 + 4, words, SMALL, ink=ink_on(lightness))


def _draw_caption(canvas: Canvas, tile: Tile, grid: Grid) -> None:
    entry = tile.entry
    baseline = tile.y + 2 * grid.height + BETWEEN_TWINS + FIRST_LINE - 3
    number = f"{entry.lightness:.0f}"
    number_at = tile.x + grid.width - canvas.width(number)
    canvas.text(number_at, baseline, number)
    bead_at = number_at - 4 - BEAD / 2
    draw_mark(canvas, bead_at, baseline - 4.5, BEAD, entry.mark)
    _draw_code(canvas, tile, baseline, bead_at - BEAD / 2 - 4 - tile.x)
    baseline += NEXT_LINE
    canvas.text(tile.x, baseline, canvas.shortened(entry.name, grid.width, SMALL), SMALL)
    for flag in flags_of(entry):
        baseline += NEXT_LINE
        _draw_flag(canvas, flag, tile.x, baseline)


def _draw_code(canvas: Canvas, tile: Tile, baseline: float, room: float) -> None:
    """Write the code, and how many further pieces there are where there is room to say it."""
    code = canvas.shortened(tile.entry.code, room, TEXT, bold=True)
    canvas.text(tile.x, baseline, code, TEXT, bold=True)
    more = f"+{tile.entry.more}"
    beside = canvas.width(code, TEXT, bold=True) + 4
    if tile.entry.more and beside + canvas.width(more, SMALL) <= room:
        canvas.text(tile.x + beside, baseline, more, SMALL)


def _draw_flag(canvas: Canvas, flag: str, x: float, baseline: float) -> None:
    if flag == WEAK:
        draw_hatched(canvas, x + 1, baseline - HATCHED + 0.5, HATCHED - 1, HATCHED - 1)
        x += HATCHED + 4
    canvas.text(x, baseline, flag, SMALL, bold=flag == WEAK)
