"""Where a piece of cloth and its parts lie on a diagram, at a round scale."""

from dataclasses import dataclass
from typing import Final

from stashkeeper.cutting.plan import Box
from stashkeeper.lengths.length import TICKS_PER_INCH
from stashkeeper.lengths.size import Size
from stashkeeper.pictures.paper import PX_PER_INCH

SCALES: Final = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
"""How many times larger than its picture a piece is: round numbers, to be measured with a ruler."""

AROUND: Final = 34.0
"""Room around a piece for the words at its edges, in px."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A rectangle on the picture, in px."""

    x: float
    y: float
    width: float
    height: float

    def meets(self, other: "Spot") -> bool:
        """Tell whether two share any room."""
        return (
            self.x < other.x + other.width
            and other.x < self.x + self.width
            and self.y < other.y + other.height
            and other.y < self.y + self.height
        )


@dataclass(frozen=True, slots=True)
class View:
    """Where a piece lies on a picture: its top left corner, and the px of one tick."""

    x: float
    y: float
    px: float
    whole: Size
    turned: bool

    def spot(self, box: Box) -> Spot:
        """Return where a box of the piece lies."""
        left, near = box.left.ticks, box.near.ticks
        width, length = box.size.width.ticks, box.size.length.ticks
        if self.turned:
            left = self.whole.width.ticks - left - width
            near = self.whole.length.ticks - near - length
        top = self.whole.length.ticks - near - length
        return Spot(
            self.x + left * self.px, self.y + top * self.px, width * self.px, length * self.px
        )


def scale_of(whole: Size, width: float, height: float) -> int:
    """Return the largest round scale (1 to so many) at which a piece fits into a room in px."""
    for scale in SCALES:
        px = PX_PER_INCH / TICKS_PER_INCH / scale
        fits = whole.width.ticks * px + 2 * AROUND <= width
        if fits and whole.length.ticks * px + 2 * AROUND <= height:
            return scale
    return SCALES[-1]


def drawn_size(whole: Size, scale: int) -> tuple[float, float]:
    """Return width and height of a diagram in px, the words around the piece included."""
    px = PX_PER_INCH / TICKS_PER_INCH / scale
    return whole.width.ticks * px + 2 * AROUND, whole.length.ticks * px + 2 * AROUND
