"""What is written and drawn inside a diagram: words where there is room, dashes, arrows."""

from collections.abc import Iterator, Sequence
from typing import Final

from stashkeeper.pictures.canvas import Canvas
from stashkeeper.pictures.diagram_view import Spot
from stashkeeper.pictures.greys import BLACK

NAME_SIZES: Final = (28.0, 21.0, 16.0, 13.0, 10.0)
SIZE_SIZES: Final = (16.0, 13.0, 11.0, 9.0)


def write_inside(
    canvas: Canvas, spot: Spot, words: tuple[str, str], taken: Sequence[Spot]
) -> Iterator[Spot]:
    """Write a name and below it a size as large as there is room; only the name where it is not."""
    for lines in (words, words[:1]):
        for name_size, size_size in zip(NAME_SIZES, (*SIZE_SIZES, SIZE_SIZES[-1]), strict=True):
            sizes = (name_size, size_size)[: len(lines)]
            widest = max(
                canvas.width(line, size, bold=number == 0)
                for number, (line, size) in enumerate(zip(lines, sizes, strict=True))
            )
            height = sum(sizes) * 1.1
            block = _free(spot, widest + 4, height, taken)
            if block is None:
                continue
            _write_block(canvas, block, lines, sizes)
            yield block
            return


def _write_block(canvas: Canvas, block: Spot, lines: Sequence[str], sizes: Sequence[float]) -> None:
    baseline = block.y
    for number, (line, size) in enumerate(zip(lines, sizes, strict=True)):
        bold = number == 0
        baseline += size * (0.9 if number == 0 else 1.15)
        left = block.x + (block.width - canvas.width(line, size, bold)) / 2
        canvas.text(left, baseline, line, size, bold)


def _free(spot: Spot, width: float, height: float, taken: Sequence[Spot]) -> Spot | None:
    """Return where in a rectangle a block of words has room clear of what is there, or None."""
    if width > spot.width - 4 or height > spot.height - 3:
        return None
    for down in (0.5, 0.35, 0.65, 0.1, 0.9):
        for right in (0.5, 0.7, 0.3, 0.95, 0.05):
            block = Spot(
                spot.x + 2 + (spot.width - 4 - width) * right,
                spot.y + 1.5 + (spot.height - 3 - height) * down,
                width,
                height,
            )
            if not any(block.meets(one) for one in taken):
                return block
    return None


def draw_dashed(canvas: Canvas, spot: Spot) -> None:
    """Draw a dashed outline just inside a rectangle: it goes back on the shelf."""
    if min(spot.width, spot.height) < 10:
        return
    left, top = spot.x + 4, spot.y + 4
    right, bottom = spot.x + spot.width - 4, spot.y + spot.height - 4
    for start in _steps(left, right):
        end = min(start + 6, right)
        canvas.line((start, top), (end, top), 1.2, BLACK)
        canvas.line((start, bottom), (end, bottom), 1.2, BLACK)
    for start in _steps(top, bottom):
        end = min(start + 6, bottom)
        canvas.line((left, start), (left, end), 1.2, BLACK)
        canvas.line((right, start), (right, end), 1.2, BLACK)


def _steps(start: float, end: float) -> Iterator[float]:
    at = start
    while at < end:
        yield at
        at += 11


def draw_arrow(canvas: Canvas, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Draw an arrow with heads at both ends, straight up or to the side."""
    canvas.line(start, end, 1.4, BLACK)
    across = start[1] == end[1]
    for (x, y), sign in ((start, 1), (end, -1)):
        way = sign * (4 if across == (start[0] < end[0]) or not across else -4)
        for side in (-3, 3):
            tip = (x + way, y + side) if across else (x + side, y - way)
            canvas.line((x, y), tip, 1.4, BLACK)
