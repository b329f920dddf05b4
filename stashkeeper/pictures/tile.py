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

BEAD: Final = 8.0
HATCHED: Final = 9.0
"""Side of the hatched square beside the word "weak"."""


def pixels_of(grid: Grid) -> tuple[int, int]:
    """Return the size of a swatch in dots, so that a picture of it needs no resampling."""
    return round(grid.width * DOTS_PER_PX), round(grid.height * DOTS_PER_PX)


def flags_of(entry: SheetEntry) -> list[str]:
    """Return the words said of a fabric below its name, what needs attention first."""
    flags = []
    if entry.weak:
        flags.append("weak")
    if entry.straddles:
        flags.append("straddles")
    if entry.more:
        flags.append(f"+{entry.more}")
    return flags


def lines_needed(entries: Sequence[SheetEntry]) -> int:
    """Return how many lines of type the captions of these entries take."""
    return 3 if any(flags_of(entry) for entry in entries) else 2


def draw_tile(canvas: Canvas, tile: Tile, grid: Grid, swatch: Swatch | None) -> None:
    """Draw a fabric's swatch and twin and its caption; without a photo, the grey of its L*."""
    if swatch is None:
        _draw_without_photo(canvas, tile, grid)
    else:
        _draw_swatch(canvas, tile, grid, swatch)
    if tile.entry.weak:
        height = 2 * grid.height + BETWEEN_TWINS
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
    right = tile.x + grid.width
    number_at = right - canvas.width(number, TEXT)
    canvas.text(number_at, baseline, number, TEXT)
    draw_mark(canvas, number_at - 4 - BEAD / 2, baseline - 4.5, BEAD, entry.mark)
    room = number_at - BEAD - 8 - tile.x
    canvas.text(tile.x, baseline, canvas.shortened(entry.code, room, TEXT, bold=True), TEXT, True)
    baseline += NEXT_LINE
    canvas.text(tile.x, baseline, canvas.shortened(entry.name, grid.width, SMALL), SMALL)
    _draw_flags(canvas, tile, baseline + NEXT_LINE, grid.width)


def _draw_flags(canvas: Canvas, tile: Tile, baseline: float, room: float) -> None:
    words, x = " · ".join(flags_of(tile.entry)), tile.x
    if tile.entry.weak:
        draw_hatched(canvas, x + 1, baseline - HATCHED + 0.5, HATCHED - 1, HATCHED - 1)
        x, room = x + HATCHED + 4, room - HATCHED - 4
    canvas.text(x, baseline, canvas.shortened(words, room, SMALL), SMALL, bold=tile.entry.weak)
