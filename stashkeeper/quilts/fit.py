"""Size to fit: from the bed (units and borders), or from the cloth (the largest unit)."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.quilt import Part, Quilt, finished_size, parts
from stashkeeper.quilts.sewing import checked

type CanHave = Callable[[Role, Size], int]
"""Answers how many cuts of a size the cloth of a role gives."""

HALF_INCH: Final = Length.from_inches("1/2")
"""The step in which a quilter changes a unit (ours)."""

NARROWEST_BORDER: Final = Length.from_inches(1)
"""A narrower border is hardly worth sewing (ours)."""


@dataclass(frozen=True, slots=True)
class BedFit:
    """Units and borders that together cover a bed.

    Attributes:
        columns, rows: the cells of the grid, whole blocks.
        unit: the finished side of a cell.
        side_border: finished width of the borders left and right; zero for none.
        end_border: finished width of the borders at top and bottom; zero for none.
        finished: the finished size, never below the one wished.
    """

    columns: int
    rows: int
    unit: Length
    side_border: Length
    end_border: Length
    finished: Size


@dataclass(frozen=True, slots=True)
class ClothFit:
    """The largest unit that the chosen cloth allows.

    Attributes:
        unit: its finished side.
        quilt: the quilt made of it.
        finished: the finished size of that quilt.
        short: the parts that stop the next larger unit, with how many of each can be had; empty
            if the largest size asked for can be made.
    """

    unit: Length
    quilt: Quilt
    finished: Size
    short: tuple[tuple[Part, int], ...]


def fit_with_units(
    cover: Size, unit: Length, block: tuple[int, int] = (1, 1), border: Length | None = None
) -> BedFit:
    """Return the fewest whole blocks that, with a border of this width, cover the size wished.

    Args:
        cover: the finished size wished.
        unit: the finished side of a cell.
        block: columns and rows that must stay together.
        border: finished width all around; none where None.

    Raises:
        BadSizeError: sizes that no quilt has.
    """
    edge = border or Length(0)
    columns = _blocks(cover.width - edge * 2, unit, block[0], Rounding.UP)
    rows = _blocks(cover.length - edge * 2, unit, block[1], Rounding.UP)
    return _bed_fit(columns, rows, unit, edge, edge)


def fit_with_borders(
    cover: Size,
    unit: Length,
    mark: Length,
    block: tuple[int, int] = (1, 1),
    narrowest: Length = NARROWEST_BORDER,
) -> BedFit:
    """Return the most whole blocks inside the size wished, and borders that make up the rest.

    Borders are rounded up to a ruler mark, and are either absent or at least `narrowest` wide; a
    block is left out where less would remain.

    Raises:
        BadSizeError: sizes that no quilt has, or blocks larger than the size wished.
    """
    columns, side = _inside(cover.width, unit, mark, block[0], narrowest)
    rows, end = _inside(cover.length, unit, mark, block[1], narrowest)
    return _bed_fit(columns, rows, unit, side, end)


def largest_unit(
    quilt_of: Callable[[Length], Quilt],
    can_have: CanHave,
    smallest: Length,
    largest: Length,
    step: Length = HALF_INCH,
) -> ClothFit | None:
    """Return the largest unit, in steps, at which the cloth gives every part; None if none does.

    Each part is asked for alone; whether all come out of the same cloth together, a cutting plan
    must prove. Halves the range, because larger cuts never come out more often.

    Args:
        quilt_of: makes the quilt for a unit.
        can_have: answers how many cuts of a size a role's cloth gives.
        smallest: the smallest unit worth making; larger ones are whole steps above it.
        largest: no unit above this.
        step: by how much units differ.

    Raises:
        BadSizeError: sizes that no quilt has, or a range that runs backwards.
    """
    checked(smallest, "unit")
    if step.ticks <= 0 or largest < smallest:
        raise BadSizeError(
            "The largest unit is smaller than the smallest.", "Give a range such as 2 in to 12 in."
        )
    low, high = -1, (largest - smallest) // step
    while low < high:
        middle = (low + high + 1) // 2
        if _short(quilt_of(smallest + step * middle), can_have):
            high = middle - 1
        else:
            low = middle
    if low < 0:
        return None
    unit = smallest + step * low
    last = unit + step > largest
    short = () if last else _short(quilt_of(unit + step), can_have)
    return ClothFit(unit, quilt_of(unit), finished_size(quilt_of(unit)), short)


def _short(quilt: Quilt, can_have: CanHave) -> tuple[tuple[Part, int], ...]:
    """Return the parts that the cloth does not give, with how many of each it gives."""
    had = ((part, can_have(part.role, part.cut.size)) for part in parts(quilt))
    return tuple((part, count) for part, count in had if count < part.cut.count)


def _blocks(wished: Length, unit: Length, together: int, rounding: Rounding) -> int:
    block = checked(unit, "unit") * together
    if block.ticks <= 0:
        raise BadSizeError("A block has no units.", "Give a block such as 3 x 3 units.")
    if wished.ticks <= 0:
        raise BadSizeError(
            "The borders leave no room for units.", "Give narrower borders, or a larger size."
        )
    return (wished.rounded_to(block, rounding) // block) * together


def _inside(
    wished: Length, unit: Length, mark: Length, together: int, narrowest: Length
) -> tuple[int, Length]:
    count = _blocks(wished, unit, together, Rounding.DOWN)
    left = wished - unit * count
    if left and left < narrowest * 2:
        count -= together
        left = wished - unit * count
    if count <= 0:
        raise BadSizeError(
            "Not one block fits inside that size.", "Give a smaller unit, or a larger size."
        )
    return count, Length(-(-left.ticks // 2)).rounded_to(mark, Rounding.UP)


def _bed_fit(columns: int, rows: int, unit: Length, side: Length, end: Length) -> BedFit:
    finished = Size(unit * columns + side * 2, unit * rows + end * 2)
    checked(finished.width, "quilt")
    checked(finished.length, "quilt")
    return BedFit(columns, rows, unit, side, end, finished)
