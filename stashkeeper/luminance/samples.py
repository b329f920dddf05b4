"""One pixel in ten of a large region, in linear light: enough for the spread, at little cost.

Means are never taken from samples. A sample is a pixel as it is, never a mean of codes, so a fine
print does not come out too dark. The samples form a square lattice turned against the rows: every
row and every column is sampled equally often, so checks, stripes and dots down to one pixel are
averaged, not picked. (A plain grid of every so-many-th pixel beats with a fine print and makes a
coarse one of it.) Of the bands of blur squares one in two is looked at, in the order of Thue and
Morse, which keeps in step with no stripe.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.luminance.pixels import Pixels
from stashkeeper.luminance.region import Box

SQUARES = 64
"""Squares of the viewing blur along the longer side of the region."""
SMALL = 1_000_000
"""A region of fewer pixels than this is taken whole."""
FEW_BANDS = 16
"""With fewer bands than this all are looked at."""
STEP = 5
SHIFTS = tuple((across, 2 * across % STEP) for across in range(STEP))
"""Where each of the grids that make up the lattice starts, in pixels across and down."""

Plane = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Pixels of a region, of all of it or on evenly shifted grids.

    Attributes:
        grids: pictures of the sampled codes, all of one size.
        side: the side of a square of the viewing blur, in pixels of a grid.
        masks: which of them are cloth, one for each grid; None where all are.
        tones: for each channel, the share of the luminance Y (0 to 1) that each code gives.
    """

    grids: tuple[Image.Image, ...]
    side: int
    masks: tuple[Image.Image, ...] | None
    tones: tuple[list[float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Full squares of samples.

    Attributes:
        light: the mean luminance Y of each (0 to 1), nothing from outside the cloth.
        cover: the share of each that is cloth; None where all is.
    """

    light: Plane
    cover: Plane | None


def take_samples(pixels: Pixels, box: Box) -> Samples:
    """Return the samples of a region."""
    small = box.width * box.height < SMALL or min(box.width, box.height) < STEP * SQUARES
    step = 1 if small else STEP
    side = min(max(1, round(max(box.width, box.height) / step / SQUARES)), box.width, box.height)

    def grids(picture: Image.Image) -> tuple[Image.Image, ...]:
        return (picture.crop(box.edges),) if small else tuple(_lattice(picture, box, side))

    masks = None if pixels.mask is None else grids(pixels.mask)
    return Samples(grids(pixels.stored), side, masks, _tones(pixels))


def luminance_cells(samples: Samples, *sides: int) -> list[Cells]:
    """Return the full squares of the grids' pixels, for each length of a side in pixels.

    Ask for all sides at once: turning codes into light is most of the work, and done once.
    """
    masks = samples.masks or (None,) * len(samples.grids)
    seen = [
        _light(grid, samples.tones, sides, mask)
        for grid, mask in zip(samples.grids, masks, strict=True)
    ]
    means = [_mean(planes) for planes in zip(*seen, strict=True)]
    if samples.masks is None:
        return [Cells(light, None) for light in means]
    covers = [_mean([_reduced(mask, side) / 255.0 for mask in samples.masks]) for side in sides]
    return [
        Cells(np.divide(light, cover, out=np.zeros_like(light), where=cover > 0), cover)
        for light, cover in zip(means, covers, strict=True)
    ]


def _lattice(picture: Image.Image, box: Box, side: int) -> Iterator[Image.Image]:
    """Yield the grids of a large region, band by band of blur squares."""
    across, down = (box.width - STEP + 1) // STEP, (box.height - STEP + 1) // STEP
    bands = _bands(down // side)
    for right, low in SHIFTS:
        grid = Image.new(picture.mode, (across, len(bands) * side))
        left = box.left + right
        for place, first, count in _runs(bands):
            top = box.top + low + STEP * side * first
            edges = (left, top, left + STEP * across, top + STEP * side * count)
            part = picture.resize((across, side * count), Image.Resampling.NEAREST, box=edges)
            grid.paste(part, (0, side * place))
        yield grid


def _bands(count: int) -> list[int]:
    """Return the bands to look at: one of each pair, by the sequence of Thue and Morse."""
    if count < FEW_BANDS:
        return list(range(count))
    return [band for band in range(count) if band.bit_count() % 2 == 0]


def _runs(bands: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    """Yield each run of neighbouring bands: its place among them, its first, how many it has."""
    for _, run in groupby(enumerate(bands), key=lambda each: each[1] - each[0]):
        (place, first), *others = run
        yield place, first, 1 + len(others)


def _tones(pixels: Pixels) -> tuple[list[float], ...]:
    """Return the luminance that each code of each stored channel gives."""
    shares = pixels.space.tones * pixels.space.to_xyz[1][:, np.newaxis]
    if pixels.stored.mode == "L":
        return (shares.sum(axis=0).tolist(),)
    return tuple(channel.tolist() for channel in shares)


def _light(
    grid: Image.Image,
    tones: tuple[list[float], ...],
    sides: Sequence[int],
    mask: Image.Image | None,
) -> list[Plane]:
    """Return the luminance of a grid's squares for each side; nothing from outside the mask."""
    totals: list[Plane] = [np.zeros(1)] * len(sides)
    for channel, tone in zip(grid.split(), tones, strict=False):
        light = channel.point(tone, "F")
        if mask is not None:
            light = Image.composite(light, Image.new("F", light.size), mask)
        totals = [total + _reduced(light, side) for total, side in zip(totals, sides, strict=True)]
    return totals


def _reduced(plane: Image.Image, side: int) -> Plane:
    """Return the mean of every full square; what is left over at the far edges is dropped."""
    rows, columns = plane.height // side, plane.width // side
    edges = (0, 0, columns * side, rows * side)
    return np.asarray(plane.reduce(side, box=edges), dtype=np.float64)


def _mean(planes: Sequence[Plane]) -> Plane:
    """Return the mean of equal planes."""
    return np.asarray(np.mean(planes, axis=0))
