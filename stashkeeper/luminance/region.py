"""Which part of a photo shows the cloth."""

import math
from dataclasses import dataclass

from stashkeeper.errors import BadCropError

REMEDY = (
    "Give left,top,right,bottom as fractions of the upright photo, "
    "like 0.1,0.1,0.9,0.9 or 0,0,1,1 for the whole frame."
)

ON_PAGE = (
    "Give each edge in percent of the photo, from 0 to 100: "
    "the right edge is more than the left, the lower more than the upper."
)


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of whole pixels; right and bottom are the first ones outside."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def edges(self) -> tuple[int, int, int, int]:
        """The four edges in the order Pillow takes them."""
        return self.left, self.top, self.right, self.bottom

    @property
    def width(self) -> int:
        """Pixels across."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Pixels down."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Crop:
    """The rectangle of a photo that shows the cloth, in fractions of the upright photo.

    Attributes:
        left, top, right, bottom: from 0 (left or top edge) to 1 (right or bottom edge).

    Raises:
        BadCropError: unless 0 ≤ left < right ≤ 1 and 0 ≤ top < bottom ≤ 1.
    """

    left: float
    top: float
    right: float
    bottom: float

    def __post_init__(self) -> None:
        across = 0.0 <= self.left < self.right <= 1.0
        down = 0.0 <= self.top < self.bottom <= 1.0
        if not (across and down):
            raise BadCropError(
                f"The crop {self} leaves no cloth inside the photo.", REMEDY, on_page=ON_PAGE
            )

    def __str__(self) -> str:
        return ",".join(f"{edge:.12g}" for edge in (self.left, self.top, self.right, self.bottom))

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """The four corners (x, y), from top left with the clock."""
        return (
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        )

    def pixels(self, width: int, height: int) -> Box:
        """Return the pixels that the crop covers in an upright photo of `width` × `height`.

        Edges go to the nearest pixel edge; at least one pixel always remains.
        """
        left, right = _nearest(self.left, self.right, width)
        top, bottom = _nearest(self.top, self.bottom, height)
        return Box(left, top, right, bottom)


WHOLE_FRAME = Crop(0.0, 0.0, 1.0, 1.0)
"""All of the photo."""
WHOLE_LESS_MARGIN = Crop(0.1, 0.1, 0.9, 0.9)
"""The default: a tenth off each edge, where table, fingers and vignette mostly are (ours)."""


def parse_crop(text: str) -> Crop:
    """Read a crop typed as left,top,right,bottom, like "0.1,0.1,0.9,0.9".

    Raises:
        BadCropError: when it is not four numbers, or they leave no cloth.
    """
    try:
        left, top, right, bottom = (float(part) for part in text.split(","))
    except ValueError:
        raise BadCropError(f'"{text}" is not a crop.', REMEDY, on_page=ON_PAGE) from None
    return Crop(left, top, right, bottom)


def _nearest(start: float, end: float, size: int) -> tuple[int, int]:
    """Return the pixel edges nearest to two fractions of `size`, at least one pixel apart."""
    first = min(math.floor(start * size + 0.5), size - 1)
    return first, max(math.floor(end * size + 0.5), first + 1)
