"""Cloth drawn in the tests and written as photos, and sheets of it."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from skimage.color import lab2rgb, rgb2lab

from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import Verdict, verdict_of
from stashkeeper.luminance.region import WHOLE_FRAME
from stashkeeper.pictures.sheet import Sheet, SheetEntry, SheetGap

TYPED = 2.0

NAMES = ("meadow", "cream linen", "butter check", "shell dot", "oat stripe", "pale sky", "moss")


def reference_lightness(codes: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return L* of sRGB codes (… × 3) by scikit-image: a second implementation."""
    return np.asarray(rgb2lab(codes / 255.0)[..., 0])


def solid_photo(file: Path, colour: tuple[int, int, int], side: int = 64) -> Path:
    """Write a photo of one flat colour."""
    Image.new("RGB", (side, side), colour).save(file)
    return file


def coloured(lightness: float, hue: float, chroma: float = 20.0) -> tuple[int, int, int]:
    """Return a colour of about this L*, its hue in turns."""
    turn = 2 * np.pi * hue
    lab = np.array([[[lightness, chroma * np.cos(turn), chroma * np.sin(turn)]]])
    red, green, blue = (round(255 * float(part)) for part in lab2rgb(lab)[0, 0])
    return red, green, blue


def value_of(lightness: float) -> Value:
    """Return the group by the fixed bands."""
    return Value.DARK if lightness < 40 else Value.MEDIUM if lightness < 65 else Value.LIGHT


def entry(number: int, lightness: float | None, photo: Path | None = None) -> SheetEntry:
    """Return a fabric of a lightness: codes A1, B1 … and names in turn."""
    return SheetEntry(
        code=f"{'ABCDEFGHJKLMNPQRSTUVWXYZ'[number % 24]}{number // 24 + 1}",
        name=NAMES[number % len(NAMES)],
        lightness=lightness,
        uncertainty=TYPED,
        value=None if lightness is None else value_of(lightness),
        photo=photo,
        crop=WHOLE_FRAME,
    )


def entries_of(lightnesses: Sequence[float]) -> list[SheetEntry]:
    """Return fabrics without photos of these lightnesses."""
    return [entry(number, lightness) for number, lightness in enumerate(lightnesses)]


def gaps_of(entries: Sequence[SheetEntry]) -> list[SheetGap]:
    """Return the gaps between the groups of these fabrics, each ±3."""
    found = []
    for lighter, darker in BOUNDARIES:
        lights = [one for one in entries if one.value is lighter]
        darks = [one for one in entries if one.value is darker]
        if not lights or not darks:
            found.append(SheetGap((lighter, darker), None, None, Verdict.NO_PIECES))
            continue
        low = min(lights, key=lambda one: one.lightness or 0.0)
        high = max(darks, key=lambda one: one.lightness or 0.0)
        gap = (low.lightness or 0.0) - (high.lightness or 0.0)
        pair = (low.code, high.code)
        found.append(SheetGap((lighter, darker), gap, 3.0, verdict_of(gap, 3.0), pair))
    return found


def sheet_of(lightnesses: Sequence[float]) -> Sheet:
    """Return a sheet of fabrics without photos."""
    entries = entries_of(lightnesses)
    return Sheet("Harbour Row shelf", "25 November 2026", entries, gaps_of(entries))


def spread(count: int) -> list[float]:
    """Return lightnesses from 8 to 94, with two gaps of about ten between three groups."""
    bands = ((70.0, 94.0), (46.0, 60.0), (8.0, 36.0))
    chosen = []
    for number in range(count):
        low, high = bands[number % 3]
        chosen.append(low + (high - low) * ((number * 0.618034) % 1.0))
    return chosen
