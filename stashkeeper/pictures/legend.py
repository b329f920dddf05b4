"""The legend: every mark that a page bears, explained in words."""

from collections.abc import Sequence
from typing import Final

from stashkeeper.pictures.canvas import SMALL, Canvas
from stashkeeper.pictures.sheet import Sheet
from stashkeeper.pictures.typeface import MISSING
from stashkeeper.pictures.value_rule import Mark, draw_hatched, draw_mark

LEGEND_LINE: Final = 16.0
SIGN: Final = 14.0
"""Room for a mark before its words."""
BETWEEN: Final = 20.0

WEAK: Final = "weak"

type Item = tuple[Mark | str | None, str]
"""A mark, WEAK for the hatched square, or None; and what it means."""

MARKS: Final = {
    Mark.SURE: "sure",
    Mark.PROVISIONAL: "provisional: by a photo alone",
    Mark.DOUBTFUL: "doubtful: the photo is clipped, blurred or unevenly lit",
}


def legend_of(canvas: Canvas, sheet: Sheet) -> list[Item]:
    """Return the marks of a sheet with their meaning."""
    measured = [entry for entry in sheet.entries if entry.measured]
    items: list[Item] = [(None, "Grey shows lightness L* alone.")]
    for mark in Mark:
        known = [entry.uncertainty or 0.0 for entry in measured if entry.mark is mark]
        if known:
            items.append((mark, f"{MARKS[mark]}, ±{max(known):.0f}"))
    if any(entry.weak for entry in measured):
        items.append((WEAK, "weak: two groups less than 5 apart"))
    if any(entry.straddles for entry in measured):
        items.append((None, "straddles: a print that reaches into two groups"))
    if any(entry.more for entry in measured):
        items.append((None, "+2: two more pieces of it"))
    if any(MISSING in canvas.shown(entry.name) for entry in sheet.entries):
        items.append((None, f"{MISSING}: signs this typeface does not have"))
    return items


def legend_lines(canvas: Canvas, items: Sequence[Item], width: float) -> int:
    """Return how many lines the legend takes."""
    return len(_lines(canvas, items, width))


def draw_legend(canvas: Canvas, items: Sequence[Item], x: float, y: float, width: float) -> None:
    """Write the legend from (x, y) down."""
    baseline = y + 12
    for line in _lines(canvas, items, width):
        place = x
        for mark, words in line:
            _draw_item(canvas, mark, words, place, baseline)
            place += _width(canvas, mark, words) + BETWEEN
        baseline += LEGEND_LINE


def _draw_item(
    canvas: Canvas, mark: Mark | str | None, words: str, x: float, baseline: float
) -> None:
    if isinstance(mark, Mark):
        draw_mark(canvas, x + 4, baseline - 3.5, 8.0, mark)
    elif mark == WEAK:
        draw_hatched(canvas, x + 1, baseline - 8.5, 8.0, 8.0)
    canvas.text(x + (SIGN if mark else 0.0), baseline, words, SMALL)


def _width(canvas: Canvas, mark: Mark | str | None, words: str) -> float:
    return canvas.width(words, SMALL) + (SIGN if mark else 0.0)


def _lines(canvas: Canvas, items: Sequence[Item], width: float) -> list[list[Item]]:
    """Return the items in lines no wider than `width`."""
    lines: list[list[Item]] = [[]]
    free = width
    for mark, words in items:
        needed = _width(canvas, mark, words)
        if lines[-1] and needed > free:
            lines.append([])
            free = width
        lines[-1].append((mark, words))
        free -= needed + BETWEEN
    return lines
