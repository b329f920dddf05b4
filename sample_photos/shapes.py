"""Outlines that prints are made of, in inches; y runs down the cloth."""

import math
from collections.abc import Sequence

import numpy as np

from sample_photos.canvas import REPEAT_INCHES, Shape

type Point = tuple[float, float]


def circle(centre: Point, radius: float) -> Shape:
    """Return a circle drawn with enough corners to look round."""
    return ellipse(centre, radius, radius)


def ellipse(centre: Point, across: float, along: float, turn: float = 0.0) -> Shape:
    """Return an ellipse with the given half-axes, turned by `turn` degrees."""
    count = max(64, int(max(across, along) * 160))
    t = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return place(np.column_stack([across * np.cos(t), along * np.sin(t)]), centre, turn)


def box(left: float, top: float, right: float, bottom: float) -> Shape:
    """Return a rectangle."""
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])


def polygon(sides: int, centre: Point, radius: float, turn: float = 0.0) -> Shape:
    """Return a regular polygon with a corner at `turn` degrees."""
    t = np.linspace(0, 2 * math.pi, sides, endpoint=False) + math.radians(turn)
    return place(np.column_stack([radius * np.cos(t), radius * np.sin(t)]), centre)


def place(shape: Shape, at: Point, turn: float = 0.0, scale: float = 1.0) -> Shape:
    """Return `shape` scaled, turned by `turn` degrees about its origin and moved to `at`."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    turned: Shape = (shape * scale) @ np.array([[c, s], [-s, c]]) + np.array(at)
    return turned


def smooth(corners: Sequence[Point], steps: int = 10, *, closed: bool = True) -> Shape:
    """Return a smooth curve through `corners` (uniform Catmull-Rom spline)."""
    p = np.array(corners, dtype=np.float64)
    if closed:
        p = np.vstack([p[-1:], p, p[:2]])
    else:
        p = np.vstack([2 * p[:1] - p[1:2], p, 2 * p[-1:] - p[-2:-1]])
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    a, b, c, d = (p[i : len(p) - 3 + i, None, :] for i in range(4))
    curve = 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
    )
    return curve.reshape(-1, 2)


def petal(length: float, width: float, notch: float = 0.0) -> Shape:
    """Return a petal that grows from the origin up (−y); `notch` 0 to 1 dents its tip."""
    half = width / 2
    return smooth(
        [
            (0, 0),
            (half * 0.55, -length * 0.3),
            (half, -length * 0.68),
            (half * 0.62, -length * 0.97),
            (0, -length * (1 - 0.22 * notch)),
            (-half * 0.62, -length * 0.97),
            (-half, -length * 0.68),
            (-half * 0.55, -length * 0.3),
        ]
    )


def leaf(length: float, width: float, bend: float = 0.0) -> Shape:
    """Return a pointed leaf that grows from the origin up (−y), its tip moved aside by `bend`."""
    t = np.linspace(0, 1, 28)
    half = width / 2 * np.sin(math.pi * t**0.8) ** 0.9
    spine = bend * t**2
    right = np.column_stack([spine + half, -length * t])
    left = np.column_stack([spine - half, -length * t])
    return np.vstack([right, left[::-1]])


def stroke(path: Shape, width: float, taper: float = 0.0) -> Shape:
    """Return a brush stroke along `path`; `taper` 1 makes its end a point."""
    step = np.gradient(path, axis=0)
    step /= np.maximum(np.linalg.norm(step, axis=1, keepdims=True), 1e-9)
    side = np.column_stack([-step[:, 1], step[:, 0]])
    share = np.linspace(0, 1, len(path))[:, None]
    half = width / 2 * (1 - taper * share)
    return np.vstack([path + side * half, (path - side * half)[::-1]])


def line(start: Point, end: Point, width: float) -> Shape:
    """Return a straight line of the given width."""
    return stroke(np.array([start, end], dtype=np.float64), width)


def arc(centre: Point, radius: float, start: float, end: float, width: float) -> Shape:
    """Return a band of a circle between two angles in degrees."""
    t = np.radians(np.linspace(start, end, max(8, int(abs(end - start) / 4))))
    return stroke(np.column_stack([np.cos(t), np.sin(t)]) * radius + np.array(centre), width)


def scatter(rng: np.random.Generator, count: int, tries: int = 24) -> list[Point]:
    """Return `count` places on the repeat, evenly loose, as a hand would strew them.

    Each place is the farthest of several drawn at random (Mitchell's best candidate), measured
    across the joins of the repeat.
    """
    points = rng.uniform(0, REPEAT_INCHES, (1, 2))
    for _ in range(count - 1):
        candidates = rng.uniform(0, REPEAT_INCHES, (tries, 2))
        apart = np.abs(candidates[:, None, :] - points[None, :, :])
        apart = np.minimum(apart, REPEAT_INCHES - apart)
        nearest = (apart**2).sum(axis=2).min(axis=1)
        points = np.vstack([points, candidates[nearest.argmax()]])
    return [(float(x), float(y)) for x, y in points]


def drop(columns: int, rows: int) -> list[Point]:
    """Return places on a half-drop grid of the repeat: every other column half a step lower."""
    wide, high = REPEAT_INCHES / columns, REPEAT_INCHES / rows
    return [
        (wide * (column + 0.5), high * (row + 0.25 + 0.5 * (column % 2)))
        for column in range(columns)
        for row in range(rows)
    ]
