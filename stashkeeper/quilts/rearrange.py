"""Layouts turned, mirrored, repeated and with their roles exchanged."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache

from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.quilts.layout import (
    LONGEST_SIDE,
    OWN_SET,
    Layout,
    Placed,
    Role,
    Setting,
    Unit,
    units_used,
)
from stashkeeper.quilts.sewing import whole_number
from stashkeeper.quilts.shapes import Moved, mirrored_shape, turned_shape


def turned(layout: Layout, quarters: int = 1) -> Layout:
    """Return a layout turned clockwise by so many quarter turns."""
    for _ in range(quarters % 4):
        layout = _turned_once(layout)
    return layout


def mirrored(layout: Layout) -> Layout:
    """Return a layout as a mirror shows it, left and right exchanged."""
    swapped = replace(
        layout,
        placed=in_reading_order(
            Placed(_mirrored_unit(here.unit), _far(layout.columns, here.column, here), here.row)
            for here in layout.placed
        ),
        sash_columns=frozenset(layout.columns - 1 - column for column in layout.sash_columns),
    )
    # On point the grid itself stands at 45°, so left and right are its two diagonal ends.
    return (
        swapped if layout.setting is None else replace(turned(swapped, 3), setting=layout.setting)
    )


def exchanged(layout: Layout, one: str, other: str) -> Layout:
    """Return a layout in which two roles, by their names, have changed places.

    Raises:
        BadRequestError: the layout has no role of this name.
    """
    names = {role.name for placed in layout.placed for role in placed.unit.roles}
    for name in (one, other):
        if name not in names:
            raise BadRequestError(
                f"The layout has no role {quoted(name)}.",
                f"Its roles are {', '.join(sorted(names))}.",
            )
    swap = {one: other, other: one}
    return with_roles(layout, lambda role: replace(role, name=swap.get(role.name, role.name)))


def repeated(layout: Layout, across: int, down: int) -> Layout:
    """Return a layout of `across` × `down` copies; a role of its own set gets one in each copy.

    Raises:
        BadSizeError: no copies, or a grid beyond a thousand cells a side.
        BadRequestError: the layout is already sashed or set on point.
    """
    plain(layout)
    columns, rows = layout.columns * across, layout.rows * down
    whole_number(columns, "columns", 1, LONGEST_SIDE)
    whole_number(rows, "rows", 1, LONGEST_SIDE)
    first = _first_free_set(layout)
    has_own = any(
        role.set_number == OWN_SET for unit in units_used(layout).values() for role in unit.roles
    )
    copies = (
        placed
        for row in range(down)
        for column in range(across)
        for placed in _copy(layout, column, row, first + row * across + column if has_own else None)
    )
    return replace(layout, columns=columns, rows=rows, placed=in_reading_order(copies))


def with_roles(layout: Layout, change: Callable[[Role], Role]) -> Layout:
    """Return a layout with every role changed."""
    units = {
        number: replace(unit, roles=tuple(change(role) for role in unit.roles))
        for number, unit in units_used(layout).items()
    }
    placed = (Placed(units[id(here.unit)], here.column, here.row) for here in layout.placed)
    return replace(layout, placed=tuple(placed))


def plain(layout: Layout) -> Layout:
    """Return the layout if it is a plain grid.

    Raises:
        BadRequestError: it has sashing, or stands on point.
    """
    if layout.setting is None and not layout.sash_columns and not layout.sash_rows:
        return layout
    raise BadRequestError(
        "The layout already has sashing, or stands on point.",
        "Repeat or enlarge the block first, then add sashing or set it on point.",
    )


def in_reading_order(placed: Iterable[Placed]) -> tuple[Placed, ...]:
    """Return units from top left to bottom right."""
    return tuple(sorted(placed, key=lambda here: (here.row, here.column)))


def shifted(placed: Iterable[Placed], columns: int, rows: int) -> Iterable[Placed]:
    """Yield units moved to the right and down."""
    return (Placed(here.unit, here.column + columns, here.row + rows) for here in placed)


def _turned_once(layout: Layout) -> Layout:
    setting = layout.setting
    return replace(
        layout,
        columns=layout.rows,
        rows=layout.columns,
        placed=in_reading_order(
            Placed(turned_unit(here.unit), layout.rows - here.row - here.unit.rows, here.column)
            for here in layout.placed
        ),
        sash_columns=frozenset(layout.rows - 1 - row for row in layout.sash_rows),
        sash_rows=layout.sash_columns,
        setting=setting and Setting(setting.down, setting.across, setting.block),
    )


def _far(columns: int, column: int, here: Placed) -> int:
    return columns - column - here.unit.columns


@lru_cache(maxsize=4096)
def turned_unit(unit: Unit) -> Unit:
    """Return a unit turned by a quarter, clockwise."""
    return _moved(unit, turned_shape(unit.shape), unit.rows, unit.columns)


@lru_cache(maxsize=4096)
def _mirrored_unit(unit: Unit) -> Unit:
    return _moved(unit, mirrored_shape(unit.shape), unit.columns, unit.rows)


def _moved(unit: Unit, moved: Moved, columns: int, rows: int) -> Unit:
    return Unit(moved.shape, tuple(unit.roles[patch] for patch in moved.order), columns, rows)


def _first_free_set(layout: Layout) -> int:
    used = {role.set_number or 0 for placed in layout.placed for role in placed.unit.roles}
    return max(used, default=0) + 1


def _copy(layout: Layout, column: int, row: int, own_set: int | None) -> Iterable[Placed]:
    """Yield a copy of a block, roles of their own set in the set given; None where it has none."""

    def own(role: Role) -> Role:
        return replace(role, set_number=own_set) if role.set_number == OWN_SET else role

    copied = layout.placed if own_set is None else with_roles(layout, own).placed
    return shifted(copied, column * layout.columns, row * layout.rows)
