"""What makes a photo a poor witness: clipped, out of focus, or unevenly lit."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.measurement import Counts
from stashkeeper.luminance.region import Box
from stashkeeper.luminance.samples import Samples

CLIPPED_CODE = 254
CLIPPED_SHARE = 0.01
"""A channel counts as clipped with more than this share of its pixels at CLIPPED_CODE or above."""
BLACK_CODE = 1
BLACK_SHARE = 0.5
"""A region counts as lost in black with more than this share at BLACK_CODE or below."""

UNEVEN = 0.25
"""Light that varies by more than ± this share of its middle across the region is uneven."""
SMOOTH_SHARE = 0.85
"""Light falls off smoothly: a smooth surface must explain this share of the variation."""
TILES = 6
DARKEST = 0.004

BLUR_RATIO = 30.0
"""Detail eight pixels wide this many times as strong as detail one pixel wide means blur."""
BLUR_DETAIL = 9.0
"""Less contrast than this (mean square, in codes) gives nothing to judge focus by."""
WINDOW = 128


def is_clipped(histograms: Counts) -> bool:
    """Tell whether too much of a region is at the brightest codes, or lost in black."""
    pixels = histograms.sum(axis=1)
    bright = histograms[:, CLIPPED_CODE:].sum(axis=1) > CLIPPED_SHARE * pixels
    black = histograms[:, : BLACK_CODE + 1].sum(axis=1) > BLACK_SHARE * pixels
    return bool(bright.any() or black.all())


def is_uneven(samples: Samples) -> bool:
    """Tell whether the light, not the print, changes by more than ± UNEVEN across the region.

    Light changes the dark, the middle and the bright parts of a print by the same factor, and
    smoothly; a print does neither. So a smooth surface is fitted to the 10th, 50th and 90th
    percentile of each tile, in log luminance, and only what all three share counts as light.
    """
    tiles = _tile_percentiles(samples)
    if tiles is None:
        return False
    design = _surface()
    fitted = design @ np.linalg.lstsq(design, tiles, rcond=None)[0]
    if _explained(tiles[:, 1], fitted[:, 1]) < SMOOTH_SHARE:
        return False
    fitted -= fitted.mean(axis=0)
    shared = np.where(
        np.abs(np.sign(fitted).sum(axis=1)) == 3,
        np.sign(fitted[:, 1]) * np.abs(fitted).min(axis=1),
        0.0,
    )
    ratio = float(np.exp(np.ptp(shared)))
    return (ratio - 1) / (ratio + 1) > UNEVEN


def is_blurred(picture: Image.Image, box: Box) -> bool:
    """Tell whether a region shows edges, but none of them sharp at the scale of pixels."""
    fine, coarse = 0.0, 0.0
    for window in _windows(picture, box):
        fine += _detail(window, 1)
        coarse += _detail(window, 8)
    return coarse > 9 * BLUR_DETAIL and coarse > BLUR_RATIO * fine


def _tile_percentiles(samples: Samples) -> NDArray[np.float64] | None:
    """Return tiles × 3: log luminance at the 10th, 50th, 90th percentile of each tile.

    None where the region is too small, or has gaps, to be judged.
    """
    rows, columns = (size // TILES for size in samples.light.shape)
    if rows < 4 or columns < 4 or samples.cloth is not None:
        return None
    light = samples.light[: rows * TILES, : columns * TILES]
    tiles = light.reshape(TILES, rows, TILES, columns).swapaxes(1, 2).reshape(TILES**2, -1)
    levels = np.percentile(tiles, (10.0, 50.0, 90.0), axis=1).T
    return np.log(np.maximum(levels, DARKEST))


def _surface() -> NDArray[np.float64]:
    """Return the terms of a smooth surface over the tiles: constant, slopes and bends."""
    ramp = np.linspace(-1.0, 1.0, TILES)
    y, x = (axis.ravel() for axis in np.meshgrid(ramp, ramp, indexing="ij"))
    return np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])


def _explained(found: NDArray[np.float64], fitted: NDArray[np.float64]) -> float:
    """Return the share of the variation in `found` that `fitted` explains."""
    varied = float(((found - found.mean()) ** 2).sum())
    return 1.0 if varied == 0 else 1.0 - float(((found - fitted) ** 2).sum()) / varied


def _windows(picture: Image.Image, box: Box) -> Iterator[NDArray[np.float64]]:
    """Yield nine small windows of a region at full size, in grey codes."""
    width, height = min(WINDOW, box.width // 3), min(WINDOW, box.height // 3)
    if min(width, height) < 32:
        return
    for row in range(3):
        for column in range(3):
            left = box.left + (box.width - width) * column // 2
            top = box.top + (box.height - height) * row // 2
            window = picture.crop((left, top, left + width, top + height)).convert("L")
            yield np.asarray(window, dtype=np.float64)


def _detail(window: NDArray[np.float64], side: int) -> float:
    """Return the mean square difference between neighbouring squares of `side` pixels."""
    rows, columns = window.shape[0] // side, window.shape[1] // side
    squares = window[: rows * side, : columns * side].reshape(rows, side, columns, side)
    means = squares.mean(axis=(1, 3))
    return float((np.diff(means, axis=0) ** 2).mean() + (np.diff(means, axis=1) ** 2).mean())
