"""Solids, hand-dyes and cloth with a metal look: colour without motifs."""

import numpy as np

from sample_photos.canvas import SIDE, Canvas, clouds
from sample_photos.tints import Field, field, lch, mix


def solid(lightness: float, chroma: float, hue: float) -> Field:
    """Return one flat colour."""
    return Canvas(lch(lightness, chroma, hue)).pixels


def hand_dye(rng: np.random.Generator, shades: tuple[Field, ...], cloud: float = 2.2) -> Field:
    """Return cloth dyed by hand: pools of `shades`, tide lines where dye crept and dried.

    Args:
        rng: the source of chance.
        shades: from the thinnest pool to the deepest.
        cloud: size of the pools in inches.
    """
    pools = _bent(clouds(rng, cloud, 2.6), clouds(rng, cloud * 0.7, 2.4), clouds(rng, 1.4, 2.4))
    fine = clouds(rng, 0.35, 1.6)
    level = np.clip(0.5 + 0.26 * pools + 0.035 * fine, 0, 0.9999) * (len(shades) - 1)
    step = level.astype(int)
    table = np.stack(shades)
    soft = level - step
    cloth = mix(table[step], table[step + 1], (soft * soft * (3 - 2 * soft)).astype(np.float32))
    return _tide_lines(cloth, pools, clouds(rng, 0.9, 2.0), shades[-1])


def brushed_metal(rng: np.random.Generator, ground: Field, glint: Field) -> Field:
    """Return a ground with a mesh of fine glinting veins, as metallic ink is printed."""
    canvas = Canvas(ground)
    canvas.blend(np.clip(0.25 + 0.16 * clouds(rng, 1.5, 2.4), 0, 0.7), ground * np.float32(0.62))
    wander = _bent(clouds(rng, 0.8, 2.6), clouds(rng, 1.2, 2.4), clouds(rng, 1.2, 2.4))
    veins = _contour(wander, 0, 2.6) * np.clip(0.6 + 0.4 * clouds(rng, 0.8), 0, 1)
    other = _bent(clouds(rng, 0.5, 2.6), clouds(rng, 1.2, 2.4), clouds(rng, 1.2, 2.4))
    hair = _contour(other, 0, 1.3) * np.clip(0.35 + 0.35 * clouds(rng, 0.8), 0, 1)
    canvas.blend(np.maximum(veins, hair).astype(np.float32), glint)
    fleck = np.clip((clouds(rng, 0.05, 1.0) - 2.2) * 1.5, 0, 1)
    canvas.blend(fleck.astype(np.float32), glint)
    return canvas.pixels


def _tide_lines(cloth: Field, pools: Field, where: Field, deep: Field) -> Field:
    edge = _contour(pools, 0.55, 5) + _contour(pools, -0.7, 3) + 0.6 * _contour(pools, 0, 7)
    strength = np.clip(0.04 + 0.11 * where, 0, 0.3) * edge
    return mix(cloth, deep, strength.astype(np.float32))


def _contour(hills: Field, level: float, width: float) -> Field:
    """Return a line of even `width` in pixels where `hills` cross `level`, soft at its sides."""
    down, right = np.gradient(hills)
    distance = np.abs(hills - level) / np.maximum(np.hypot(down, right), 2e-3)
    return field(np.exp(-((distance / width) ** 2)))


def _bent(hills: Field, aside: Field, down: Field, reach: float = 34.0) -> Field:
    """Push `hills` about by two others, as wet cloth lets dye wander; still joins at the edges."""
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    rows = (y + reach * down).astype(int) % SIDE
    columns = (x + reach * aside).astype(int) % SIDE
    pushed: Field = hills[rows, columns]
    neighbours = (pushed + np.roll(pushed, 1, 0) + np.roll(pushed, 1, 1)) / np.float32(3)
    return field(neighbours)
