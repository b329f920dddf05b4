"""The whole quilt as patches of known size and place, to draw from; and where its fabrics meet."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from stashkeeper.lengths.size import Size
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.layout import Placed, Role, patches
from stashkeeper.quilts.quilt import Quilt, centre_size, quilt_lines
from stashkeeper.quilts.seams import Meeting, meetings
from stashkeeper.quilts.shapes import Point

ROOT_HALF = math.sqrt(0.5)


@dataclass(frozen=True, slots=True)
class QuiltPatch:
    """One patch of a finished quilt.

    Attributes:
        role: what its fabric is for.
        outline: its corners, clockwise, in ticks from the top left corner of the quilt.
        placed: the unit it belongs to; None for borders.
    """

    role: Role
    outline: tuple[Point, ...]
    placed: Placed | None


def quilt_patches(quilt: Quilt) -> Iterator[QuiltPatch]:
    """Yield every patch of a quilt, borders included, units first; corners rounded to a tick.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    place = place_on_quilt(quilt)
    for patch in patches(quilt.layout):
        yield QuiltPatch(patch.role, tuple(map(place, patch.outline)), patch.placed)
    left = sum(border.width.ticks for border in quilt.borders)
    top = sum(border.end_width.ticks for border in quilt.borders)
    centre = centre_size(quilt)
    right, bottom = left + centre.width.ticks, top + centre.length.ticks
    for border in quilt.borders:
        for outline in _border_outlines(border, left, top, right, bottom):
            yield QuiltPatch(Role(border.role), outline, None)
        wide, high = border.width.ticks, border.end_width.ticks
        left, top, right, bottom = left - wide, top - high, right + wide, bottom + high


def quilt_meetings(quilt: Quilt, binding: Role | None = None) -> tuple[Meeting, ...]:
    """Return which roles of the whole quilt meet along what length, borders and binding included.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    rings = [Role(border.role) for border in quilt.borders]
    rings += [binding] if binding is not None else []
    made = list(meetings(quilt.layout, quilt_lines(quilt), rings[0] if rings else None))
    size = centre_size(quilt)
    for border, inner, outer in zip(quilt.borders, rings, rings[1:], strict=False):
        size = Size(size.width + border.width * 2, size.length + border.end_width * 2)
        if inner != outer:
            one, other = sorted((inner, outer))
            made.append(Meeting(one, other, _way_around(size), 4, ()))
    return tuple(sorted(_joined(made), key=lambda met: (-met.length, met.one, met.other)))


def _joined(made: list[Meeting]) -> Iterator[Meeting]:
    pairs: dict[tuple[Role, Role], list[Meeting]] = {}
    for met in made:
        pairs.setdefault((met.one, met.other), []).append(met)
    for (one, other), some in pairs.items():
        places = tuple(seam for met in some for seam in met.seams)
        length = math.fsum(met.length for met in some)
        yield Meeting(one, other, length, sum(met.count for met in some), places)


def _way_around(size: Size) -> float:
    return float((size.width + size.length).inches * 2)


def place_on_quilt(quilt: Quilt) -> Callable[[Point], Point]:
    """Return the function from twelfths of a cell to ticks on the finished quilt.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    grid, setting = quilt_lines(quilt), quilt.layout.setting
    left = sum(border.width.ticks for border in quilt.borders)
    top = sum(border.end_width.ticks for border in quilt.borders)

    def straight(point: Point) -> Point:
        x, y = grid.place(point)
        return left + x, top + y

    if setting is None:
        return straight
    block = quilt.unit.ticks * setting.block

    def turned(point: Point) -> Point:
        # The grid turned by 45° about its corner, then moved so that the quilt begins at 0, 0.
        x, y = grid.place(point)
        return (
            left + round((x - y + setting.across * block) * ROOT_HALF),
            top + round((x + y - (setting.across + 1) * block) * ROOT_HALF),
        )

    return turned


def _border_outlines(
    border: Border, left: int, top: int, right: int, bottom: int
) -> Iterator[tuple[Point, ...]]:
    """Yield the four outlines of a border around a rectangle: left, right, top, bottom."""
    wide, high = border.width.ticks, border.end_width.ticks
    mitre = high if border.corner is Corner.MITRED else 0
    corner = 0 if border.corner is Corner.MITRED else wide
    outer_left, outer_right = left - wide, right + wide
    outer_top, outer_bottom = top - high, bottom + high
    yield (outer_left, top - mitre), (left, top), (left, bottom), (outer_left, bottom + mitre)
    yield (right, top), (outer_right, top - mitre), (outer_right, bottom + mitre), (right, bottom)
    inner_left, inner_right = left - corner, right + corner
    yield (outer_left, outer_top), (outer_right, outer_top), (inner_right, top), (inner_left, top)
    yield (
        (inner_left, bottom),
        (inner_right, bottom),
        (outer_right, outer_bottom),
        (outer_left, outer_bottom),
    )
