"""Blurs for scenes and for the simulated phone."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from sample_photos.tints import Field


def blur(field: NDArray[np.floating], sigma: float) -> Field:
    """Return one channel blurred by a Gaussian of deviation `sigma` pixels, edges held.

    Wide blurs are made on a reduced copy, where they look the same and cost little.
    """
    source = np.asarray(field, dtype=np.float32)
    if sigma > 6:
        return _wide(source, sigma)
    reach = max(1, round(3 * sigma))
    steps = np.arange(-reach, reach + 1)
    kernel = np.exp(-((steps / sigma) ** 2) / 2)
    kernel /= kernel.sum()
    for axis in (0, 1):
        padding = [(0, 0), (0, 0)]
        padding[axis] = (reach, reach)
        padded = np.pad(source, padding, mode="edge")
        length = source.shape[axis]
        source = sum(
            (
                np.take(padded, range(i, i + length), axis) * np.float32(k)
                for i, k in enumerate(kernel)
            ),
            start=np.zeros_like(source),
        )
    return source


def _wide(source: Field, sigma: float) -> Field:
    height, width = source.shape
    factor = max(2, int(sigma // 3))
    small_size = (max(2, round(width / factor)), max(2, round(height / factor)))
    small = Image.fromarray(source).resize(small_size, Image.Resampling.BOX)
    soft = blur(np.asarray(small), sigma / factor)
    large = Image.fromarray(soft).resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(large, dtype=np.float32)
