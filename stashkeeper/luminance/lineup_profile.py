"""A line-up made small: the colours of each column of a photo, its strips set upright.

Cloth is told from cloth by which colours it holds and how much of each, not by edges: a print is
full of edges. So a photo becomes a table, columns × colours of a small palette taken from the
photo itself.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.decode import Photo

ACROSS: Final = 360
"""Pixels across the strips that are looked at."""
COLOURS: Final = 40
"""Colours of the palette."""
STEEPEST: Final = 0.14
"""Strips lean at most so much: 8 degrees."""
ENDS: Final = 0.1
"""Left out at either end of the strips, where table and frayed ends are."""
Labels = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """A photo of a line-up, set upright and sheared so that its strips stand straight.

    Attributes:
        labels: the palette colour of each pixel, rows × columns.
        colours: of each pixel, lightness and two opponent colours, in codes.
        whole: the same of the whole picture, with both ends of the strips.
        rows: where those rows lie along the strips, as fractions of the photo, rising.
        lean: how far strips move across, in columns a row of the whole picture.
        height: rows of the whole picture.
        lying: whether the strips lie across the photo, which was turned for it.
    """

    labels: Labels
    colours: Floats
    whole: Floats
    rows: Floats
    lean: float
    height: int
    lying: bool

    @property
    def width(self) -> int:
        """Columns."""
        return int(self.labels.shape[1])

    def counts(self) -> Floats:
        """Return how often each colour occurs in the columns so far: (columns + 1) × colours."""
        each = np.stack(
            [np.bincount(column, minlength=COLOURS) for column in self.labels.T]
        ).astype(np.float64)
        return np.concatenate([np.zeros((1, COLOURS)), np.cumsum(each, axis=0)])


def small_picture(photo: Photo, lying: bool, crop: tuple[float, float, float, float]) -> Floats:
    """Return a part of a photo, rows × columns × 3, turned so that lying strips stand."""
    image = photo.image
    left, top, right, bottom = crop
    box = (left * image.width, top * image.height, right * image.width, bottom * image.height)
    wide, high = box[2] - box[0], box[3] - box[1]
    scale = ACROSS / (high if lying else wide)
    size = max(8, round(wide * scale)), max(8, round(high * scale))
    small = image.resize(size, Image.Resampling.BOX, box=box)
    codes = np.asarray(small, dtype=np.float64)
    return codes.swapaxes(0, 1) if lying else codes


def lean_of(codes: Floats) -> tuple[float, float]:
    """Return the lean at which straight edges stand out most from a small picture, and how much."""
    return _lean(_opponent(codes))


def profile_of(codes: Floats, lying: bool, lean: float) -> Profile:
    """Return the profile of a small picture whose strips stand more or less upright.

    Args:
        codes: rows × columns × 3, strips upright.
        lying: whether it was turned for that.
        lean: of the strips.
    """
    height = len(codes)
    first, last = round(ENDS * height), round((1 - ENDS) * height)
    whole = _sheared(_opponent(codes), lean)
    straight = whole[first:last]
    rows = (np.arange(first, last) + 0.5) / height
    return Profile(_labelled(straight), straight, whole, rows, lean, height, lying)


def _opponent(codes: Floats) -> Floats:
    """Return lightness and two opponent colours, in codes: differences as the eye weighs them."""
    red, green, blue = np.moveaxis(codes, 2, 0)
    light = 0.25 * red + 0.6 * green + 0.15 * blue
    return np.stack([light, 0.7 * (red - green), 0.5 * (0.5 * (red + green) - blue)], axis=2)


def _lean(opponent: Floats) -> tuple[float, float]:
    """Return the lean at which edges of strips stand out most, and how much they do."""
    leans = np.linspace(-STEEPEST, STEEPEST, 57)
    found = [_stand_out(opponent, lean) for lean in leans]
    best = int(np.argmax(found))
    return float(leans[best]), float(found[best])


def _stand_out(opponent: Floats, lean: float) -> float:
    height = len(opponent)
    means = _sheared(opponent[:: max(1, height // 90)], lean * max(1, height // 90)).mean(axis=0)
    return float((np.diff(means[4:-4], axis=0) ** 2).sum())


def _sheared(rows: Floats, lean: float) -> Floats:
    """Return rows moved across so that strips of a lean stand straight; edges are drawn out."""
    height, width = rows.shape[:2]
    moved = np.rint(lean * (np.arange(height) + 0.5 - height / 2)).astype(int)
    places = np.clip(np.arange(width) + moved[:, np.newaxis], 0, width - 1)
    return np.asarray(rows[np.arange(height)[:, np.newaxis], places])


def _labelled(colours: Floats) -> Labels:
    """Return the nearest colour of a palette, made of the picture itself (k-means), of each."""
    pixels = colours.reshape(-1, 3)
    sample = pixels[:: max(1, len(pixels) // 6000)]
    # Start from colours spread evenly over the photo, so that the same photo gives the same.
    order = np.lexsort((sample[:, 2], sample[:, 1], np.rint(sample[:, 0] / 12)))
    palette = sample[order[np.linspace(0, len(order) - 1, COLOURS).astype(int)]].copy()
    for _ in range(8):
        nearest = _nearest(sample, palette)
        for place in range(COLOURS):
            mine = sample[nearest == place]
            if len(mine):
                palette[place] = mine.mean(axis=0)
    return _nearest(pixels, palette).reshape(colours.shape[:2])


def _nearest(pixels: Floats, palette: Floats) -> Labels:
    near, colours = pixels.astype(np.float32), palette.astype(np.float32)
    away = (colours**2).sum(axis=1) - 2 * near @ colours.T
    return np.asarray(np.argmin(away, axis=1))
