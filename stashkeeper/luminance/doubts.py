"""What makes a photo a poor witness: clipped, out of focus, or unevenly lit."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.measurement import Counts
from stashkeeper.luminance.region import Box
from stashkeeper.luminance.samples import Samples, luminance_cells

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
"""Tiles across and down, each with its own percentiles."""
THINNED = 120
"""Samples along the shorter side that are enough for the percentiles of tiles."""
CENTRE_OF_EDGE_TILE = 1 - 1 / TILES
DARKEST = 0.004
"""Luminance below which a change is noise, not light."""

FINENESS = 1500
"""Focus is judged by detail of one part in FINENESS of the region's longer side, or one pixel."""
BLUR_RATIO = 30.0
"""Detail eight times as wide being this many times as strong means blur: 64 times on a perfectly
smooth ramp, under 10 on every sharp photo tried (ours)."""
BLUR_DETAIL = 80.0
"""Less contrast than this (mean square, in codes) in the wide detail is nothing to judge by."""
WINDOW = 128
"""The windows looked at, in units of detail."""
CENTRES = ((0.1, 0.1), (0.9, 0.1), (0.5, 0.5), (0.1, 0.9), (0.9, 0.9))
"""Where they lie, as fractions of what the region leaves to move them in."""


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
    design = _surface(CENTRE_OF_EDGE_TILE)
    terms = np.linalg.lstsq(design, tiles, rcond=None)[0]
    if _explained(tiles[:, 1], design @ terms[:, 1]) < SMOOTH_SHARE:
        return False
    ratio = float(np.exp(np.ptp(_shared(_surface(1.0) @ terms))))
    return (ratio - 1) / (ratio + 1) > UNEVEN


def is_blurred(picture: Image.Image, box: Box) -> bool:
    """Tell whether a region shows edges, but none of them sharp."""
    fine, coarse = 0.0, 0.0
    for window in _windows(picture, box):
        fine += _detail(window, 1) / len(CENTRES)
        coarse += _detail(window, 8) / len(CENTRES)
    return coarse > BLUR_DETAIL and coarse > BLUR_RATIO * fine


def _tile_percentiles(samples: Samples) -> NDArray[np.float64] | None:
    """Return tiles × 3: log luminance at the 10th, 50th, 90th percentile of each tile.

    None where the region is too small, or has gaps, to be judged.
    """
    grid = samples.grids[0]
    every = max(1, min(grid.size) // THINNED)
    (cells,) = luminance_cells(_thinned(samples, every), 1)
    light = cells.light
    rows, columns = (size // TILES for size in light.shape)
    if rows < 4 or columns < 4 or samples.masks is not None:
        return None
    square = light[: rows * TILES, : columns * TILES]
    tiles = square.reshape(TILES, rows, TILES, columns).swapaxes(1, 2).reshape(TILES**2, -1)
    levels = np.percentile(tiles, (10.0, 50.0, 90.0), axis=1).T
    return np.log(np.maximum(levels, DARKEST))


def _thinned(samples: Samples, every: int) -> Samples:
    """Return every so-many-th sample of the first grid: percentiles need no more."""
    grid = samples.grids[0]
    size = grid.width // every, grid.height // every
    return replace(samples, grids=(grid.resize(size, Image.Resampling.NEAREST),), masks=None)


def _surface(reach: float) -> NDArray[np.float64]:
    """Return the terms of a smooth surface, constant, slopes and bends, at points of a grid.

    The grid reaches from −`reach` to `reach`, where ±1 are the edges of the region.
    """
    ramp = np.linspace(-reach, reach, TILES)
    y, x = (axis.ravel() for axis in np.meshgrid(ramp, ramp, indexing="ij"))
    return np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])


def _shared(surfaces: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what three surfaces have in common around their means: the least, if signs agree."""
    around = surfaces - surfaces.mean(axis=0)
    signs = np.sign(around)
    agree = np.abs(signs.sum(axis=1)) == 3
    return np.where(agree, signs[:, 0] * np.abs(around).min(axis=1), 0.0)


def _explained(found: NDArray[np.float64], fitted: NDArray[np.float64]) -> float:
    """Return the share of the variation in `found` that `fitted` explains."""
    varied = float(((found - found.mean()) ** 2).sum())
    return 1.0 if varied == 0 else 1.0 - float(((found - fitted) ** 2).sum()) / varied


def _windows(picture: Image.Image, box: Box) -> Iterator[NDArray[np.float64]]:
    """Yield small windows of a region in grey codes, a unit of detail to a number."""
    unit = max(1, round(max(box.width, box.height) / FINENESS))
    width, height = min(WINDOW * unit, box.width), min(WINDOW * unit, box.height)
    if min(width, height) < 32 * unit:
        return
    for across, down in CENTRES:
        left = box.left + round((box.width - width) * across)
        top = box.top + round((box.height - height) * down)
        window = picture.crop((left, top, left + width, top + height)).reduce(unit).convert("L")
        yield np.asarray(window, dtype=np.float64)


def _detail(window: NDArray[np.float64], side: int) -> float:
    """Return the mean square difference between neighbouring squares of `side` pixels."""
    means = window if side == 1 else _means(window, side)
    return float((np.diff(means, axis=0) ** 2).mean() + (np.diff(means, axis=1) ** 2).mean())


def _means(window: NDArray[np.float64], side: int) -> NDArray[np.float64]:
    """Return the mean of every full square of `side` pixels; sums of whole codes are exact."""
    rows, columns = window.shape[0] // side, window.shape[1] // side
    bands = window[: rows * side, : columns * side].reshape(rows, side, -1).sum(axis=1)
    return np.asarray(bands.reshape(rows, columns, side).sum(axis=2) / side**2)
