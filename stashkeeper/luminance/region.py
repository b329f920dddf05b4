"""Which part of a photo shows the cloth."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stashkeeper.errors import BadCropError, quoted
from stashkeeper.luminance.perspective import in_order

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


Corners = tuple[tuple[float, float], ...]
"""Points in fractions of the upright photo."""


def parse_corners(text: str) -> Corners:
    """Read four corners typed as "x,y x,y x,y x,y", in any order; return them around the clock.

    Raises:
        BadCropError: when they are not four points inside the photo.
    """
    try:
        numbers = [[float(part) for part in point.split(",")] for point in text.split()]
        corners = tuple((x, y) for x, y in numbers)
    except ValueError:
        corners = ()
    inside = all(0.0 <= edge <= 1.0 for corner in corners for edge in corner)
    if len(corners) != 4 or not inside:
        raise BadCropError(
            f"{quoted(text)} is not four corners.",
            "Give x,y four times, as fractions of the upright photo, "
            'like "0.1,0.1 0.9,0.1 0.9,0.9 0.1,0.9".',
            on_page="Give all four corners, each in percent of the photo, from 0 to 100.",
        )
    return tuple((float(x), float(y)) for x, y in in_order(corners))


def crop_inside(corners: Sequence[Sequence[float]], share: float = 0.9) -> Crop:
    """Return an upright rectangle well inside four corners, in fractions of the upright photo.

    It has the middle and the shape of the box around the corners, is as large as the corners let
    it be, and then is made smaller by `share`: the edges of cloth fray and cast shadows.

    Raises:
        BadCropError: when the corners enclose nothing.
    """
    points = np.array(corners, dtype=np.float64)
    middle, half = points.mean(axis=0), np.ptp(points, axis=0) / 2
    sides = np.roll(points, -1, axis=0) - points
    normals = np.column_stack([-sides[:, 1], sides[:, 0]])
    room = np.abs(((points - middle) * normals).sum(axis=1))
    needed = np.abs(normals) @ half
    scale = share * float((room / np.maximum(needed, 1e-12)).min())
    left, top = np.clip(middle - scale * half, 0.0, 1.0)
    right, bottom = np.clip(middle + scale * half, 0.0, 1.0)
    return Crop(float(left), float(top), float(right), float(bottom))


def _nearest(start: float, end: float, size: int) -> tuple[int, int]:
    """Return the pixel edges nearest to two fractions of `size`, at least one pixel apart."""
    first = min(math.floor(start * size + 0.5), size - 1)
    return first, max(math.floor(end * size + 0.5), first + 1)
