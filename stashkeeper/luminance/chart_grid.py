"""The grid of a 24-patch chart in a photo: corners given roughly, set right by the patches."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.patches import Patch, patch_light
from stashkeeper.luminance.perspective import perspective_through

COLUMNS, ROWS = 6, 4
GRID = np.array([(0, 0), (COLUMNS, 0), (COLUMNS, ROWS), (0, ROWS)], dtype=np.float64)
"""The corners of the grid, a patch and half of the gaps around it to a unit."""
CORE = 0.2
"""Half the side of the middle of a patch that is read, of the distance between patches."""
WINDOW = 0.3
"""Half the side of what has to be even for the grid to sit well."""
SAMPLES = 6
STEPS = (0.24, 0.12, 0.06, 0.03)
"""How far corners are moved to make them sit better, in units of the grid; coarse to fine."""
FINE_DETAIL = 640
"""Pixels along the longer side of the chart that are enough to place the grid."""
MARGINS = (0.0, -0.5, 0.35)
"""What corners may be meant, in units of the grid: those of the patches, the middles of the outer
patches, the edge of the chart."""


def corners_meant(corners: Floats) -> Iterator[Floats]:
    """Yield the corners of the grid for each thing that the four corners given may be."""
    outwards = np.sign(GRID - GRID.mean(axis=0))
    for margin in MARGINS:
        yield perspective_through(GRID + margin * outwards, corners)(GRID)


def settled_corners(photo: Photo, corners: Floats) -> Floats:
    """Return corners of the grid, moved until every patch window is as even as it can be.

    Args:
        photo: an open photo.
        corners: 4 × 2, in stored pixels, in order around the chart.
    """
    around = 0.06 * np.ptp(corners, axis=0).max()
    left, top = np.floor(corners.min(axis=0) - around).astype(int)
    right, bottom = np.ceil(corners.max(axis=0) + around).astype(int)
    part = photo.pixels.stored.crop((int(left), int(top), int(right), int(bottom)))
    step = max(1, max(part.size) // FINE_DETAIL)
    codes = np.asarray(part.reduce(step).convert("RGB"), dtype=np.float64)
    origin = np.array([left, top], dtype=np.float64)
    local = (corners - origin) / step
    for stride in STEPS:
        local = _moved(codes, local, stride)
    return np.asarray(local * step + origin)


def read_patches(photo: Photo, corners: Floats) -> list[Patch | None]:
    """Return the patches row by row, as the corners order them."""
    return [patch_light(photo, square) for square in patch_squares(corners, CORE)]


def patch_squares(corners: Floats, half: float) -> Iterator[Floats]:
    """Yield the corners of a square around the middle of each patch, row by row."""
    place = perspective_through(GRID, corners)
    for row in range(ROWS):
        for column in range(COLUMNS):
            x, y = column + 0.5, row + 0.5
            square = [(x - half, y - half), (x + half, y - half)]
            yield place([*square, (x + half, y + half), (x - half, y + half)])


def _moved(codes: Floats, corners: Floats, stride: float) -> Floats:
    """Return corners after every move of one stride that makes the patches more even."""
    best, least = corners, _unevenness(codes, corners)
    better = True
    while better:
        better = False
        for move in _moves():
            tried = perspective_through(GRID, best)(GRID + stride * move)
            found = _unevenness(codes, tried)
            if found < least * 0.999:
                best, least, better = tried, found, True
    return best


def _moves() -> Iterator[NDArray[np.float64]]:
    """Yield ways to move the four corners: together, apart, and one by one."""
    x, y = np.array([1.0, 0.0]), np.array([0.0, 1.0])
    ones, across, down = np.ones(4), np.array([-1, 1, 1, -1]), np.array([-1, -1, 1, 1])
    patterns = [ones, across, down, *np.eye(4)]
    for pattern in patterns:
        for axis in (x, y):
            for sign in (1.0, -1.0):
                yield sign * np.outer(pattern, axis)


def _unevenness(codes: Floats, corners: Floats) -> float:
    """Return how uneven the patch windows are in all; a grid leaving the picture is the worst."""
    ramp = (np.arange(SAMPLES) - (SAMPLES - 1) / 2) / (SAMPLES - 1) * 2 * WINDOW
    across, down = np.meshgrid(np.arange(COLUMNS) + 0.5, np.arange(ROWS) + 0.5)
    x = across.reshape(-1, 1, 1) + ramp[np.newaxis, np.newaxis, :]
    y = down.reshape(-1, 1, 1) + ramp[np.newaxis, :, np.newaxis]
    x, y = np.broadcast_arrays(x, y)
    points = perspective_through(GRID, corners)(np.stack([x.ravel(), y.ravel()], axis=1))
    column, row = np.floor(points).astype(int).T
    height, width = codes.shape[:2]
    if column.min() < 0 or row.min() < 0 or column.max() >= width or row.max() >= height:
        return float("inf")
    windows = codes[row, column].reshape(COLUMNS * ROWS, -1, 3)
    return float(np.sqrt(windows.var(axis=1).sum(axis=1)).sum())
