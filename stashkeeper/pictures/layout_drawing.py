"""A layout drawn as areas of grey and lines, for pages: paths in twelfths of a cell."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.pictures.seam_lines import outlines
from stashkeeper.pictures.web_rule import css_grey
from stashkeeper.quilts.layout import Layout, Role, patches
from stashkeeper.quilts.shapes import GRAIN


@dataclass(frozen=True, slots=True)
class Area:
    """All patches of one role: their grey as style sheets write it, and an SVG path."""

    role: Role
    grey: str
    path: str


@dataclass(frozen=True, slots=True)
class LayoutDrawing:
    """A layout as a page draws it.

    Attributes:
        width, height: of the drawing, in twelfths of a cell.
        areas: one for each role.
        seams: the lines between patches, as an SVG path.
    """

    width: int
    height: int
    areas: tuple[Area, ...]
    seams: str


def draw_layout(layout: Layout, lightness: Mapping[Role, float]) -> LayoutDrawing:
    """Return a layout drawn in greys.

    Args:
        layout: without sashing, and not on point.
        lightness: the L* of each of its roles.
    """
    drawn: dict[Role, list[str]] = {role: [] for role in lightness}
    shapes = [(patch.role, patch.outline) for patch in patches(layout)]
    for role, outline in shapes:
        drawn[role].append(_closed(outline))
    lines = outlines(outline for _, outline in shapes)
    return LayoutDrawing(
        layout.columns * GRAIN,
        layout.rows * GRAIN,
        tuple(
            Area(role, css_grey(lightness[role]), "".join(paths)) for role, paths in drawn.items()
        ),
        "".join(f"M{x1} {y1}L{x2} {y2}" for (x1, y1), (x2, y2) in lines),
    )


def _closed(outline: tuple[tuple[int, int], ...]) -> str:
    return "M" + "L".join(f"{x} {y}" for x, y in outline) + "Z"
