"""The shapes of units: which patch lies where, drawn once for pictures, seams and areas alike.

A shape is drawn on a square of 12 × 12, x to the right and y down, so that halves, thirds and
quarters are whole numbers; a unit that covers more columns or rows stretches it. Every patch has
a place in plain words, the words of a layout file.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from typing import Final

type Point = tuple[int, int]
type Polygon = tuple[Point, ...]

GRAIN: Final = 12
"""The side of the square a shape is drawn on."""


class UnitKind(StrEnum):
    """The kinds of units, by the names of the trade."""

    SQUARE = "square"
    RECTANGLE = "rectangle"
    HALF_SQUARE = "half-square triangle"
    QUARTER_SQUARE = "quarter-square triangle"
    FLYING_GEESE = "flying geese"
    FOUR_PATCH = "four-patch"
    BARS = "bars"
    SIDE_TRIANGLE = "side triangle"
    """Along the edge of a quilt on point."""
    CORNER_TRIANGLE = "corner triangle"
    """At the corner of a quilt on point."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One way a unit can lie.

    Attributes:
        kind: what it is called.
        places: where each patch lies, in words, patch by patch.
        patches: the outline of each patch, clockwise.
    """

    kind: UnitKind
    places: tuple[str, ...]
    patches: tuple[Polygon, ...] = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Moved:
    """What a shape becomes when it is turned or mirrored.

    Attributes:
        shape: the shape it becomes.
        order: for each patch of that shape, the patch of the old one that lies there now.
    """

    shape: Shape
    order: tuple[int, ...]


_TOP_LEFT: Final = (0, 0)
_TOP_RIGHT: Final = (GRAIN, 0)
_BOTTOM_RIGHT: Final = (GRAIN, GRAIN)
_BOTTOM_LEFT: Final = (0, GRAIN)
_MIDDLE: Final = (GRAIN // 2, GRAIN // 2)
_WHOLE: Final = (_TOP_LEFT, _TOP_RIGHT, _BOTTOM_RIGHT, _BOTTOM_LEFT)

_QUARTERS: Final[dict[str, Polygon]] = {
    "top": (_TOP_LEFT, _TOP_RIGHT, _MIDDLE),
    "right": (_TOP_RIGHT, _BOTTOM_RIGHT, _MIDDLE),
    "bottom": (_BOTTOM_RIGHT, _BOTTOM_LEFT, _MIDDLE),
    "left": (_BOTTOM_LEFT, _TOP_LEFT, _MIDDLE),
}
_HALVES: Final[dict[str, Polygon]] = {
    "top left": (_TOP_LEFT, _TOP_RIGHT, _BOTTOM_LEFT),
    "bottom right": (_TOP_RIGHT, _BOTTOM_RIGHT, _BOTTOM_LEFT),
    "top right": (_TOP_LEFT, _TOP_RIGHT, _BOTTOM_RIGHT),
    "bottom left": (_TOP_LEFT, _BOTTOM_RIGHT, _BOTTOM_LEFT),
}
_SMALL_SQUARES: Final[dict[str, Polygon]] = {
    "top left": ((0, 0), (6, 0), (6, 6), (0, 6)),
    "top right": ((6, 0), (12, 0), (12, 6), (6, 6)),
    "bottom left": ((0, 6), (6, 6), (6, 12), (0, 12)),
    "bottom right": ((6, 6), (12, 6), (12, 12), (6, 12)),
}
_GOOSE_UP: Final[dict[str, Polygon]] = {
    "pointing up": ((6, 0), _BOTTOM_RIGHT, _BOTTOM_LEFT),
    "top left": (_TOP_LEFT, (6, 0), _BOTTOM_LEFT),
    "top right": ((6, 0), _TOP_RIGHT, _BOTTOM_RIGHT),
}
_CLOCKWISE: Final = {
    "pointing up": "pointing right",
    "pointing right": "pointing down",
    "pointing down": "pointing left",
    "pointing left": "pointing up",
    "top left": "top right",
    "top right": "bottom right",
    "bottom right": "bottom left",
    "bottom left": "top left",
}
BARS: Final = (2, 3, 4, 6)
"""How many bars one unit may have."""

ACROSS: Final = "across"
DOWN: Final = "down"


def _shape(kind: UnitKind, patches: dict[str, Polygon]) -> Shape:
    return Shape(kind, tuple(patches), tuple(patches.values()))


def _picked(from_: dict[str, Polygon], *places: str) -> dict[str, Polygon]:
    return {place: from_[place] for place in places}


def _bars(count: int, across: bool) -> Shape:
    step = GRAIN // count
    patches: dict[str, Polygon] = {}
    for bar in range(count):
        near, far = bar * step, (bar + 1) * step
        patches[f"{ACROSS if across else DOWN} {bar + 1}"] = (
            ((0, near), (GRAIN, near), (GRAIN, far), (0, far))
            if across
            else ((near, 0), (far, 0), (far, GRAIN), (near, GRAIN))
        )
    return _shape(UnitKind.BARS, patches)


def _geese() -> list[Shape]:
    made, patches = [], _GOOSE_UP
    for _ in range(4):
        made.append(_shape(UnitKind.FLYING_GEESE, patches))
        patches = {
            _CLOCKWISE[place]: tuple(_turn(point) for point in outline)
            for place, outline in patches.items()
        }
    return made


def _turn(point: Point) -> Point:
    return GRAIN - point[1], point[0]


def _mirror(point: Point) -> Point:
    return GRAIN - point[0], point[1]


SHAPES: Final[tuple[Shape, ...]] = (
    _shape(UnitKind.SQUARE, {"whole": _WHOLE}),
    _shape(UnitKind.HALF_SQUARE, _picked(_HALVES, "top left", "bottom right")),
    _shape(UnitKind.HALF_SQUARE, _picked(_HALVES, "top right", "bottom left")),
    _shape(UnitKind.QUARTER_SQUARE, _QUARTERS),
    *_geese(),
    _shape(UnitKind.FOUR_PATCH, _SMALL_SQUARES),
    *(_bars(count, across) for count in BARS for across in (True, False)),
    *(_shape(UnitKind.SIDE_TRIANGLE, {place: _HALVES[place]}) for place in _HALVES),
    *(_shape(UnitKind.CORNER_TRIANGLE, {place: _QUARTERS[place]}) for place in _QUARTERS),
)
"""Every shape there is. A square stretched to a rectangle has the shape of a square."""


def shape_of(kind: UnitKind, *places: str) -> Shape:
    """Return the shape of this kind with these places, in any order.

    Raises:
        KeyError: there is none; callers ask only for places that exist.
    """
    return _BY_PLACES[kind, frozenset(places)]


def shapes_of(kind: UnitKind) -> tuple[Shape, ...]:
    """Return every way a unit of this kind can lie."""
    return tuple(shape for shape in SHAPES if shape.kind is kind)


@lru_cache
def turned_shape(shape: Shape) -> Moved:
    """Return what a shape becomes when it is turned by a quarter, clockwise."""
    return _moved(shape, tuple(tuple(map(_turn, outline)) for outline in shape.patches))


@lru_cache
def mirrored_shape(shape: Shape) -> Moved:
    """Return what a shape becomes in a mirror that exchanges left and right."""
    return _moved(shape, tuple(tuple(map(_mirror, outline)) for outline in shape.patches))


def _moved(shape: Shape, patches: tuple[Polygon, ...]) -> Moved:
    where = {frozenset(outline): patch for patch, outline in enumerate(patches)}
    for found in shapes_of(shape.kind):
        outlines = [frozenset(outline) for outline in found.patches]
        if set(outlines) == where.keys():
            return Moved(found, tuple(where[outline] for outline in outlines))
    raise AssertionError(f"{shape} has no counterpart when moved")


_BY_PLACES: Final = {(shape.kind, frozenset(shape.places)): shape for shape in SHAPES}
