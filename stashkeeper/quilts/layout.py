"""A layout: a grid of units, each patch with the role its fabric plays."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.cloth.value import Value
from stashkeeper.quilts.shapes import GRAIN, Point, Shape, UnitKind

LONGEST_SIDE: Final = 1000
"""No grid has more columns or rows (ours)."""

OWN_SET: Final = 0
"""The set of a role that belongs to a set of its own in every repeat, before it is repeated."""


@dataclass(frozen=True, slots=True)
class Role:
    """What a fabric is for in a layout.

    Attributes:
        name: in the quilter's words, such as `star`.
        set_number: the set the fabric is taken from, counted from 1; None outside sets. Roles of
            one set are to look as if they belong together.
    """

    name: str
    set_number: int | None = None

    def __lt__(self, other: "Role") -> bool:
        return (self.name, _set(self)) < (other.name, _set(other))

    def __str__(self) -> str:
        if self.set_number is None:
            return self.name
        number = "own set" if self.set_number == OWN_SET else f"set {self.set_number}"
        return f"{self.name} ({number})"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its shape, the role of each patch, and how many columns and rows it covers."""

    shape: Shape
    roles: tuple[Role, ...]
    columns: int = 1
    rows: int = 1

    @property
    def kind(self) -> UnitKind:
        """What it is called: a square that is longer than wide is a rectangle."""
        if self.shape.kind is UnitKind.SQUARE and self.columns != self.rows:
            return UnitKind.RECTANGLE
        return self.shape.kind


@dataclass(frozen=True, slots=True)
class Placed:
    """A unit and the column and row (from 0) of its top left cell."""

    unit: Unit
    column: int
    row: int


class Growth(StrEnum):
    """How a layout grows to any size, in the words of a layout file."""

    REPEAT = "repeat"
    """Whole blocks are repeated side by side."""
    RUN_ON = "run on"
    """The pattern goes on and may stop at any unit."""
    FROM_THE_MIDDLE = "from the middle"
    """The pattern runs on outwards from the middle, mirrored into all four quarters."""
    ENLARGE = "enlarge"
    """Every unit is built from more units of the same size, so that the picture grows."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How the blocks of a quilt on point lie in its grid.

    The grid is drawn turned: its columns run to the lower right, its rows to the lower left.

    Attributes:
        across, down: whole blocks along the top and along the side of the quilt.
        block: columns (and rows) of one block.
    """

    across: int
    down: int
    block: int


@dataclass(frozen=True, slots=True)
class Layout:
    """A grid of units.

    Attributes:
        name: what it is called.
        columns, rows: the size of the grid in cells.
        placed: every unit, from top left to bottom right.
        values: the value wished for each role by its name, in the order of the file; None where
            any will do.
        growth: how it grows to any size.
        around: the role that fills what growing leaves over.
        sash_columns, sash_rows: the columns and rows that are as narrow as the sashing.
        setting: how blocks on point lie in the grid; None where they stand straight.
        about: a sentence on where it comes from or what it is good for.
    """

    name: str
    columns: int
    rows: int
    placed: tuple[Placed, ...]
    values: tuple[tuple[str, Value | None], ...] = ()
    growth: Growth = Growth.REPEAT
    around: Role | None = None
    sash_columns: frozenset[int] = frozenset()
    sash_rows: frozenset[int] = frozenset()
    setting: Setting | None = None
    about: str = ""


@dataclass(frozen=True, slots=True)
class Patch:
    """One patch of a layout: its role, and its outline in twelfths of a cell, clockwise."""

    role: Role
    outline: tuple[Point, ...]
    placed: Placed


def units_used(layout: Layout) -> dict[int, Unit]:
    """Return the units of a layout by their identity, in the order they first appear.

    A grid of 500 × 500 places few units often: to tell them by identity spares comparing them.
    Equal units may be there more than once.
    """
    return {id(placed.unit): placed.unit for placed in layout.placed}


def roles(layout: Layout) -> tuple[Role, ...]:
    """Return every role that a layout uses, in the order of its file, then by set."""
    order = {name: at for at, (name, _) in enumerate(layout.values)}
    used = {role for unit in units_used(layout).values() for role in unit.roles}
    return tuple(
        sorted(used, key=lambda role: (order.get(role.name, len(order)), role.name, _set(role)))
    )


def unit_counts(layout: Layout) -> Counter[UnitKind]:
    """Return how many units of each kind a layout has."""
    return Counter(placed.unit.kind for placed in layout.placed)


def patches(layout: Layout) -> Iterator[Patch]:
    """Yield every patch of a layout."""
    for placed in layout.placed:
        unit = placed.unit
        for role, outline in zip(unit.roles, unit.shape.patches, strict=True):
            yield Patch(role, tuple(at(placed, point) for point in outline), placed)


def at(placed: Placed, point: Point) -> Point:
    """Return where a point of a unit's shape lies in the layout, in twelfths of a cell."""
    x, y = point
    return (
        placed.column * GRAIN + x * placed.unit.columns,
        placed.row * GRAIN + y * placed.unit.rows,
    )


def owners(layout: Layout) -> list[list[int]]:
    """Return for every row and column the number of the unit that covers the cell; -1 for none."""
    grid = [[-1] * layout.columns for _ in range(layout.rows)]
    for number, placed in enumerate(layout.placed):
        right = placed.column + placed.unit.columns
        for row in range(placed.row, placed.row + placed.unit.rows):
            grid[row][placed.column : right] = [number] * placed.unit.columns
    return grid


def _set(role: Role) -> int:
    return -1 if role.set_number is None else role.set_number
