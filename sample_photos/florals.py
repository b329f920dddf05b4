"""Floral prints of the sample shelf, large and small."""

import numpy as np

from sample_photos.canvas import Canvas
from sample_photos.flowers import (
    Bloom,
    Foliage,
    bud,
    dog_rose,
    floret,
    one_leaf,
    peony,
    polar,
    spray,
)
from sample_photos.shapes import Point, circle, drop, scatter, smooth, stroke
from sample_photos.tints import Field, lch


def garden_wall(rng: np.random.Generator) -> Field:
    """Return large peonies, coral and blush, on the dark blue-green of a wall at dusk."""
    canvas = Canvas(lch(15, 11, 230))
    dim = Foliage(lch(27, 16, 190), lch(22, 16, 200), lch(34, 14, 180))
    fresh = Foliage(lch(46, 30, 135), lch(37, 28, 150), lch(60, 26, 120))
    coral = Bloom(lch(38, 62, 22), lch(74, 42, 38), lch(24, 42, 18), lch(80, 62, 82))
    blush = Bloom(lch(56, 42, 8), lch(89, 13, 40), lch(34, 40, 12), lch(78, 64, 80))
    honey = Bloom(lch(58, 50, 66), lch(88, 26, 82), lch(34, 36, 50), lch(70, 60, 70))
    plum = Bloom(lch(24, 40, 350), lch(54, 44, 355), lch(15, 28, 340), lch(76, 50, 85))
    for at in scatter(rng, 26):
        spray(canvas, at, rng.uniform(0, 360), rng.uniform(1.5, 2.1), dim, leaves=5)
    heads: list[tuple[Point, float, Bloom]] = [
        ((1.7, 1.7), 1.35, coral),
        ((5.7, 1.1), 1.1, blush),
        ((4.0, 3.7), 1.25, blush),
        ((7.6, 3.9), 1.15, plum),
        ((1.2, 5.3), 1.15, honey),
        ((5.5, 6.3), 1.4, coral),
        ((2.4, 7.6), 0.85, blush),
    ]
    for at, radius, _ in heads:
        start = rng.uniform(0, 360)
        for i in range(5):
            turn = start + 72 * i + rng.uniform(-14, 14)
            one_leaf(canvas, polar(at, radius * 0.75, turn), turn, radius * 0.95, fresh)
    for at, radius, bloom in heads:
        peony(canvas, rng, at, radius, bloom)
    for at in [(3.5, 1.6), (7.5, 1.9), (6.4, 3.6), (3.2, 5.7), (7.6, 6.4), (0.1, 0.2)]:
        bud(canvas, at, rng.uniform(-70, 70), 0.55, coral, fresh.lit)
    return canvas.pixels


def dog_roses(rng: np.random.Generator) -> Field:
    """Return dog roses trailing over a morning cream."""
    canvas = Canvas(lch(92, 8, 88))
    pale = Foliage(lch(84, 13, 125), lch(80, 14, 130), lch(76, 14, 125))
    green = Foliage(lch(68, 26, 130), lch(58, 26, 140), lch(80, 22, 118))
    rose = Bloom(lch(90, 12, 40), lch(70, 38, 8), lch(54, 42, 8), lch(80, 62, 84))
    white = Bloom(lch(84, 22, 100), lch(94, 6, 60), lch(70, 24, 15), lch(76, 62, 80))
    for at in scatter(rng, 15):
        spray(canvas, at, rng.uniform(0, 360), 2.0, pale, leaves=5, curl=14)
    heads = [
        (0.9, 1.2),
        (3.4, 0.6),
        (6.0, 1.9),
        (2.3, 3.5),
        (4.8, 4.4),
        (7.3, 4.6),
        (0.8, 6.0),
        (3.3, 6.6),
        (6.2, 7.0),
    ]
    for at in heads:
        turn = rng.uniform(0, 360)
        spray(canvas, at, turn, 1.75, green, leaves=4, curl=22)
        spray(canvas, at, turn + rng.uniform(130, 210), 1.5, green, leaves=4, curl=-20)
    for at in scatter(rng, 11):
        bud(canvas, at, rng.uniform(-80, 80), 0.36, rose, green.shade)
    for i, at in enumerate(heads):
        dog_rose(canvas, rng, at, rng.uniform(0.72, 0.92), rose if i % 3 else white)
    return canvas.pixels


def ditsy(
    rng: np.random.Generator, ground: Field, blooms: tuple[Bloom, ...], green: Field, count: int
) -> Field:
    """Return a ditsy print: tiny flowers strewn over `ground`, none larger than a lentil."""
    canvas = Canvas(ground)
    for i, at in enumerate(scatter(rng, count)):
        turn = rng.uniform(0, 360)
        stem = smooth([at, polar(at, 0.16, turn + 150), polar(at, 0.3, turn + 178)], closed=False)
        canvas.fill(stroke(stem, 0.022), green)
        for lean in (118, 205):
            shape = Foliage(green, green, green)
            one_leaf(canvas, polar(at, 0.12, turn + 150), turn + lean, 0.15, shape)
        floret(canvas, at, rng.uniform(0.105, 0.15), turn, blooms[i % len(blooms)])
    for at in scatter(rng, count):
        canvas.fill(circle(at, 0.022), blooms[0].pale)
    return canvas.pixels


def thrift(rng: np.random.Generator) -> Field:
    """Return white and deep pink florets on thrift pink."""
    white = Bloom(lch(90, 6, 20), lch(96, 2, 20), lch(60, 30, 5), lch(82, 55, 85))
    deep = Bloom(lch(34, 48, 2), lch(44, 52, 4), lch(30, 40, 0), lch(88, 20, 80))
    return ditsy(rng, lch(60, 35, 4), (white, deep, white), lch(45, 24, 150), 250)


def night_garden(rng: np.random.Generator) -> Field:
    """Return forget-me-nots strewn on a midnight blue."""
    blue = Bloom(lch(60, 30, 262), lch(74, 22, 255), lch(30, 30, 265), lch(88, 50, 90))
    white = Bloom(lch(80, 8, 250), lch(94, 3, 250), lch(30, 30, 265), lch(80, 60, 80))
    return ditsy(rng, lch(13, 16, 275), (blue, blue, white), lch(38, 18, 165), 210)


def leaf_trail(
    rng: np.random.Generator, ground: Field, lit: Field, shade: Field, *, columns: int = 5
) -> Field:
    """Return leafy sprays in a half-drop repeat, a step or two from their ground."""
    canvas = Canvas(ground)
    foliage = Foliage(lit, shade, lit)
    for x, y in drop(columns + columns % 2, 5):
        turn = rng.uniform(-30, 30)
        spray(canvas, (x, y + 0.6), turn - 20, 1.35, foliage, leaves=5, curl=10)
        spray(canvas, (x + 0.05, y + 0.6), turn + 140, 1.0, foliage, leaves=4, curl=-12)
    return canvas.pixels


def sprigs(ground: Field, ink: Field) -> Field:
    """Return small upright sprigs in a half-drop repeat, printed in one ink."""
    canvas = Canvas(ground)
    foliage = Foliage(ink, ink, ink)
    for i, (x, y) in enumerate(drop(10, 8)):
        lean = 12 if i % 2 else -12
        spray(canvas, (x, y + 0.28), lean, 0.6, foliage, leaves=4, curl=-lean / 2)
        for dx, dy in ((0.0, -0.42), (-0.09, -0.36), (0.09, -0.36)):
            canvas.fill(circle((x + dx, y + dy), 0.032), ink)
    return canvas.pixels
