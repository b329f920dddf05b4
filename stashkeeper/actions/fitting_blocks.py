"""Blocks with sashing, or on point, fitted to a size: so many of them, or of another unit.

How wide such a quilt is grows evenly with the number of its blocks, and with its unit, so two sizes
tell all of them.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from stashkeeper.actions.making import quilt_of
from stashkeeper.actions.quilt_subject import Subject
from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.fit import NARROWEST_BORDER, BedFit
from stashkeeper.quilts.layout_file import read_layout
from stashkeeper.quilts.quilt import centre_size

type SizeOf = Callable[[int, int], Size]
"""The size, without borders, of so many blocks across and down."""

MOST_BLOCKS = 1000
"""No quilt has more blocks side by side."""


@dataclass(frozen=True, slots=True)
class BlockFits:
    """A quilt of set blocks, fitted to a size.

    Attributes:
        whole: the fewest blocks that cover it, with the border wished.
        framed: the most blocks inside it, and borders that make up the rest; None if none fit.
        measured: as many blocks as now, of the smallest unit that covers it; None for one block.
    """

    whole: BedFit
    framed: BedFit | None
    measured: BedFit | None


def fit_blocks(subject: Subject, wished: Size, edge: Length, mark: Length) -> BlockFits:
    """Return a sashed quilt, or one on point, fitted to a size.

    Args:
        subject: the quilt.
        wished: the size it must reach.
        edge: finished width of a border all around; zero for none.
        mark: the ruler mark that borders and units are whole multiples of.

    Raises:
        BadSizeError: borders that leave no room, or a quilt of a size that none has.
    """
    inside = Size(wished.width - edge * 2, wished.length - edge * 2)
    if min(inside.width.ticks, inside.length.ticks) <= 0:
        raise BadSizeError(
            "The borders leave no room for blocks.", "Give narrower borders, or a larger size."
        )
    block, unit = _block(subject), subject.quilt.unit
    size_of = _sizes(subject, block, unit)
    widths = size_of(1, 1).width, size_of(2, 2).width
    lengths = size_of(1, 1).length, size_of(2, 2).length
    across, down = _reaching(inside.width, *widths), _reaching(inside.length, *lengths)
    whole = _fit(size_of(across, down), (across * block[0], down * block[1]), unit, edge, edge)
    return BlockFits(
        whole, _framed(wished, mark, size_of, block, unit), _measured(subject, inside, edge, mark)
    )


def _block(subject: Subject) -> tuple[int, int]:
    layout = read_layout(subject.text)
    turned = subject.making.turned % 2
    return (layout.rows, layout.columns) if turned else (layout.columns, layout.rows)


def _sizes(subject: Subject, block: tuple[int, int], unit: Length) -> SizeOf:
    def size_of(across: int, down: int) -> Size:
        making = replace(
            subject.making, unit=unit, columns=across * block[0], rows=down * block[1], borders=()
        )
        return centre_size(quilt_of(subject.text, making, subject.quilt.strip_length))

    return size_of


def _reaching(wished: Length, one: Length, two: Length) -> int:
    """Return the fewest blocks that are at least as long as wished."""
    step = max((two - one).ticks, 1)
    return min(MOST_BLOCKS, max(1, 1 - ((one - wished).ticks // step)))


def _framed(
    wished: Size, mark: Length, size_of: SizeOf, block: tuple[int, int], unit: Length
) -> BedFit | None:
    """Return the most blocks inside a size; borders are absent or not too narrow to sew."""
    one, two = size_of(1, 1), size_of(2, 2)
    counts, borders = [], []
    for want, first, second in (
        (wished.width, one.width, two.width),
        (wished.length, one.length, two.length),
    ):
        step = max((second - first).ticks, 1)
        count = 1 + (want - first).ticks // step
        left = want - first - Length(step * (count - 1))
        if left and left < NARROWEST_BORDER * 2:
            count, left = count - 1, left + Length(step)
        if count < 1:
            return None
        counts.append(count)
        borders.append(Length(-(-left.ticks // 2)).rounded_to(mark, Rounding.UP))
    grid = counts[0] * block[0], counts[1] * block[1]
    return _fit(size_of(*counts), grid, unit, borders[0], borders[1])


def _measured(subject: Subject, inside: Size, edge: Length, mark: Length) -> BedFit | None:
    """Return the blocks there are now with the smallest unit that covers a size."""
    columns, rows = subject.making.columns, subject.making.rows
    if not columns or not rows:
        return None

    def size_with(unit: Length) -> Size:
        making = replace(subject.making, unit=unit, borders=())
        return centre_size(quilt_of(subject.text, making, subject.quilt.strip_length))

    small, twice = size_with(mark * 8), size_with(mark * 16)
    steps: list[int] = []
    for want, one, two in (
        (inside.width, small.width, twice.width),
        (inside.length, small.length, twice.length),
    ):
        steps.append(-(-8 * (want - one).ticks // max((two - one).ticks, 1)))
    unit = mark * max(1, 8 + max(steps))
    while not size_with(unit).holds(inside, turning=False):
        unit += mark
    return _fit(size_with(unit), (columns, rows), unit, edge, edge)


def _fit(size: Size, grid: tuple[int, int], unit: Length, side: Length, end: Length) -> BedFit:
    finished = Size(size.width + side * 2, size.length + end * 2)
    return BedFit(grid[0], grid[1], unit, side, end, finished)
