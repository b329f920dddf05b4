"""A repeat of cloth to draw on: shapes with smooth edges, laid down in linear light.

The repeat is 8 in square and joins itself on all sides, as a printed repeat does. Shapes are
polygons in inches. Each is drawn four times as fine as the canvas; the share of a pixel that it
covers then mixes the two colours in linear light, so that the mean of the canvas is the mean of
the areas, which is what an eye at a distance averages.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from sample_photos.tints import Field, mix

REPEAT_INCHES = 8.0
PIXELS_PER_INCH = 160
SIDE = 1280
"""Pixels along the edge of a repeat."""

_FINE = 4

type Shape = NDArray[np.float64]
"""Corners of a polygon, (n, 2), in inches."""

type Paint = Field | Callable[[Field, Field], Field]
"""A flat colour, or a function of x and y in inches that gives colours."""


class Canvas:
    """One repeat of cloth in linear light.

    Attributes:
        pixels: reflectance, (1280, 1280, 3).
    """

    def __init__(self, ground: Field) -> None:
        self.pixels: Field = np.empty((SIDE, SIDE, 3), dtype=np.float32)
        self.pixels[:] = ground

    def fill(self, shape: Shape, paint: Paint, opacity: float = 1.0, *, wrap: bool = True) -> None:
        """Lay `shape` down in `paint`.

        What leaves the repeat comes back on the other side, unless `wrap` is off or the shape is
        as large as the repeat.
        """
        points = shape * PIXELS_PER_INCH
        start = np.floor(points.min(axis=0)).astype(int) - 1
        stop = np.ceil(points.max(axis=0)).astype(int) + 1
        held = (stop - start > SIDE) | (not wrap)
        start, stop = (
            np.where(held, np.maximum(start, 0), start),
            np.where(held, np.minimum(stop, SIDE), stop),
        )
        if (stop <= start).any():
            return
        (left, top), (right, bottom) = start, stop
        cover = _cover(points - start, right - left, bottom - top) * np.float32(opacity)
        rows, columns = np.arange(top, bottom), np.arange(left, right)
        window = np.ix_(rows % SIDE, columns % SIDE)
        colour = _colour(paint, rows, columns)
        self.pixels[window] = mix(self.pixels[window], colour, cover)

    def blend(self, cover: Field, colour: Field) -> None:
        """Mix `colour` in everywhere by the share `cover`, (1280, 1280), 0 to 1."""
        self.pixels = mix(self.pixels, colour, cover)


def _colour(paint: Paint, rows: NDArray[np.int_], columns: NDArray[np.int_]) -> Field:
    if not callable(paint):
        return paint
    x = ((columns + 0.5) / PIXELS_PER_INCH).astype(np.float32)[None, :]
    y = ((rows + 0.5) / PIXELS_PER_INCH).astype(np.float32)[:, None]
    return paint(x, y)


def _cover(points: Shape, width: int, height: int) -> Field:
    image = Image.new("L", (int(width) * _FINE, int(height) * _FINE))
    corners = [(float(x), float(y)) for x, y in _inset(points * _FINE, 0.5) - 0.5]
    ImageDraw.Draw(image).polygon(corners, fill=255)
    return np.asarray(image.reduce(_FINE), dtype=np.float32) / np.float32(255)


def _inset(points: Shape, by: float) -> Shape:
    """Return an outline drawn in by `by` on all sides, its corners mitred.

    Pillow colours every pixel that an outline touches, which is half a pixel too much all round.
    """
    step = np.roll(points, -1, axis=0) - points
    step /= np.maximum(np.hypot(step[:, :1], step[:, 1:]), 1e-9)
    x, y = points[:, 0], points[:, 1]
    turned = np.sign(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
    inward = np.column_stack([-step[:, 1], step[:, 0]]) * turned
    before = np.roll(inward, 1, axis=0)
    mitre = np.maximum(1 + (inward * before).sum(axis=1, keepdims=True), 0.3)
    shifted: Shape = points + by * (inward + before) / mitre
    return shifted


def along(start: tuple[float, float], end: tuple[float, float], one: Field, other: Field) -> Paint:
    """Return a paint that runs from the colour `one` at `start` to `other` at `end`."""
    (x0, y0), (x1, y1) = start, end
    length = (x1 - x0) ** 2 + (y1 - y0) ** 2

    def paint(x: Field, y: Field) -> Field:
        share = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length
        return mix(one, other, np.clip(share, 0, 1).astype(np.float32))

    return paint


def clouds(rng: np.random.Generator, inches: float, roughness: float = 2.0) -> Field:
    """Return a cloudy field, mean 0, deviation 1, that joins itself at the edges.

    Args:
        rng: the source of chance.
        inches: size of the largest clouds.
        roughness: how fast finer detail fades; 2 is soft, 1 is grainy.
    """
    noise = rng.standard_normal((SIDE, SIDE))
    fy = np.fft.fftfreq(SIDE)[:, None] * SIDE
    fx = np.fft.rfftfreq(SIDE)[None, :] * SIDE
    radius = np.hypot(fx, fy) * inches / REPEAT_INCHES
    weight = 1 / (1 + radius**2) ** (roughness / 2 + 0.5)
    field = np.fft.irfft2(np.fft.rfft2(noise) * weight, s=(SIDE, SIDE))
    field -= field.mean()
    return (field / field.std()).astype(np.float32)
