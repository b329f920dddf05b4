"""A quilt in small: its patches as shapes of one colour each, for a page to fill with greys."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Final

from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.quilts.quilt import Quilt, finished_size
from stashkeeper.quilts.quilt_patches import quilt_patches
from stashkeeper.quilts.quilt_seams import quilt_seams
from stashkeeper.quilts.shapes import Point

SIDE: Final = 240.0
"""The longer side of the drawing, in its own units."""

MOST_PATCHES: Final = 4_000
"""A quilt of more patches is not drawn: it would be a grey mist, and a heavy page (ours)."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A quilt drawn in outline.

    Attributes:
        width, height: of the drawing, in its own units.
        shapes: for each role by its name, set included, all its patches as one SVG path.
        seams: the seams that stand out, as one SVG path; empty for none.
    """

    width: float
    height: float
    shapes: tuple[tuple[str, str], ...]
    seams: str = ""


def sketch(quilt: Quilt, marked: Collection[tuple[str, str]] = ()) -> Sketch | None:
    """Return a quilt in small; None where it has too many patches for that.

    Args:
        quilt: what is to be drawn.
        marked: pairs of roles whose seams stand out, by their names in either order.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    if len(quilt.layout.placed) > MOST_PATCHES:
        return None
    patches = list(islice(quilt_patches(quilt), MOST_PATCHES + 1))
    if len(patches) > MOST_PATCHES:
        return None
    size = finished_size(quilt)
    scale = SIDE / max(size.width.ticks, size.length.ticks)
    shapes: dict[str, list[str]] = {}
    for patch in patches:
        shapes.setdefault(role_name(patch.role), []).append(_shape(patch.outline, scale))
    pairs = {frozenset(pair) for pair in marked}
    lines = (
        f"M{_at(seam.start, scale)}L{_at(seam.end, scale)}"
        for seam in (quilt_seams(quilt) if pairs else ())
        if frozenset((role_name(seam.one), role_name(seam.other))) in pairs
    )
    return Sketch(
        round(size.width.ticks * scale, 1),
        round(size.length.ticks * scale, 1),
        tuple((role, "".join(drawn)) for role, drawn in shapes.items()),
        "".join(lines),
    )


def _shape(outline: Iterable[Point], scale: float) -> str:
    return f"M{'L'.join(_at(point, scale) for point in outline)}z"


def _at(point: Point, scale: float) -> str:
    return f"{point[0] * scale:.4g} {point[1] * scale:.4g}"
