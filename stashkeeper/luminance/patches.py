"""The light of small even patches in a photo: of a chart, a card, a sheet of paper."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stashkeeper.luminance.calibrate import Light
from stashkeeper.luminance.colour_space import ColourSpace, Floats
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.doubts import CLIPPED_CODE
from stashkeeper.luminance.lightness import lightness_of_luminance
from stashkeeper.luminance.orientation import SIDEWAYS

ENOUGH = 200
"""Pixels along a side that are enough of a patch; of larger ones every so-many-th is taken."""
TRIMMED = 0.1
"""The brightest and the darkest share that is left out of the mean: dust, scratches, glints."""


@dataclass(frozen=True, slots=True)
class Patch:
    """An even patch in a photo.

    Attributes:
        light: mean linear red, green and blue, 0 to 1.
        unevenness: from its 5th to its 95th percentile, in the camera's L*.
        clipped: the share of its pixels at the brightest codes.
        pixels: how many were looked at.
    """

    light: Light
    unevenness: float
    clipped: float
    pixels: int


def patch_light(photo: Photo, corners: ArrayLike) -> Patch | None:
    """Return the light of a convex patch; None where it leaves the photo or is below 9 pixels.

    Args:
        photo: an open photo.
        corners: of the patch in stored pixels, in order around it.
    """
    around = np.asarray(corners, dtype=np.float64).reshape(-1, 2)
    width, height = photo.pixels.stored.size
    if around.min() < 0 or np.any(around.max(axis=0) > (width, height)):
        return None
    codes = _codes_inside(photo, around)
    if len(codes) < 9:
        return None
    return _patch(codes, photo.space)


def stored_points(photo: Photo, fractions: ArrayLike) -> Floats:
    """Return points given in fractions of the upright photo, in stored pixels."""
    x, y = np.asarray(fractions, dtype=np.float64).reshape(-1, 2).T
    across, down = _unturned(x, y, photo.orientation)
    width, height = photo.pixels.stored.size
    return np.column_stack([across * width, down * height])


def upright_fractions(photo: Photo, points: ArrayLike) -> Floats:
    """Return points in stored pixels as fractions of the upright photo."""
    width, height = photo.pixels.stored.size
    x, y = (np.asarray(points, dtype=np.float64).reshape(-1, 2) / (width, height)).T
    # A turn is its own way back, but for the two quarter turns, which are each other's.
    opposite = {6: 8, 8: 6}.get(photo.orientation, photo.orientation)
    return np.column_stack(_unturned(x, y, opposite))


def upright_scale(photo: Photo) -> tuple[int, int]:
    """Return the pixels across and down of the upright photo."""
    width, height = photo.pixels.stored.size
    return (height, width) if photo.orientation in SIDEWAYS else (width, height)


def _unturned(x: Floats, y: Floats, orientation: int) -> tuple[Floats, Floats]:
    """Return where points of the unit square lay before the turn of Exif tag 274."""
    return {
        2: (1 - x, y),
        3: (1 - x, 1 - y),
        4: (x, 1 - y),
        5: (y, x),
        6: (y, 1 - x),
        7: (1 - y, 1 - x),
        8: (1 - y, x),
    }.get(orientation, (x, y))


def _codes_inside(photo: Photo, around: Floats) -> NDArray[np.uint8]:
    """Return the codes, n × 3, of the pixels whose centres lie inside a convex polygon."""
    left, top = np.floor(around.min(axis=0)).astype(int)
    right, bottom = np.ceil(around.max(axis=0)).astype(int)
    part = photo.pixels.stored.crop((int(left), int(top), int(right), int(bottom)))
    step = max(1, min(part.size) // ENOUGH)
    codes = np.asarray(part.convert("RGB"))[::step, ::step]
    rows, columns = codes.shape[:2]
    y, x = np.mgrid[0:rows, 0:columns] * step + 0.5
    return np.asarray(codes[_inside(x + left, y + top, around)])


def _inside(x: Floats, y: Floats, around: Floats) -> NDArray[np.bool_]:
    turns = np.array(
        [
            (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0])
            for start, end in pairwise([*around, around[0]])
        ]
    )
    return np.asarray(np.all(turns >= 0, axis=0) | np.all(turns <= 0, axis=0))


def _patch(codes: NDArray[np.uint8], space: ColourSpace) -> Patch:
    light = np.stack([space.tones[channel][codes[:, channel]] for channel in range(3)], axis=1)
    luminance = light @ space.to_xyz[1]
    order = np.argsort(luminance)
    cut = int(TRIMMED * len(order))
    red, green, blue = light[order[cut : len(order) - cut]].mean(axis=0)
    low, high = np.percentile(luminance, (5.0, 95.0))
    spread = lightness_of_luminance(float(high)) - lightness_of_luminance(float(low))
    clipped = float((codes >= CLIPPED_CODE).any(axis=1).mean())
    return Patch((float(red), float(green), float(blue)), spread, clipped, len(codes))
