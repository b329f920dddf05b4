"""Cloth laid on a table by a window: what the simulated phone looks at.

Everything here is in linear light. A scene is a table top with pieces of cloth on it, each with
soft folds, pressed creases, cut, pinked or folded edges and a shadow. The window is up and left.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from sample_photos.canvas import PIXELS_PER_INCH, SIDE
from sample_photos.fabrics import cloth
from sample_photos.soften import blur
from sample_photos.tints import Field, field, lch, luminance, mix

_WINDOW = (-0.62, -0.78)


class Edge(StrEnum):
    """How an edge of a piece of cloth ends."""

    CUT = "cut"
    PINKED = "pinked"
    FOLD = "fold"


@dataclass(frozen=True)
class Lay:
    """A piece of cloth in a scene.

    Attributes:
        name: the fabric.
        left, top, width, height: where it lies, in pixels of the scene.
        scale: pixels to the inch of cloth.
        turn: degrees clockwise about its middle.
        edges: its left, top, right and bottom edge.
        layers: how many folds of the same cloth peep out below.
        rumple: 0 pressed flat, 1 as it came out of the box.
    """

    name: str
    left: float
    top: float
    width: float
    height: float
    scale: float
    turn: float = 0.0
    edges: tuple[Edge, Edge, Edge, Edge] = (Edge.CUT, Edge.CUT, Edge.CUT, Edge.CUT)
    layers: int = 0
    rumple: float = 1.0


def table(rng: np.random.Generator, width: int, height: int, scale: float, kind: str) -> Field:
    """Return a bare table top: `oak` planks, or a grey `felt` pressing mat."""
    if kind == "felt":
        grain = rng.standard_normal((height, width)).astype(np.float32)
        fibres = blur(grain, 1.2) * 2.0 + blur(rng.standard_normal((height, width)), 14) * 10
        tone = (1 + 0.06 * np.clip(fibres, -3, 3))[:, :, None]
        return field(lch(57, 2, 250) * tone)
    return _oak(rng, width, height, scale)


def lay(scene: Field, piece: Lay, rng: np.random.Generator) -> Field:
    """Return the scene with a piece of cloth laid on it."""
    for layer in range(piece.layers, 0, -1):
        slip = 0.035 * piece.scale * layer
        under = Lay(
            piece.name,
            piece.left + slip * rng.uniform(0.1, 1.0),
            piece.top + slip * rng.uniform(0.4, 1.0),
            piece.width,
            piece.height,
            piece.scale,
            piece.turn + rng.uniform(-0.35, 0.35),
            piece.edges,
            rumple=0.4,
        )
        scene = _lay_one(scene, under, rng)
    return _lay_one(scene, piece, rng)


def _lay_one(scene: Field, piece: Lay, rng: np.random.Generator) -> Field:
    height, width = scene.shape[:2]
    u, v = _local(piece, width, height)
    cover = _cover(piece, u, v, rng)
    rise = _folds(piece, u, v, rng) * np.float32(piece.rumple)
    light = _shading(rise, piece) * _rolled_edges(piece, u, v)
    offset = _typical_part(piece, rng)
    seen = _sample(piece, u + 0.35 * rise * piece.scale, v + 0.35 * rise * piece.scale, offset)
    scene = scene * _shadow(cover, piece.scale)[:, :, None]
    return mix(scene, np.clip(seen * light[:, :, None], 0, 1.3), cover)


def _local(piece: Lay, width: int, height: int) -> tuple[Field, Field]:
    """Return each pixel's place on the piece, in pixels from its top left corner."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float32) + np.float32(0.5)
    cx, cy = piece.left + piece.width / 2, piece.top + piece.height / 2
    c, s = math.cos(math.radians(piece.turn)), math.sin(math.radians(piece.turn))
    u = (x - cx) * c + (y - cy) * s + piece.width / 2
    v = (y - cy) * c - (x - cx) * s + piece.height / 2
    return u.astype(np.float32), v.astype(np.float32)


