"""Where the lines of a layout's grid lie, once its units have a size."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.layout import Layout
from stashkeeper.quilts.sewing import checked
from stashkeeper.quilts.shapes import GRAIN, Point


@dataclass(frozen=True, slots=True)
class Lines:
    """The grid lines of a layout, finished, in ticks from the top left corner.

    Attributes:
        upright: where each upright line lies, one more than there are columns.
        level: where each level line lies, one more than there are rows.
    """

    upright: tuple[int, ...]
    level: tuple[int, ...]

    @property
    def size(self) -> Size:
        """The finished size of the grid."""
        return Size(Length(self.upright[-1]), Length(self.level[-1]))

    def place(self, point: Point) -> tuple[int, int]:
        """Return where a point in twelfths of a cell lies, in ticks, rounded down."""
        return _along(self.upright, point[0]), _along(self.level, point[1])


def lines(layout: Layout, unit: Length, sash: Length | None = None) -> Lines:
    """Return the lines of a layout whose cells finish `unit` wide and long.

    Raises:
        BadSizeError: a unit or sash that no quilt has, or a quilt beyond forty yards.
    """
    checked(unit, "unit")
    narrow = unit if sash is None else checked(sash, "sash")
    made = Lines(
        _sums(layout.columns, layout.sash_columns, unit, narrow),
        _sums(layout.rows, layout.sash_rows, unit, narrow),
    )
    checked(made.size.width, "quilt")
    checked(made.size.length, "quilt")
    return made


def _sums(count: int, narrow: frozenset[int], unit: Length, sash: Length) -> tuple[int, ...]:
    widths = (sash.ticks if at in narrow else unit.ticks for at in range(count))
    return tuple(accumulate(widths, initial=0))


def _along(at: Sequence[int], position: int) -> int:
    cell, part = divmod(position, GRAIN)
    if not part:
        return at[cell]
    return at[cell] + (at[cell + 1] - at[cell]) * part // GRAIN
