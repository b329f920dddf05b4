"""Photos made in the tests, written as real files in memory and opened by the program itself."""

import io
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.cloth.reading import Method, Reading, Spread, lone_photo_factors, typed_factors
from stashkeeper.luminance.contrast import Entry
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.measurement import Measurement
from stashkeeper.luminance.region import WHOLE_FRAME, Crop

Codes = NDArray[np.uint8]


def file_of(picture: Image.Image | Codes, kind: str = "PNG", **options: Any) -> io.BytesIO:
    """Write a picture as a file of a kind, kept in memory."""
    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    file = io.BytesIO()
    image.save(file, kind, **options)
    file.seek(0)
    return file


def photo_of(picture: Image.Image | Codes, kind: str = "PNG", **options: Any) -> Photo:
    """Write a picture as a file and open it again."""
    return open_photo(file_of(picture, kind, **options))


def measured(
    picture: Image.Image | Codes, crop: Crop = WHOLE_FRAME, kind: str = "PNG", **options: Any
) -> Measurement:
    """Write a picture as a file, open it and measure it."""
    return measure(photo_of(picture, kind, **options), crop)


def solid(colour: int | tuple[int, ...], width: int = 64, height: int = 48) -> Codes:
    """Return cloth of one colour: a grey code or a red, green and blue one."""
    channels = () if isinstance(colour, int) else (len(colour),)
    return np.full((height, width, *channels), colour, dtype=np.uint8)


def check(one: int, other: int, size: int, squares: int = 12) -> Codes:
    """Return an even check of two grey codes, `size` pixels a square."""
    y, x = np.mgrid[0 : squares * size, 0 : squares * size] // size
    return np.where((x + y) % 2 == 0, one, other).astype(np.uint8)


def srgb_light(code: float) -> float:
    """Return the linear light of an sRGB code from 0 to 255 (IEC 61966-2-1), written out again."""
    part = code / 255
    return float(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)


def cie_lightness(luminance: float) -> float:
    """Return L* of a luminance (CIE 015:2018, eq. 8.4 and 8.6), written out again."""
    if luminance > (24 / 116) ** 3:
        return float(116 * luminance ** (1 / 3) - 16)
    return 116 * (841 / 108) * luminance


def mixed(luminance: float, size: int = 96) -> Codes:
    """Return a grey patch of exactly this mean luminance, of the two nearest codes, well mixed."""
    light = np.array([srgb_light(code) for code in range(256)])
    upper = int(np.searchsorted(light, luminance))
    share = (luminance - light[upper - 1]) / (light[upper] - light[upper - 1])
    pixels = np.full(size * size, upper - 1, dtype=np.uint8)
    pixels[: round(share * size * size)] = upper
    return np.random.default_rng(1).permutation(pixels).reshape(size, size)


def typed(code: str, lightness: float, fabric: str = "") -> Entry:
    """Return a piece whose lightness was typed; its fabric is its own unless one is named."""
    fabric = fabric or code
    return Entry(code, Reading(lightness, None, None, Method.TYPED, typed_factors(fabric)), fabric)


def photographed(
    code: str,
    lab: tuple[float, float, float],
    photo: str,
    spread: Spread | None = None,
) -> Entry:
    """Return a piece measured in a photo, a fabric of its own."""
    factors = lone_photo_factors(code, photo)
    return Entry(code, Reading(*lab, Method.PHOTO, factors, spread), code)