def _cover(piece: Lay, u: Field, v: Field, rng: np.random.Generator) -> Field:
    """Return the share of each pixel that the piece covers."""
    distances = (u, v, piece.width - u, piece.height - v)
    runs = (v, u, v, u)
    cover = np.ones_like(u)
    for distance, run, edge in zip(distances, runs, piece.edges, strict=True):
        inches = run / piece.scale
        inside = distance.copy()
        if edge is Edge.PINKED:
            inside -= np.abs((inches / 0.17) % 1 - 0.5) * 2 * 0.085 * piece.scale
        wave = np.sin(inches * rng.uniform(0.5, 1.2) + rng.uniform(0, 6))
        inside += 0.02 * piece.scale * wave.astype(np.float32)
        cover = np.minimum(cover, np.clip(inside + 0.5, 0, 1))
    return cover.astype(np.float32)


def _folds(piece: Lay, u: Field, v: Field, rng: np.random.Generator) -> Field:
    """Return how high the cloth stands, in inches: soft folds and pressed creases."""
    x, y = u / piece.scale, v / piece.scale
    wide, high = piece.width / piece.scale, piece.height / piece.scale
    rise = np.zeros_like(u)
    for _ in range(4):
        turn = rng.uniform(0, math.pi)
        reach = rng.uniform(1.6, 3.6)
        run = x * math.cos(turn) + y * math.sin(turn)
        across = y * math.cos(turn) - x * math.sin(turn)
        bend = 0.5 * np.sin(across * rng.uniform(0.3, 0.8) + rng.uniform(0, 6))
        swell = np.sin(run * 2 * math.pi / reach / 1.6 + bend + rng.uniform(0, 6))
        rise += 0.015 * reach * swell
    for _ in range(2):
        turn = rng.uniform(-0.7, 0.7) + rng.choice([0.0, math.pi / 2])
        at = (rng.uniform(0.15, 0.85) * wide, rng.uniform(0.15, 0.85) * high)
        run = (x - at[0]) * math.cos(turn) + (y - at[1]) * math.sin(turn)
        across = (y - at[1]) * math.cos(turn) - (x - at[0]) * math.sin(turn)
        run = run + 0.25 * np.sin(across * 0.7 + rng.uniform(0, 6))
        fade = np.exp(-((across / rng.uniform(1.5, 3.5)) ** 2))
        rise += 0.055 * np.exp(-((run / rng.uniform(0.22, 0.5)) ** 2)) * fade
    for run, length in ((x, wide), (y, high)):
        where = length * rng.choice([1 / 3, 1 / 2, 2 / 3]) + rng.uniform(-0.1, 0.1)
        rise -= 0.010 * np.exp(-np.abs(run - where) / 0.07)
    return rise.astype(np.float32)


def _shading(rise: Field, piece: Lay) -> Field:
    """Return the light that falls on sloping cloth, 1 where it lies flat."""
    down, right = np.gradient(rise * piece.scale)
    slope = right * _WINDOW[0] + down * _WINDOW[1]
    return field(np.clip(1 - 0.9 * slope / np.sqrt(1 + slope**2), 0.55, 1.25))


def _rolled_edges(piece: Lay, u: Field, v: Field) -> Field:
    """Return the light on folded edges, which roll over, and on raw ones, which lift a little."""
    light = np.ones_like(u)
    facing = (-_WINDOW[0], -_WINDOW[1], _WINDOW[0], _WINDOW[1])
    distances = (u, v, piece.width - u, piece.height - v)
    for distance, edge, lit in zip(distances, piece.edges, facing, strict=True):
        reach, strength = (0.16, 0.34) if edge is Edge.FOLD else (0.03, 0.12)
        near = np.exp(-np.maximum(distance, 0) / (reach * piece.scale))
        light *= 1 + strength * (lit * 0.55 - 0.35) * near
    return light


