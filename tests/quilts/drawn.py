"""Layouts and quilts for the tests to try, and areas found without the room's help."""

from hypothesis import strategies as st

from stashkeeper.lengths.length import Length
from stashkeeper.quilts.layout import Layout, Placed, Role, Unit
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.shapes import SHAPES, Shape, UnitKind

INCH = Length.from_inches(1)
ROLES = (Role("sky"), Role("star"), Role("star", 1), Role("star", 2), Role("leaf"))
DRAWN = tuple(
    shape
    for shape in SHAPES
    if shape.kind not in {UnitKind.SIDE_TRIANGLE, UnitKind.CORNER_TRIANGLE}
)

type Outline = tuple[tuple[int, int], ...]


def twice_the_area(outline: Outline) -> int:
    """Return twice the signed area of an outline (shoelace); positive if drawn clockwise."""
    following = outline[1:] + outline[:1]
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(outline, following, strict=True))


def unit_of(shape: Shape, roles: tuple[Role, ...]) -> Unit:
    """Return a unit of this shape; geese are twice as long as high."""
    across = {"pointing up", "pointing down"} & set(shape.places)
    if shape.kind is not UnitKind.FLYING_GEESE:
        return Unit(shape, roles)
    return Unit(shape, roles, *((2, 1) if across else (1, 2)))


@st.composite
def units(draw: st.DrawFn) -> Unit:
    """Return any unit that can stand in a layout file."""
    shape = draw(st.sampled_from(DRAWN))
    roles = draw(
        st.lists(st.sampled_from(ROLES), min_size=len(shape.patches), max_size=len(shape.patches))
    )
    return unit_of(shape, tuple(roles))


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """Return a small grid of any units, filled from top left to bottom right."""
    columns, rows = draw(st.integers(1, 5)), draw(st.integers(1, 5))
    free = {(row, column) for row in range(rows) for column in range(columns)}
    placed = []
    while free:
        row, column = min(free)
        unit = draw(units())
        cells = {(row + r, column + c) for r in range(unit.rows) for c in range(unit.columns)}
        if not cells <= free:
            square = next(shape for shape in SHAPES if shape.kind is UnitKind.SQUARE)
            unit, cells = Unit(square, (draw(st.sampled_from(ROLES)),)), {(row, column)}
        placed.append(Placed(unit, column, row))
        free -= cells
    values = tuple((name, None) for name in ("sky", "star", "leaf"))
    return Layout("Trial", columns, rows, tuple(placed), values)


def traditional() -> st.SearchStrategy[Layout]:
    """Return one of the traditional layouts."""
    return st.sampled_from(layout_names()).map(traditional_layout)
