"""Line-ups in linear light: fabrics side by side on a table, with prints, wrinkles and tilt.

Prints are of the kinds quilting cotton has: solids, tone on tone, dots, checks, stripes along and
across, large flowers (blobs), and clouds as of hand dyes. Strips touch, overlap with a shadow, or
leave a gap of table; edges wave; everything lies a few degrees off, each strip a little on its own.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sample_photos.soften import blur
from tests.luminance.made import cie_lightness
from tests.simulated_phone.snapped import ROW, Cloth, Field, colour_at_random

WIDTH, HEIGHT = 900, 680
Line = tuple[tuple[float, float], tuple[float, float]]
KINDS = ("solid", "tonal", "dots", "check", "across", "along", "flowers", "clouds")


@dataclass(frozen=True)
class LineUp:
    """Fabrics side by side.

    Attributes:
        light: of the scene, rows × columns × 3.
        cloths: the fabrics, from left to right (from top to bottom where they lie).
        lines: between and around them, each from one end to the other, in fractions of the photo.
        lying: whether the strips lie across the photo.
    """

    light: Field
    cloths: tuple[Cloth, ...]
    lines: tuple[Line, ...]
    lying: bool


def print_at_random(
    random: np.random.Generator, size: tuple[int, int] = (HEIGHT, 320), kind: str = ""
) -> Cloth:
    """Return cloth of any of the KINDS (or of a given one), L* 14 to 93, rows × columns."""
    ground, other = colour_at_random(random)
    kind = kind or str(random.choice(KINDS))
    cover = _pattern(random, kind, *size)[..., np.newaxis]
    y, x = np.mgrid[0 : size[0], 0 : size[1]]
    weave = 1 + 0.05 * np.sin(2.1 * x) * np.sin(2.1 * y)
    light = ((1 - cover) * ground + cover * other) * weave[..., np.newaxis]
    return cloth_of(light.astype(np.float32))


def cloth_of(light: Field) -> Cloth:
    """Return cloth with the lightness of its mean light (CIE 15)."""
    mean = light.reshape(-1, 3).mean(axis=0)
    return Cloth(light, cie_lightness(float(mean @ ROW)))


def line_up(
    random: np.random.Generator, cloths: tuple[Cloth, ...], *, lying: bool | None = None
) -> LineUp:
    """Return fabrics laid side by side on a table, upright or lying, tilted and wrinkled."""
    lying = bool(random.random() < 0.3) if lying is None else lying
    width, height = (HEIGHT, WIDTH) if lying else (WIDTH, HEIGHT)
    edges = _edges(random, len(cloths), width)
    slope = float(np.tan(np.radians(random.normal(0, 1.6))))
    own = np.tan(np.radians(np.clip(random.normal(0, 0.5, len(edges)), -1, 1)))
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    scene = _table(random, height, width)
    gap = float(random.choice([0.0, 0.0, random.uniform(0.002, 0.014)])) * width
    ends = random.uniform(0.0, 0.07, 2) * height * (random.random() < 0.7)
    at = [
        edge + (slope + tilt) * (y - height / 2) + _wave(random, height, width)[:, np.newaxis]
        for edge, tilt in zip(edges, own, strict=True)
    ]
    for place, cloth in enumerate(cloths):
        left, right = at[place] + gap / 2, at[place + 1] - gap / 2
        top, low = (end + random.normal(0, 0.004) * height for end in ends)
        along = y - slope * (x - width / 2)
        inside = (x >= left) & (x < right) & (along >= top) & (along < height - low)
        _shade(scene, inside, random)
        scene = np.where(
            inside[..., np.newaxis],
            _laid(random, cloth, x - left, along) * _wrinkled(random, x, y),
            scene,
        )
    lines = [
        tuple(
            (float((edge + (slope + tilt) * (end - 0.5) * height) / width), end)
            for end in (0.0, 1.0)
        )
        for edge, tilt in zip(edges, own, strict=True)
    ]
    light = scene.astype(np.float32)
    if lying:
        light, lines = light.swapaxes(0, 1), [tuple((y, x) for x, y in line) for line in lines]
    return LineUp(np.ascontiguousarray(light), cloths, tuple(lines), lying)  # type: ignore[arg-type]


def _edges(random: np.random.Generator, count: int, width: int) -> NDArray[np.float64]:
    shares = random.uniform(0.75, 1.35, count)
    left, right = random.uniform(0.005, 0.08, 2) if random.random() < 0.7 else (-0.03, -0.03)
    return np.asarray((left + np.cumsum([0, *shares]) / shares.sum() * (1 - left - right)) * width)


def _wave(random: np.random.Generator, height: int, width: int) -> NDArray[np.float32]:
    steps = random.normal(0, 1, height)
    wave = blur(np.repeat(steps[:, None], 2, axis=1).astype(np.float32), height / 12)[:, 0]
    return np.asarray(wave / max(float(np.abs(wave).max()), 1e-6) * 0.003 * width)


def _table(random: np.random.Generator, height: int, width: int) -> Field:
    ground = random.uniform(0.04, 0.5) * np.array(
        [1.0, random.uniform(0.8, 1), random.uniform(0.6, 1)]
    )
    grain = blur(random.normal(0, 1, (height, width)).astype(np.float32), 3.0)
    return (ground * (1 + 0.25 * grain[..., np.newaxis])).astype(np.float32)


def _shade(scene: Field, inside: NDArray[np.bool_], random: np.random.Generator) -> None:
    """Darken what lies beside and under a strip: cloth is thick."""
    shadow = blur(inside.astype(np.float32), 3.0)
    scene *= (1 - random.uniform(0.1, 0.5) * shadow)[..., np.newaxis]


def _wrinkled(random: np.random.Generator, x: Field, y: Field) -> Field:
    """Return the shading of soft waves and a few sharp creases."""
    shading = np.ones_like(x)
    for _ in range(3):
        angle, length = random.uniform(0, np.pi), random.uniform(60, 400)
        wave = np.sin(
            (x * np.cos(angle) + y * np.sin(angle)) / length * 2 * np.pi + random.uniform(0, 6)
        )
        shading = shading * (1 + random.uniform(0.0, 0.05) * wave)
    for _ in range(int(random.integers(0, 4))):
        angle, at = random.uniform(0, np.pi), random.uniform(0, 1)
        away = (x - at * x.max()) * np.cos(angle) + (y - at * y.max()) * np.sin(angle)
        shading = shading * (1 - random.uniform(0.03, 0.15) * np.exp(-((away / 4) ** 2)))
    return np.asarray(shading[..., np.newaxis], dtype=np.float32)


def _laid(random: np.random.Generator, cloth: Cloth, x: Field, y: Field) -> Field:
    """Return the cloth's light at places across and along a strip; the print goes on mirrored."""
    shift = random.integers(0, cloth.light.shape[:2])
    rows, columns = (
        np.abs((places.astype(np.int64) + start) % (2 * side - 1) - (side - 1))
        for places, start, side in zip((y, x), shift, cloth.light.shape[:2], strict=True)
    )
    return np.asarray(cloth.light[rows, columns])


