"""Layouts grown to any size, each in its own way."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from stashkeeper.errors import BadRequestError
from stashkeeper.quilts.layout import LONGEST_SIDE, Growth, Layout, Placed, Role, Unit
from stashkeeper.quilts.rearrange import (
    in_reading_order,
    mirrored,
    plain,
    repeated,
    shifted,
    turned,
)
from stashkeeper.quilts.sewing import whole_number
from stashkeeper.quilts.shapes import GRAIN, UnitKind, shape_of

type _Edges = tuple[Role, tuple[tuple[int, int, int, int], ...]]


def grown(layout: Layout, columns: int, rows: int) -> Layout:
    """Return a layout grown to `columns` × `rows` cells, the way its file says.

    Raises:
        BadSizeError: a size of nothing, or beyond a thousand cells a side.
        BadRequestError: a size this layout cannot have; the sentence names one near it.
    """
    plain(layout)
    whole_number(columns, "columns", 1, LONGEST_SIDE)
    whole_number(rows, "rows", 1, LONGEST_SIDE)
    if layout.growth is Growth.FROM_THE_MIDDLE:
        return _from_the_middle(layout, columns, rows)
    if layout.growth is Growth.ENLARGE:
        return _enlarged_to(layout, columns, rows)
    if layout.growth is Growth.REPEAT:
        _only_multiples(layout, columns, rows, layout.columns, layout.rows)
    return _run_on(layout, columns, rows)


def enlarged(layout: Layout, times: int) -> Layout:
    """Return a layout with every unit built from `times` × `times` units of the same size.

    Diagonals run along half-square triangles, so the large picture has the very same lines.

    Raises:
        BadSizeError: not enlarged at all, or beyond a thousand cells a side.
        BadRequestError: bars or a four-patch that so many cells do not divide.
    """
    plain(layout)
    columns, rows = layout.columns * times, layout.rows * times
    whole_number(times, "times", 1, LONGEST_SIDE)
    whole_number(max(columns, rows), "columns and rows", 1, LONGEST_SIDE)
    if times == 1:
        return layout
    placed = (
        Placed(unit, here.column * times + column, here.row * times + row)
        for here in layout.placed
        for unit, column, row in _enlarged_unit(here.unit, times)
    )
    return replace(layout, columns=columns, rows=rows, placed=in_reading_order(placed))


def _run_on(layout: Layout, columns: int, rows: int) -> Layout:
    whole = repeated(layout, -(-columns // layout.columns), -(-rows // layout.rows))
    kept = [here for here in whole.placed if here.column < columns and here.row < rows]
    for here in kept:
        if here.column + here.unit.columns > columns or here.row + here.unit.rows > rows:
            raise _no_such_size(layout, columns, rows, layout.columns, layout.rows)
    return replace(whole, columns=columns, rows=rows, placed=tuple(kept))


def _from_the_middle(layout: Layout, columns: int, rows: int) -> Layout:
    _only_multiples(layout, columns, rows, 2, 2)
    lower_right = _run_on(layout, columns // 2, rows // 2)
    lower_left = mirrored(lower_right)
    upper_left = turned(lower_right, 2)
    upper_right = mirrored(upper_left)
    right, down = columns // 2, rows // 2
    placed = (
        *shifted(upper_left.placed, 0, 0),
        *shifted(upper_right.placed, right, 0),
        *shifted(lower_left.placed, 0, down),
        *shifted(lower_right.placed, right, down),
    )
    return replace(layout, columns=columns, rows=rows, placed=in_reading_order(placed))


def _enlarged_to(layout: Layout, columns: int, rows: int) -> Layout:
    times = min(columns // layout.columns, rows // layout.rows)
    if not times:
        raise _no_such_size(layout, columns, rows, layout.columns, layout.rows)
    middle = enlarged(layout, times)
    right, down = columns - middle.columns, rows - middle.rows
    if right % 2 or down % 2 or ((right or down) and layout.around is None):
        raise _no_such_size(layout, columns, rows, layout.columns, layout.rows)
    placed = [*shifted(middle.placed, right // 2, down // 2)]
    if layout.around is not None:
        placed += _ring(columns, rows, right // 2, down // 2, layout.around)
    return replace(layout, columns=columns, rows=rows, placed=in_reading_order(placed))


def _ring(columns: int, rows: int, across: int, down: int, role: Role) -> Iterator[Placed]:
    square = Unit(shape_of(UnitKind.SQUARE, "whole"), (role,))
    for row in range(rows):
        for column in range(columns):
            inside = across <= column < columns - across and down <= row < rows - down
            if not inside:
                yield Placed(square, column, row)


@lru_cache(maxsize=1024)
def _enlarged_unit(unit: Unit, times: int) -> tuple[tuple[Unit, int, int], ...]:
    columns, rows = unit.columns * times, unit.rows * times
    _divides(unit, columns, rows)
    if unit.shape.kind is UnitKind.SQUARE:
        square = Unit(unit.shape, unit.roles)
        return tuple((square, column, row) for row in range(rows) for column in range(columns))
    made: dict[tuple[Role, ...], Unit] = {}
    edges = _edges(unit, columns, rows)
    cells = []
    for row in range(rows):
        for column in range(columns):
            quarters = tuple(
                _role_at(edges, (6 * column + x) * GRAIN, (6 * row + y) * GRAIN)
                for x, y in ((3, 1), (5, 3), (3, 5), (1, 3))
            )
            small = made.get(quarters) or made.setdefault(quarters, _cell(*quarters))
            cells.append((small, column, row))
    return tuple(cells)


def _cell(top: Role, right: Role, bottom: Role, left: Role) -> Unit:
    """Return the unit of one small cell, from the roles of its four quarter triangles."""
    if top == right == bottom == left:
        return Unit(shape_of(UnitKind.SQUARE, "whole"), (top,))
    if top == left and right == bottom:
        return Unit(shape_of(UnitKind.HALF_SQUARE, "top left", "bottom right"), (top, right))
    if top == right and left == bottom:
        return Unit(shape_of(UnitKind.HALF_SQUARE, "top right", "bottom left"), (top, left))
    quarters = shape_of(UnitKind.QUARTER_SQUARE, "top", "right", "bottom", "left")
    return Unit(quarters, (top, right, bottom, left))


def _edges(unit: Unit, columns: int, rows: int) -> list[_Edges]:
    """Return each role with the edges of its patch: start, and how far to the end.

    Drawn on a square of 12 for every sixth of a small cell, so that the middles of its quarter
    triangles have whole numbers.
    """
    return [
        (
            role,
            tuple(
                (
                    x1 * 6 * columns,
                    y1 * 6 * rows,
                    (x2 - x1) * 6 * columns,
                    (y2 - y1) * 6 * rows,
                )
                for (x1, y1), (x2, y2) in zip(outline, outline[1:] + outline[:1], strict=True)
            ),
        )
        for role, outline in zip(unit.roles, unit.shape.patches, strict=True)
    ]


def _role_at(edges: list[_Edges], x: int, y: int) -> Role:
    """Return the role of the patch that a point lies in."""
    for role, around in edges[:-1]:
        for x1, y1, far_x, far_y in around:
            if far_x * (y - y1) < far_y * (x - x1):
                break
        else:
            return role
    return edges[-1][0]


def _divides(unit: Unit, columns: int, rows: int) -> None:
    """Refuse cells that would cut through the straight seams of a unit."""
    straight = {
        (x * columns % GRAIN, y * rows % GRAIN)
        for outline in unit.shape.patches
        for x, y in outline
        if unit.kind in {UnitKind.BARS, UnitKind.FOUR_PATCH}
    }
    if straight - {(0, 0)}:
        raise BadRequestError(
            f"A unit of {unit.kind} cannot be built from so many smaller units.",
            f"Enlarge by a multiple of {len(unit.roles)}.",
        )


def _only_multiples(layout: Layout, columns: int, rows: int, across: int, down: int) -> None:
    if columns % across or rows % down:
        raise _no_such_size(layout, columns, rows, across, down)


def _no_such_size(
    layout: Layout, columns: int, rows: int, across: int, down: int
) -> BadRequestError:
    near = f"{max(1, round(columns / across)) * across} × {max(1, round(rows / down)) * down}"
    return BadRequestError(
        f"{layout.name} cannot be {columns} × {rows} units.",
        f"Columns go by {across} and rows by {down}; {near} would do.",
    )
