"""Lines between patches: each drawn once, however many patches lie along it."""

import math
from collections.abc import Iterable, Iterator, Sequence

from stashkeeper.pictures.patchwork import Line, Point

type Corner = tuple[int, int]


def outlines(polygons: Iterable[Sequence[Corner]]) -> Iterator[tuple[Corner, Corner]]:
    """Yield the lines that some polygons with whole corners have, those in a row as one."""
    along: dict[tuple[int, int, int], list[tuple[int, int]]] = {}
    for polygon in polygons:
        for start, end in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
            if start != end:
                key, low, high = _on_line(start, end)
                along.setdefault(key, []).append((low, high))
    for (a, b, c), stretches in along.items():
        for low, high in _joined(stretches):
            yield _at(a, b, c, low), _at(a, b, c, high)


def _on_line(start: Corner, end: Corner) -> tuple[tuple[int, int, int], int, int]:
    """Return the line a·x + b·y = c through two corners, and where along it they lie."""
    a, b = end[1] - start[1], start[0] - end[0]
    shared = math.gcd(a, b)
    a, b = a // shared, b // shared
    if (a, b) < (0, 0):
        a, b = -a, -b
    places = sorted(-b * x + a * y for x, y in (start, end))
    return (a, b, a * start[0] + b * start[1]), places[0], places[1]


def _at(a: int, b: int, c: int, place: int) -> Corner:
    """Return the corner at a place along a line."""
    square = a * a + b * b
    return (a * c - b * place) // square, (b * c + a * place) // square


def _joined(stretches: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    stretches.sort()
    low, high = stretches[0]
    for begin, end in stretches[1:]:
        if begin > high:
            yield low, high
            low, high = begin, end
        high = max(high, end)
    yield low, high


def hatched(line: Line, width: float, step: float) -> Iterator[Line]:
    """Yield short strokes that slant across a line, about `step` apart, over a band of a width."""
    (x1, y1), (x2, y2) = line
    length = math.hypot(x2 - x1, y2 - y1)
    count = max(1, int(length // step))
    along, across = (x2 - x1) / max(length, 1e-9), (y2 - y1) / max(length, 1e-9)
    reach = width / 2
    # Half along the line and half across it: a stroke at 45°, whichever way the seam runs.
    right, down = (along + across) * reach, (across - along) * reach
    for number in range(count):
        share = (number + 0.5) / count
        x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
        yield (x - right, y - down), (x + right, y + down)


def middle_of(line: Line) -> Point:
    """Return the middle of a line."""
    (x1, y1), (x2, y2) = line
    return (x1 + x2) / 2, (y1 + y2) / 2