def _pattern(random: np.random.Generator, kind: str, height: int, width: int) -> Field:
    """Return how much of a print's second colour there is, 0 to 1."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    step = float(random.uniform(8, 48))
    cover: NDArray[Any]
    match kind:
        case "solid":
            cover = np.zeros((height, width))
        case "tonal":
            cover = 0.35 * (
                blur(random.normal(0, 1, (height, width)).astype(np.float32), step / 4) > 0
            )
        case "dots":
            cover = np.hypot((x % step) - step / 2, (y % step) - step / 2) < step * random.uniform(
                0.15, 0.4
            )
        case "check":
            cover = 0.5 * ((x % step) < step / 2) + 0.5 * ((y % step) < step / 2)
        case "across":
            cover = (y % step) < step * random.uniform(0.2, 0.6)
        case "along":
            step = min(step, 26.0)
            cover = (x % step) < step * random.uniform(0.2, 0.6)
        case "flowers":
            noise = blur(random.normal(0, 1, (height, width)).astype(np.float32), step / 2.5)
            cover = noise > random.uniform(0.0, 0.8) * noise.std()
        case _:
            noise = blur(random.normal(0, 1, (height, width)).astype(np.float32), step)
            cover = 0.8 / (1 + np.exp(-2 * noise / noise.std()))
    return np.asarray(cover, dtype=np.float32)
