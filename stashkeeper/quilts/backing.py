"""Backing: panels of fabric seamed side by side, the seams running whichever way takes less."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.batting import OVERHANG, with_overhang

PANEL_SEAM: Final = Length.from_inches("1/2")
"""The seam allowance between panels, pressed open (common practice; "Mathematically Challenged",
quiltingboard.com)."""

USABLE_WIDTH: Final = Length.from_inches(40)
"""The width of fabric between the selvedges that may be trusted (common practice)."""


class SeamDirection(StrEnum):
    """Which way the seams of a backing run."""

    NONE = "no seam"
    VERTICAL = "vertical"
    """Along the length of the quilt, from top to bottom."""
    HORIZONTAL = "horizontal"
    """Across the quilt, from side to side."""


@dataclass(frozen=True, slots=True)
class Backing:
    """How to make a backing from one fabric.

    Attributes:
        size: the least size of the backing: the top and its overhang.
        panels: how many panels.
        panel: width (across the fabric) × length (along the selvedge) of each.
        seams: which way the seams run.
        fabric: the length of cloth to buy or own, all panels one after the other.
    """

    size: Size
    panels: int
    panel: Size
    seams: SeamDirection
    fabric: Length


def backing(
    top: Size,
    usable_width: Length = USABLE_WIDTH,
    overhang: Length = OVERHANG,
    seam: Length = PANEL_SEAM,
) -> Backing:
    """Return the backing that takes the least cloth.

    Panels that are `p` in number cover p × usable width − 2 × seam × (p − 1) (geometry; the
    printed rule divides by the usable width and forgets the seams).

    Raises:
        BadSizeError: a top that no quilt has, or fabric no wider than its seams.
    """
    return min(backings(top, usable_width, overhang, seam), key=lambda made: made.fabric)


def backings(
    top: Size,
    usable_width: Length = USABLE_WIDTH,
    overhang: Length = OVERHANG,
    seam: Length = PANEL_SEAM,
) -> tuple[Backing, Backing]:
    """Return both ways to make the backing: panels down the quilt, and panels across it.

    Raises:
        BadSizeError: a top that no quilt has, or fabric no wider than its seams.
    """
    if seam.ticks < 0 or usable_width <= seam * 2:
        raise BadSizeError(
            "The fabric is no wider than its seams.", "Give a usable width such as 40 in."
        )
    size = with_overhang(top, overhang)
    down = _made(size, size.width, size.length, SeamDirection.VERTICAL, usable_width, seam)
    across = _made(size, size.length, size.width, SeamDirection.HORIZONTAL, usable_width, seam)
    return down, across


def _made(
    size: Size,
    covered: Length,
    panel_length: Length,
    seams: SeamDirection,
    usable_width: Length,
    seam: Length,
) -> Backing:
    taken = seam * 2
    panels = max(1, -((taken - covered) // (usable_width - taken)))
    width = usable_width if panels > 1 else covered
    return Backing(
        size=size,
        panels=panels,
        panel=Size(width, panel_length),
        seams=seams if panels > 1 else SeamDirection.NONE,
        fabric=panel_length * panels,
    )
