"""Borders: butted or mitred, one around the other."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.diagonals import times_root_two
from stashkeeper.quilts.sewing import Sewing, checked


class Corner(StrEnum):
    """How a border turns the corner."""

    BUTTED = "butted"
    """The two long sides first, then top and bottom across their ends."""
    MITRED = "mitred"
    """All four alike, met on a diagonal seam."""


MITRE_EXTRA: Final = Length.from_inches(6)
"""What printed instructions add to a mitred border beyond side + 2 × width ("How to Miter Borders
on a Quilt", allpeoplequilt.com: 40 in and a 5 in border give 56 in)."""


@dataclass(frozen=True, slots=True)
class Border:
    """A border as wished.

    Attributes:
        role: the fabric it is made of.
        width: finished width of the borders at the left and right.
        ends: finished width at top and bottom; the same where None.
        corner: butted or mitred; mitred ones have one width all around.
    """

    role: str
    width: Length
    ends: Length | None = None
    corner: Corner = Corner.BUTTED

    def __post_init__(self) -> None:
        checked(self.width, "border")
        checked(self.end_width, "border")
        if self.corner is Corner.MITRED and self.end_width != self.width:
            raise BadSizeError(
                "A mitred border has the same width all around.",
                "Give one width, or ask for butted corners.",
            )

    @property
    def end_width(self) -> Length:
        """Finished width at top and bottom."""
        return self.width if self.ends is None else self.ends


@dataclass(frozen=True, slots=True)
class BorderCuts:
    """The four strips of one border, seams included; sizes at ruler marks.

    Attributes:
        sides: width × length of each of the two strips left and right.
        ends: length × width of each of the two strips at top and bottom.
        printed_sides, printed_ends: the same lengths by the printed rule; None without one.
        finished: the finished size with this border on.
    """

    sides: Size
    ends: Size
    printed_sides: Length | None
    printed_ends: Length | None
    finished: Size


def border_cuts(inside: Size, border: Border, sewing: Sewing) -> BorderCuts:
    """Return the strips for a border around a finished size.

    Butted: sides as long as the quilt, ends as long as the quilt is wide with the sides on, each
    + 2s (common practice). Mitred: side + 2 × width + 2s(1 + √2), where the seam along the 45°
    ends needs the second part (geometry); printed instructions say + 6 in, to be trimmed.

    Raises:
        BadSizeError: a size that no quilt has.
    """
    across, along = border.width * 2, border.end_width * 2
    finished = Size(checked(inside.width) + across, checked(inside.length) + along)
    side_width, end_width = sewing.cut(border.width), sewing.cut(border.end_width)
    if border.corner is Corner.BUTTED:
        return BorderCuts(
            Size(side_width, sewing.cut(inside.length)),
            Size(sewing.cut(finished.width), end_width),
            None,
            None,
            finished,
        )
    mitre = sewing.both_seams + times_root_two(sewing.both_seams)
    return BorderCuts(
        Size(side_width, sewing.marked(finished.length + mitre)),
        Size(sewing.marked(finished.width + mitre), end_width),
        sewing.marked(finished.length + MITRE_EXTRA),
        sewing.marked(finished.width + MITRE_EXTRA),
        finished,
    )


def with_borders(inside: Size, borders: Iterable[Border]) -> Size:
    """Return the finished size of a quilt with these borders, from the innermost out."""
    width, length = inside.width, inside.length
    for border in borders:
        width += border.width * 2
        length += border.end_width * 2
    return Size(width, length)
