"""Flowers and leaves, each drawn petal by petal on a canvas."""

import math
from dataclasses import dataclass

import numpy as np

from sample_photos.canvas import Canvas, along
from sample_photos.shapes import Point, circle, leaf, petal, place, smooth, stroke
from sample_photos.tints import Field, mix


@dataclass(frozen=True)
class Bloom:
    """The colours of a flower: `deep` at the heart, `pale` at the rim, a line, and its centre."""

    deep: Field
    pale: Field
    outline: Field
    centre: Field


@dataclass(frozen=True)
class Foliage:
    """The colours of leaves: the lit half, the shaded half and the veins."""

    lit: Field
    shade: Field
    vein: Field


def polar(at: Point, distance: float, angle: float) -> Point:
    """Return the place `distance` from `at` towards `angle` degrees clockwise from up."""
    turn = math.radians(angle)
    return at[0] + distance * math.sin(turn), at[1] - distance * math.cos(turn)


def one_petal(
    canvas: Canvas, at: Point, turn: float, size: tuple[float, float, float], bloom: Bloom
) -> None:
    """Draw a petal from `at`: outline, gradient and fine veins. Size: length, width, notch."""
    length, width, notch = size
    tip = polar(at, length, turn)
    outline = petal(length * 1.035, width * 1.06, notch)
    canvas.fill(place(outline, at, turn), bloom.outline, 0.85)
    body = place(petal(length, width, notch), at, turn)
    canvas.fill(body, along(polar(at, length * 0.15, turn), tip, bloom.deep, bloom.pale))
    for lean in (-16, -6, 6, 16):
        root, end = polar(at, length * 0.18, turn), polar(at, length * 0.72, turn + lean)
        vein = stroke(np.linspace(root, end, 8), length * 0.022, 1.0)
        canvas.fill(vein, bloom.deep, 0.4)


def peony(canvas: Canvas, rng: np.random.Generator, at: Point, radius: float, bloom: Bloom) -> None:
    """Draw a full, many-petalled flower of the given radius."""
    rings = ((8, 1.0, 0.62), (7, 0.82, 0.58), (6, 0.64, 0.52), (5, 0.47, 0.44), (4, 0.32, 0.34))
    start = rng.uniform(0, 360)
    for index, (count, reach, wide) in enumerate(rings):
        light = 0.14 * index
        ring = Bloom(
            mix(bloom.deep, bloom.pale, 0.08 * index),
            mix(bloom.pale, bloom.deep, light),
            bloom.outline,
            bloom.centre,
        )
        for i in range(count):
            turn = start + 360 / count * (i + 0.5 * (index % 2)) + rng.uniform(-9, 9)
            length = radius * reach * rng.uniform(0.92, 1.06)
            size = (length, radius * wide * rng.uniform(0.9, 1.15), rng.uniform(0.2, 0.8))
            one_petal(canvas, polar(at, radius * 0.02, turn), turn, size, ring)
    stamens(canvas, rng, at, radius * 0.17, bloom, 15)


def dog_rose(
    canvas: Canvas, rng: np.random.Generator, at: Point, radius: float, bloom: Bloom
) -> None:
    """Draw an open flower of five notched petals."""
    start = rng.uniform(0, 72)
    for i in range(5):
        turn = start + 72 * i + rng.uniform(-4, 4)
        size = (radius * rng.uniform(0.95, 1.05), radius * 1.02, rng.uniform(0.5, 0.95))
        one_petal(canvas, at, turn, size, bloom)
    stamens(canvas, rng, at, radius * 0.30, bloom, 22)


def stamens(
    canvas: Canvas, rng: np.random.Generator, at: Point, reach: float, bloom: Bloom, count: int
) -> None:
    """Draw a flower's centre: fine threads ending in grains of pollen round a button."""
    for i in range(count):
        end = polar(at, reach * rng.uniform(0.62, 1.05), 360 / count * i + rng.uniform(-6, 6))
        canvas.fill(stroke(np.array([at, end]), reach * 0.05), bloom.centre, 0.75)
        canvas.fill(circle(end, reach * 0.10), bloom.centre)
    canvas.fill(circle(at, reach * 0.36), bloom.outline, 0.8)
    canvas.fill(circle(at, reach * 0.29), bloom.centre)


def one_leaf(canvas: Canvas, at: Point, turn: float, length: float, foliage: Foliage) -> None:
    """Draw a leaf growing from `at` towards `turn` degrees, half lit, with veins."""
    width = length * 0.46
    bend = length * 0.10
    blade = leaf(length, width, bend)
    canvas.fill(place(blade, at, turn), foliage.lit)
    middle = len(blade) // 2
    t = np.linspace(0, 1, middle)
    spine = np.column_stack([bend * t**2, -length * t])
    canvas.fill(place(np.vstack([blade[:middle], spine[::-1]]), at, turn), foliage.shade)
    canvas.fill(place(stroke(spine, length * 0.035, 0.9), at, turn), foliage.vein)
    for share in (0.25, 0.42, 0.59, 0.74):
        root = spine[int(share * middle)]
        for side in (-1, 1):
            end = root + np.array([side * width * 0.36 * (1.1 - share), -length * 0.15])
            vein = stroke(np.array([root, end]), length * 0.016, 0.6)
            canvas.fill(place(vein, at, turn), foliage.vein, 0.8)


def spray(
    canvas: Canvas,
    at: Point,
    turn: float,
    length: float,
    foliage: Foliage,
    *,
    leaves: int = 5,
    curl: float = 18.0,
) -> None:
    """Draw a curved stem with leaves in pairs and one at its tip."""
    points = [at]
    for i in range(leaves):
        points.append(polar(points[-1], length / leaves, turn + curl * i))
    canvas.fill(stroke(smooth(points, closed=False), length * 0.025, 0.5), foliage.vein)
    for i, point in enumerate(points[1:]):
        heading = turn + curl * i
        size = length * (0.30 - 0.10 * i / leaves)
        if i + 1 < leaves:
            one_leaf(canvas, point, heading - 52, size, foliage)
            one_leaf(canvas, point, heading + 52, size, foliage)
        else:
            one_leaf(canvas, point, heading, size, foliage)


def floret(canvas: Canvas, at: Point, radius: float, turn: float, bloom: Bloom) -> None:
    """Draw a tiny flower: five round petals and a centre, as in a ditsy print."""
    for i in range(5):
        spot = polar(at, radius * 0.58, turn + 72 * i)
        shade = along(at, polar(at, radius, turn + 72 * i), bloom.deep, bloom.pale)
        canvas.fill(circle(spot, radius * 0.44), shade)
    canvas.fill(circle(at, radius * 0.27), bloom.centre)


def bud(canvas: Canvas, at: Point, turn: float, length: float, bloom: Bloom, green: Field) -> None:
    """Draw a closed bud with its green cup."""
    tip = polar(at, length, turn)
    shade = along(at, tip, bloom.deep, bloom.pale)
    canvas.fill(place(petal(length, length * 0.62), at, turn), shade)
    for lean in (-24, 24):
        canvas.fill(place(leaf(length * 0.62, length * 0.24), at, turn + lean), green)
