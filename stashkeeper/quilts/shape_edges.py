"""Where the patches of a shape meet each other, its four sides, and nothing at all."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from stashkeeper.quilts.shapes import GRAIN, Point, Shape

type Edge = tuple[Point, Point]
type Stretch = tuple[int, int, int]
"""A patch, and where it begins and ends along a side (0 to 12, left to right or top to bottom)."""

TOP: Final = 0
RIGHT: Final = 1
BOTTOM: Final = 2
LEFT: Final = 3

_AXIS_AND_PLACE: Final = {TOP: (1, 0), RIGHT: (0, GRAIN), BOTTOM: (1, GRAIN), LEFT: (0, 0)}


@dataclass(frozen=True, slots=True)
class ShapeEdges:
    """The edges of a shape's patches.

    Attributes:
        inner: two patches and the edge between them.
        sides: the stretches along each side, by `TOP`, `RIGHT`, `BOTTOM`, `LEFT`.
        outer: a patch and an edge that touches neither a side nor another patch.
    """

    inner: tuple[tuple[int, int, Edge], ...]
    sides: tuple[tuple[Stretch, ...], ...]
    outer: tuple[tuple[int, Edge], ...]


@lru_cache
def shape_edges(shape: Shape) -> ShapeEdges:
    """Return where the patches of a shape meet."""
    owner = {
        edge: patch
        for patch, outline in enumerate(shape.patches)
        for edge in zip(outline, outline[1:] + outline[:1], strict=True)
    }
    free = {edge: patch for edge, patch in owner.items() if edge[::-1] not in owner}
    sides = tuple(_stretches(free, *_AXIS_AND_PLACE[side]) for side in (TOP, RIGHT, BOTTOM, LEFT))
    return ShapeEdges(
        inner=tuple(
            (patch, owner[edge[::-1]], edge)
            for edge, patch in owner.items()
            if edge not in free and patch < owner[edge[::-1]]
        ),
        sides=sides,
        outer=tuple((patch, edge) for edge, patch in free.items() if not _on_a_side(edge)),
    )


def _stretches(free: dict[Edge, int], axis: int, place: int) -> tuple[Stretch, ...]:
    found = (
        (patch, *sorted((start[1 - axis], end[1 - axis])))
        for (start, end), patch in free.items()
        if start[axis] == end[axis] == place
    )
    return tuple((patch, low, high) for patch, low, high in sorted(found, key=lambda at: at[1]))


def _on_a_side(edge: Edge) -> bool:
    start, end = edge
    return any(start[axis] == end[axis] == place for axis, place in _AXIS_AND_PLACE.values())