def _sample(piece: Lay, u: Field, v: Field, offset: NDArray[np.float64]) -> Field:
    """Return the cloth's colours at places on the piece (bilinear, the repeat joined)."""
    source = _scaled(piece.name, piece.scale)
    side = source.shape[0]
    x, y = u + offset[0] - 0.5, v + offset[1] - 0.5
    x0, y0 = np.floor(x).astype(np.int32), np.floor(y).astype(np.int32)
    fx, fy = (x - x0)[:, :, None], (y - y0)[:, :, None]
    x0, y0, x1, y1 = x0 % side, y0 % side, (x0 + 1) % side, (y0 + 1) % side
    upper = source[y0, x0] * (1 - fx) + source[y0, x1] * fx
    lower = source[y1, x0] * (1 - fx) + source[y1, x1] * fx
    return field(upper * (1 - fy) + lower * fy)


def _typical_part(piece: Lay, rng: np.random.Generator) -> NDArray[np.float64]:
    """Return which part of the repeat lies up: of many, the one whose mean is nearest the whole's.

    A person who photographs a large print does the same by eye.
    """
    source = luminance(_scaled(piece.name, piece.scale))
    side = source.shape[0]
    wide, high = (round(edge) for edge in (piece.width, piece.height))
    offsets = rng.integers(0, side, (40, 2))
    means = [
        source[np.ix_(np.arange(y, y + high, 5) % side, np.arange(x, x + wide, 5) % side)].mean()
        for x, y in offsets
    ]
    nearest = int(np.abs(np.array(means) - source.mean()).argmin())
    chosen: NDArray[np.float64] = offsets[nearest].astype(np.float64)
    return chosen


@lru_cache(maxsize=8)
def _scaled(name: str, scale: float) -> Field:
    """Return a repeat at `scale` pixels an inch, reduced in linear light."""
    side = round(SIDE * scale / PIXELS_PER_INCH)
    repeat = cloth(name)
    if side == SIDE:
        return repeat
    channels = [
        Image.fromarray(np.ascontiguousarray(repeat[:, :, i])).resize(
            (side, side), Image.Resampling.HAMMING
        )
        for i in range(3)
    ]
    return np.stack([np.asarray(c, dtype=np.float32) for c in channels], axis=2)


def _shadow(cover: Field, scale: float) -> Field:
    """Return what is left of the light round a piece: a tight contact shadow and a soft one."""
    near = _moved(blur(cover, scale * 0.03), scale * 0.02, scale * 0.03)
    far = _moved(blur(cover, scale * 0.18), scale * 0.09, scale * 0.13)
    return (1 - 0.42 * near) * (1 - 0.36 * far)


def _moved(cover: Field, right: float, down: float) -> Field:
    height, width = cover.shape
    padded = np.pad(cover, ((round(down), 0), (round(right), 0)), mode="edge")
    return padded[:height, :width]


def _oak(rng: np.random.Generator, width: int, height: int, scale: float) -> Field:
    y, x = np.mgrid[0:height, 0:width].astype(np.float32) / np.float32(scale)
    plank = np.floor(y / 3.4 + 0.35).astype(int)
    shades = rng.uniform(-1, 1, 64)[plank]
    drift = rng.uniform(0, 40, 64)[plank]
    bend = 0.55 * np.sin(x * 0.35 + drift) + 0.25 * np.sin(x * 0.9 + drift * 2)
    rings = np.sin((y * 5.5 + bend * 2.2 + drift) * 2.4) * 0.5 + 0.5
    streak = _streaks(rng, width, height)
    tone = 1 + 0.07 * shades + 0.10 * (rings - 0.5) + 0.07 * streak
    gap = np.abs((y / 3.4 + 0.35) % 1 - 0.5) > 0.494
    tone = np.where(gap, tone * 0.45, tone)
    return field(lch(63, 27, 70) * np.clip(tone, 0.2, 1.4)[:, :, None])


def _streaks(rng: np.random.Generator, width: int, height: int) -> Field:
    noise = rng.standard_normal((height, width // 40 + 2)).astype(np.float32)
    wide = Image.fromarray(noise).resize((width, height), Image.Resampling.BICUBIC)
    return np.clip(np.asarray(wide, dtype=np.float32), -2.5, 2.5)
