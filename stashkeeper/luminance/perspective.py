"""Perspective: where points of a flat thing lie in a photo of it, and the way back.

A camera maps a plane to its picture by a 3 × 3 matrix in homogeneous coordinates (Hartley and
Zisserman, Multiple View Geometry, 2nd edition, algorithm 4.2: the normalised direct linear
transform).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from stashkeeper.luminance.colour_space import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Perspective:
    """A mapping of points of one plane to another."""

    matrix: Floats

    def __call__(self, points: ArrayLike) -> Floats:
        """Return where points, n × 2, go."""
        given = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        ends = np.column_stack([given, np.ones(len(given))]) @ self.matrix.T
        return np.asarray(ends[:, :2] / ends[:, 2:])

    @property
    def back(self) -> "Perspective":
        """The way back."""
        return Perspective(np.linalg.inv(self.matrix))


def perspective_through(start: ArrayLike, end: ArrayLike) -> Perspective:
    """Return the perspective that takes points, n × 2, nearest to others, at least four of each.

    No three of the four may lie on one line; then the result is of no use.
    """
    given, wanted = (np.asarray(points, dtype=np.float64).reshape(-1, 2) for points in (start, end))
    before, after = _normaliser(given), _normaliser(wanted)
    x, y = Perspective(before)(given).T
    u, v = Perspective(after)(wanted).T
    one, zero = np.ones_like(x), np.zeros_like(x)
    rows = np.vstack(
        [
            np.column_stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u]),
            np.column_stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v]),
        ]
    )
    matrix = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    return Perspective(np.linalg.inv(after) @ matrix @ before)


def in_order(corners: ArrayLike) -> Floats:
    """Return four corners, given in any order, with the clock from the upper left one.

    With the clock as a photo is seen, where y grows downwards.
    """
    points = np.asarray(corners, dtype=np.float64).reshape(4, 2)
    across, down = (points - points.mean(axis=0)).T
    around = points[np.argsort(np.arctan2(down, across))]
    return np.roll(around, -int(np.argmin(around.sum(axis=1))), axis=0)


def is_convex(corners: ArrayLike) -> bool:
    """Tell whether four corners in order go round a real, convex quadrilateral."""
    points = np.asarray(corners, dtype=np.float64).reshape(4, 2)
    sides = np.roll(points, -1, axis=0) - points
    turns = sides[:, 0] * np.roll(sides[:, 1], -1) - sides[:, 1] * np.roll(sides[:, 0], -1)
    return bool(np.all(turns > 0) or np.all(turns < 0))


def _normaliser(points: Floats) -> Floats:
    """Return the matrix that brings points around 0 at a mean distance of √2."""
    centre = points.mean(axis=0)
    reach = max(float(np.hypot(*(points - centre).T).mean()), 1e-12)
    scale = np.sqrt(2) / reach
    return np.array([[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]])
