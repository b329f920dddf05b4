"""Blocks set with sashing between them, or on point with triangles around them."""

from collections.abc import Iterator
from dataclasses import replace

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError
from stashkeeper.quilts.layout import LONGEST_SIDE, Layout, Placed, Role, Setting, Unit
from stashkeeper.quilts.rearrange import in_reading_order, plain, repeated, shifted
from stashkeeper.quilts.sewing import whole_number
from stashkeeper.quilts.shapes import UnitKind, shape_of


def sashed(
    block: Layout,
    across: int,
    down: int,
    sash: Role,
    cornerstone: Role | None = None,
    outer: bool = False,
) -> Layout:
    """Return `across` × `down` blocks with sashing between them.

    Args:
        block: the block.
        across: blocks in a row.
        down: rows of blocks.
        sash: the role of the strips.
        cornerstone: the role of the squares where strips cross; without, level strips run through.
        outer: whether sashing frames the whole.

    Raises:
        BadSizeError: no blocks, or a grid beyond a thousand cells a side.
        BadRequestError: the block has sashing already, or stands on point.
    """
    blocks = repeated(block, across, down)
    first = 1 if outer else 0
    columns = _sash_lines(across, block.columns, outer)
    rows = _sash_lines(down, block.rows, outer)
    whole_number(blocks.columns + len(columns), "columns", 1, LONGEST_SIDE)
    whole_number(blocks.rows + len(rows), "rows", 1, LONGEST_SIDE)
    width = blocks.columns + len(columns)
    strips = _strips(block, columns, rows, width, sash, cornerstone, (across, down, first))
    return replace(
        blocks,
        columns=width,
        rows=blocks.rows + len(rows),
        placed=in_reading_order((*_apart(blocks, block, first), *strips)),
        values=with_role_names(blocks, sash, cornerstone),
        sash_columns=frozenset(columns),
        sash_rows=frozenset(rows),
    )


def set_on_point(
    block: Layout, across: int, down: int, triangles: Role, between: Layout | Role
) -> Layout:
    """Return blocks set on point, `across` × `down` of them with their corners on the edges.

    Args:
        block: the block, as many columns as rows.
        across: blocks along the top.
        down: blocks along the side.
        triangles: the role of the setting and corner triangles.
        between: what fills the squares between the blocks: a block of the same size, or the role
            of plain squares.

    Raises:
        BadSizeError: no blocks, or a grid beyond a thousand cells a side.
        BadRequestError: a block that is not square, or not as large as the others.
    """
    plain(block)
    filling = _filling(block, between)
    whole_number(across, "blocks", 1, LONGEST_SIDE)
    whole_number(down, "blocks", 1, LONGEST_SIDE)
    side = (across + down + 1) * block.columns
    whole_number(side, "columns", 1, LONGEST_SIDE)
    placed: list[Placed] = []
    for p in range(across):
        for q in range(down):
            placed += _at(block.placed, p + q, q - p + across - 1, block.columns)
            if p < across - 1 and q < down - 1:
                placed += _at(filling.placed, p + q + 1, q - p + across - 1, block.columns)
    for unit, column, row in _triangles(across, down, triangles, block.columns):
        placed += _at((Placed(unit, 0, 0),), column, row, block.columns)
    names = dict([*block.values, *filling.values])
    return replace(
        block,
        columns=side,
        rows=side,
        placed=in_reading_order(placed),
        values=with_role_names(replace(block, values=tuple(names.items())), triangles),
        setting=Setting(across, down, block.columns),
    )


def with_role_names(layout: Layout, *added: Role | None) -> tuple[tuple[str, Value | None], ...]:
    """Return the role names of a layout with their wished values, and further names behind."""
    names = dict(layout.values)
    for role in added:
        if role is not None:
            names.setdefault(role.name, None)
    return tuple(names.items())


def _apart(blocks: Layout, block: Layout, first: int) -> Iterator[Placed]:
    """Yield the units of repeated blocks, moved apart by one cell between blocks."""
    for here in blocks.placed:
        column = here.column + here.column // block.columns + first
        yield Placed(here.unit, column, here.row + here.row // block.rows + first)


def _sash_lines(blocks: int, size: int, outer: bool) -> list[int]:
    """Return the columns (or rows) that hold sashing."""
    between = [size * number + number - 1 for number in range(1, blocks)]
    if not outer:
        return between
    return [0, *(line + 1 for line in between), (size + 1) * blocks]


def _strips(
    block: Layout,
    columns: list[int],
    rows: list[int],
    width: int,
    sash: Role,
    cornerstone: Role | None,
    extent: tuple[int, int, int],
) -> Iterator[Placed]:
    across, down, first = extent
    for number in range(down):
        row = first + number * (block.rows + 1)
        yield from (Placed(_rectangle(sash, 1, block.rows), column, row) for column in columns)
    for row in rows:
        if cornerstone is None:
            yield Placed(_rectangle(sash, width, 1), 0, row)
            continue
        yield from (Placed(_rectangle(cornerstone, 1, 1), column, row) for column in columns)
        for number in range(across):
            column = first + number * (block.columns + 1)
            yield Placed(_rectangle(sash, block.columns, 1), column, row)


def _rectangle(role: Role, columns: int, rows: int) -> Unit:
    return Unit(shape_of(UnitKind.SQUARE, "whole"), (role,), columns, rows)


def _filling(block: Layout, between: Layout | Role) -> Layout:
    """Return the block that fills the squares between the blocks."""
    if isinstance(between, Role):
        square = _rectangle(between, block.columns, block.columns)
        between = Layout(
            between.name,
            block.columns,
            block.columns,
            (Placed(square, 0, 0),),
            ((between.name, None),),
        )
    if not block.columns == block.rows == between.columns == between.rows:
        raise BadRequestError(
            "Blocks on point must be square, and all of one size.",
            "Choose blocks with as many columns as rows.",
        )
    return plain(between)


def _triangles(across: int, down: int, role: Role, size: int) -> Iterator[tuple[Unit, int, int]]:
    """Yield every setting and corner triangle with the block cell it stands in.

    A place (x, y) on the quilt, in block diagonals, lies in the turned grid at column x + y − 1
    and row y − x + across − 1.
    """
    side = UnitKind.SIDE_TRIANGLE
    for p in range(across - 1):
        yield _triangle(side, "bottom right", role, size), p, across - 2 - p
        yield _triangle(side, "top left", role, size), p + down, down + across - 2 - p
    for q in range(down - 1):
        yield _triangle(side, "top right", role, size), q, q + across
        yield _triangle(side, "bottom left", role, size), across + q, q
    corner = UnitKind.CORNER_TRIANGLE
    yield _triangle(corner, "right", role, size), -1, across - 1
    yield _triangle(corner, "bottom", role, size), across - 1, -1
    yield _triangle(corner, "left", role, size), across + down - 1, down - 1
    yield _triangle(corner, "top", role, size), down - 1, down + across - 1


def _triangle(kind: UnitKind, place: str, role: Role, size: int) -> Unit:
    return Unit(shape_of(kind, place), (role,), size, size)


def _at(placed: tuple[Placed, ...], column: int, row: int, size: int) -> list[Placed]:
    """Return units moved to a block cell; the grid begins one block before cell 0."""
    return [*shifted(placed, (column + 1) * size, (row + 1) * size)]
