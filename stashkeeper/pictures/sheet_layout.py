"""Where everything on a sheet stands: arithmetic only, nothing is drawn here.

One page where the swatches stay large enough for it; else as few pages as a small swatch allows,
and then the largest swatch that needs no further page.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.pictures.paper import whole_dots
from stashkeeper.pictures.placing import spread_out
from stashkeeper.pictures.sheet import Group, SheetEntry

BETWEEN_COLUMNS: Final = 8.0
BETWEEN_TWINS: Final = 2.0
BELOW_ROW: Final = 8.0
HEADING: Final = 32.0
BETWEEN_GROUPS: Final = 16.0
FIRST_LINE: Final = 18.0
NEXT_LINE: Final = 13.0
LARGEST_WIDTH: Final = 256.0
SMALLEST_WIDTH: Final = 56.0
SMALLEST_HEIGHT: Final = 36.0
MOST_COLUMNS: Final = 8
SHAPE: Final = 1.6
TALLEST_SHAPE: Final = 1.2
HEIGHT_STEP: Final = 2.0


@dataclass(frozen=True, slots=True)
class Room:
    """The part of a page the groups may fill, in px from its top left corner."""

    left: float
    top: float
    width: float
    bottom: float

    @property
    def height(self) -> float:
        """How high it is."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Grid:
    """The rhythm of the swatches.

    Attributes:
        columns: how many stand side by side.
        width, height: of one swatch, whole dots; its grey twin is as large.
        lines: of type below it.
    """

    columns: int
    width: float
    height: float
    lines: int

    @property
    def caption(self) -> float:
        """How high the type below a swatch is."""
        return FIRST_LINE + (self.lines - 1) * NEXT_LINE

    @property
    def row(self) -> float:
        """From one row to the next."""
        return 2 * self.height + BETWEEN_TWINS + self.caption + BELOW_ROW

    def rows(self, count: int) -> int:
        """How many rows a group of so many entries takes."""
        return math.ceil(count / self.columns)

    @property
    def looks(self) -> float:
        """How well cloth shows: its area, less for what is wider than SHAPE times its height."""
        shapely = min(self.width, SHAPE * self.height)
        return (shapely - 0.25 * (self.width - shapely)) * self.height

    def in_a_row(self, count: int) -> int:
        """How many of a group's entries stand in one row; two rows are shared out evenly."""
        return math.ceil(count / 2) if self.rows(count) == 2 else self.columns

    def rows_in(self, height: float) -> int:
        """How many rows a group may have in a height; −1 where not even its heading fits."""
        if height < self.block(0):
            return -1
        return int((height - HEADING + BELOW_ROW) // self.row)

    def block(self, rows: int) -> float:
        """How high a group of so many rows is; a group without any says so in one line."""
        return HEADING + (rows * self.row - BELOW_ROW if rows else 24.0)


@dataclass(frozen=True, slots=True)
class Tile:
    """One entry, and the top left corner of its swatch."""

    entry: SheetEntry
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Block:
    """A group, or the part of it that is on one page.

    Attributes:
        group: all of the group.
        top: where its heading begins.
        continued: whether it began on an earlier page.
        tiles: its swatches on this page.
    """

    group: Group
    top: float
    continued: bool
    tiles: tuple[Tile, ...]


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """The grid, and the blocks of each page."""

    grid: Grid
    pages: tuple[tuple[Block, ...], ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """Rows `first` to before `end` of a group, on one page."""

    group: int
    first: int
    end: int


def lay_out(
    groups: Sequence[Group],
    lines: int,
    first: Room,
    later: Room,
    beside: Callable[[Group], float],
) -> SheetLayout:
    """Return where all groups stand.

    Args:
        groups: from light to dark.
        lines: of type below a swatch.
        first: the room of the first page.
        later: the room of every further page, as wide.
        beside: the y where a group would best have its middle: at its stretch of the rule.
    """
    counts = [len(group.entries) for group in groups]
    grid, pages = _best(counts, lines, first, later)
    if len(pages) == 1:
        tops = _tops_beside(groups, grid, first, beside)
        return SheetLayout(grid, (_blocks(groups, grid, first.left, pages[0], tops),))
    laid = []
    for number, parts in enumerate(pages):
        room = later if number else first
        laid.append(_blocks(groups, grid, room.left, parts, _tops_packed(grid, room.top, parts)))
    return SheetLayout(grid, tuple(laid))


def _best(
    counts: Sequence[int], lines: int, first: Room, later: Room
) -> tuple[Grid, list[list[_Part]]]:
    """Return the grid that needs the fewest pages, and of those the largest swatches."""
    best: tuple[tuple[int, float, float], Grid, list[list[_Part]]] | None = None
    for grid in _grids(lines, first.width):
        pages = _flow(counts, grid, first, later)
        rank = (len(pages), -grid.looks, -grid.width)
        if best is None or rank < best[0]:
            best = rank, grid, pages
    assert best is not None
    return best[1], best[2]


def _grids(lines: int, width: float) -> Iterator[Grid]:
    """Yield every grid worth trying: no swatch much higher than wide, none too small to see."""
    for columns in range(1, MOST_COLUMNS + 1):
        column = whole_dots((width - (columns - 1) * BETWEEN_COLUMNS) / columns)
        column = min(column, LARGEST_WIDTH)
        if column < SMALLEST_WIDTH:
            return
        highest = min(TALLEST_SHAPE * column, LARGEST_WIDTH)
        for step in range(int((highest - SMALLEST_HEIGHT) // HEIGHT_STEP) + 1):
            yield Grid(columns, column, SMALLEST_HEIGHT + step * HEIGHT_STEP, lines)


def _flow(counts: Sequence[int], grid: Grid, first: Room, later: Room) -> list[list[_Part]]:
    """Return which rows of which group each page holds; a heading never stands alone."""
    pages: list[list[_Part]] = [[]]
    free = first.height
    for group, count in enumerate(counts):
        rows, done = grid.rows(count), 0
        while True:
            fitting = grid.rows_in(free - (BETWEEN_GROUPS if pages[-1] else 0.0))
            if min(rows - done, 1) <= fitting:
                end = min(rows, done + fitting)
                free -= grid.block(end - done) + (BETWEEN_GROUPS if pages[-1] else 0.0)
                pages[-1].append(_Part(group, done, end))
                done = end
                if done == rows:
                    break
            pages.append([])
            free = later.height
    return pages


def _tops_beside(
    groups: Sequence[Group], grid: Grid, room: Room, beside: Callable[[Group], float]
) -> list[float]:
    """Return the top of each group of a single page, near its stretch of the rule."""
    heights = [grid.block(grid.rows(len(group.entries))) for group in groups]
    middles = [beside(group) for group in groups]
    tops = spread_out(middles, heights, BETWEEN_GROUPS, room.top, room.bottom)
    return [whole_dots(top) for top in tops]


def _tops_packed(grid: Grid, top: float, parts: Sequence[_Part]) -> list[float]:
    """Return the top of each part of a page, one after the other."""
    tops = []
    for part in parts:
        tops.append(whole_dots(top))
        top += grid.block(part.end - part.first) + BETWEEN_GROUPS
    return tops


def _blocks(
    groups: Sequence[Group], grid: Grid, left: float, parts: Sequence[_Part], tops: Sequence[float]
) -> tuple[Block, ...]:
    blocks = []
    for part, top in zip(parts, tops, strict=True):
        group = groups[part.group]
        columns = grid.in_a_row(len(group.entries))
        shown = group.entries[part.first * columns : part.end * columns]
        tiles = tuple(
            Tile(
                entry,
                left + index % columns * (grid.width + BETWEEN_COLUMNS),
                whole_dots(top + HEADING + index // columns * grid.row),
            )
            for index, entry in enumerate(shown)
        )
        blocks.append(Block(group, top, part.first > 0, tiles))
    return tuple(blocks)
