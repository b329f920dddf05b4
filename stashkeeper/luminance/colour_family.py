"""Plain colour words for a measured colour, so that a shelf can be searched by colour.

The boundaries are ours, in CIE L*C*h; checked against the names of the CSS colours (W3C).
"""

import math
from enum import StrEnum


class ColourFamily(StrEnum):
    """The colour words of every day."""

    RED = "red"
    ORANGE = "orange"
    YELLOW = "yellow"
    GREEN = "green"
    TURQUOISE = "turquoise"
    BLUE = "blue"
    PURPLE = "purple"
    PINK = "pink"
    BROWN = "brown"
    BEIGE = "beige"
    CREAM = "cream"
    WHITE = "white"
    GREY = "grey"
    BLACK = "black"


HUES: tuple[tuple[float, ColourFamily], ...] = (
    (18.0, ColourFamily.PINK),
    (46.0, ColourFamily.RED),
    (76.0, ColourFamily.ORANGE),
    (111.0, ColourFamily.YELLOW),
    (176.0, ColourFamily.GREEN),
    (208.0, ColourFamily.TURQUOISE),
    (303.0, ColourFamily.BLUE),
    (335.0, ColourFamily.PURPLE),
    (360.0, ColourFamily.PINK),
)
"""Hue angles h_ab in degrees up to which each family reaches."""

DARK_BLUE_END = 309.0
"""Where dark blues end: CIELAB bends them towards purple."""


def colour_family(lightness: float, a: float, b: float) -> ColourFamily:
    """Return the family of a colour given by CIE 1976 L*, a*, b*."""
    chroma = math.hypot(a, b)
    hue = math.degrees(math.atan2(b, a)) % 360.0
    if lightness < 8.0 or chroma < _grey_below(lightness):
        return _neutral(lightness)
    if lightness >= 62.0 and chroma < 29.0 and 58.0 <= hue < 111.0:
        return ColourFamily.CREAM if lightness >= 80.0 else ColourFamily.BEIGE
    family = next(family for end, family in HUES if hue <= end)
    if family in {ColourFamily.PINK, ColourFamily.RED}:
        return _reddish(family, lightness, chroma, hue)
    if family in {ColourFamily.ORANGE, ColourFamily.YELLOW}:
        return _golden(family, lightness, chroma, hue)
    if lightness < 40.0 and 300.0 < hue <= DARK_BLUE_END:
        return ColourFamily.BLUE
    return family


def _grey_below(lightness: float) -> float:
    """Return the chroma under which a colour reads as white, grey or black."""
    return 6.0 if lightness >= 90.0 else 8.0


def _neutral(lightness: float) -> ColourFamily:
    """Return the family of a colour without hue."""
    if lightness < 22.0:
        return ColourFamily.BLACK
    return ColourFamily.WHITE if lightness >= 90.0 else ColourFamily.GREY


def _reddish(family: ColourFamily, lightness: float, chroma: float, hue: float) -> ColourFamily:
    """Tell reds, pinks and their dark and muted relatives apart."""
    if family is ColourFamily.PINK:
        if lightness >= 40.0:
            return ColourFamily.PINK
        return ColourFamily.PURPLE if hue > 300.0 else ColourFamily.RED
    if lightness >= 62.0 and chroma < 70.0:
        return ColourFamily.PINK
    return ColourFamily.BROWN if hue >= 35.0 and chroma < 45.0 else ColourFamily.RED


def _golden(family: ColourFamily, lightness: float, chroma: float, hue: float) -> ColourFamily:
    """Tell oranges and yellows from browns, and olive from both."""
    if family is ColourFamily.YELLOW and hue >= 95.0:
        return ColourFamily.GREEN if lightness < 55.0 else ColourFamily.YELLOW
    dark = lightness < (50.0 if family is ColourFamily.ORANGE else 55.0)
    muted = chroma < 40.0 or (lightness < 63.0 and chroma < 55.0)
    return ColourFamily.BROWN if dark or muted else family
