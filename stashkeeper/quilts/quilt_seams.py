"""Every seam of the whole quilt between different roles, and where it lies."""

from collections.abc import Iterator
from typing import NamedTuple

from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.quilt import Quilt, centre_size
from stashkeeper.quilts.quilt_patches import place_on_quilt
from stashkeeper.quilts.seams import seams
from stashkeeper.quilts.shapes import Point


class PlacedSeam(NamedTuple):
    """A seam between two roles, its ends in ticks from the top left corner of the quilt."""

    one: Role
    other: Role
    start: Point
    end: Point


def quilt_seams(quilt: Quilt) -> Iterator[PlacedSeam]:
    """Yield every seam between different roles, borders included.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    rings = [Role(border.role) for border in quilt.borders]
    place = place_on_quilt(quilt)
    for seam in seams(quilt.layout, rings[0] if rings else None):
        yield PlacedSeam(seam.one, seam.other, place(seam.start), place(seam.end))
    yield from _between_borders(quilt, rings)


def _between_borders(quilt: Quilt, rings: list[Role]) -> Iterator[PlacedSeam]:
    """Yield the four seams between every two borders of different roles."""
    centre = centre_size(quilt)
    left = sum(border.width.ticks for border in quilt.borders)
    top = sum(border.end_width.ticks for border in quilt.borders)
    right, bottom = left + centre.width.ticks, top + centre.length.ticks
    for border, inner, outer in zip(quilt.borders, rings, rings[1:], strict=False):
        left, right = left - border.width.ticks, right + border.width.ticks
        top, bottom = top - border.end_width.ticks, bottom + border.end_width.ticks
        corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
        if inner != outer:
            for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
                yield PlacedSeam(inner, outer, start, end)
