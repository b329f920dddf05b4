"""Measure the cloth in a photo: exact mean luminance of the full image, by histograms."""

from collections.abc import Iterator

import numpy as np
from PIL import Image

from stashkeeper.cloth.reading import Doubt
from stashkeeper.errors import BadCropError
from stashkeeper.luminance.colour_space import lab_of
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.doubts import is_blurred, is_clipped, is_uneven
from stashkeeper.luminance.glare import glare_side, is_glaring
from stashkeeper.luminance.lightness import lightness_of_luminance
from stashkeeper.luminance.measurement import VERSION, Counts, Measurement, mean_light
from stashkeeper.luminance.pixels import Pixels, picture_of
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Box, Crop
from stashkeeper.luminance.samples import Cells, Samples, luminance_cells, take_samples
from stashkeeper.luminance.spread import spread_of

STRIP = 1 << 19
"""Pixels counted at a time, in whole rows: a crop never needs a copy of the whole region, and what
was copied is still in the processor's cache when it is counted."""


def measure(photo: Photo, crop: Crop = WHOLE_LESS_MARGIN) -> Measurement:
    """Measure a region of a photo.

    The mean is taken in linear light over every pixel of the region: what the eye averages at a
    distance.

    Raises:
        BadCropError: when nothing but transparent pixels lies inside the crop.
    """
    box = photo.stored_box(crop)
    histograms = count_codes(photo.pixels, box)
    pixels = int(histograms[0].sum())
    if pixels == 0:
        raise BadCropError(
            f"Inside the crop {crop} {photo.name} is transparent all over.",
            "Give a crop that holds cloth.",
        )
    means = mean_light(histograms, photo.space.tones)
    x, y, z = (float(part) for part in photo.space.to_xyz @ np.array(means))
    _, a, b = lab_of(np.array((x, y, z))).tolist()
    samples = take_samples(photo.pixels, box)
    blurred, spotted = luminance_cells(samples, samples.side, glare_side(samples))
    return Measurement(
        version=VERSION,
        histograms=histograms,
        space=photo.space,
        linear_means=means,
        xyz=(x, y, z),
        lightness=min(100.0, lightness_of_luminance(y)),
        a=a,
        b=b,
        spread=spread_of(blurred),
        doubts=_doubts(photo, box, histograms, samples, spotted),
        pixels=pixels,
        crop=crop,
    )


def count_codes(pixels: Pixels, box: Box) -> Counts:
    """Return 3 × 256 counts of the codes of red, green and blue in a box; grey counts thrice."""
    counted = np.zeros(256 * len(pixels.stored.getbands()), dtype=np.int64)
    for part, mask in _parts(pixels, box):
        counted += np.array(part.histogram(mask), dtype=np.int64)
    channels = counted.reshape(-1, 256)
    counts = np.repeat(channels, 3, axis=0) if len(channels) == 1 else channels[:3].copy()
    counts.setflags(write=False)
    return counts


def _parts(pixels: Pixels, box: Box) -> Iterator[tuple[Image.Image, Image.Image | None]]:
    """Yield a region, where it lies in memory, or strip by strip; each with its mask."""
    if pixels.memory is not None:
        yield picture_of(pixels.memory, pixels.stored.width, box), None
        return
    rows = max(1, STRIP // box.width)
    for top in range(box.top, box.bottom, rows):
        edges = (box.left, top, box.right, min(top + rows, box.bottom))
        mask = None if pixels.mask is None else pixels.mask.crop(edges)
        yield pixels.stored.crop(edges), mask


def _doubts(
    photo: Photo, box: Box, histograms: Counts, samples: Samples, spotted: Cells
) -> tuple[Doubt, ...]:
    """Return everything that makes this photo of the cloth less sure."""
    found = {
        Doubt.CLIPPED: is_clipped(histograms),
        Doubt.BLURRED: is_blurred(photo.pixels.stored, box),
        Doubt.UNEVEN_LIGHT: is_uneven(samples),
        Doubt.GLARE: is_glaring(spotted),
        Doubt.COLOUR_PROFILE: not photo.pixels.trusted,
    }
    return tuple(doubt for doubt, there in found.items() if there)
