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
    CREAM = "cream"
    WHITE = "white"
    GREY = "grey"
    BLACK = "black"


HUES: tuple[tuple[float, ColourFamily], ...] = (
    (18.0, ColourFamily.PINK),
    (48.0, ColourFamily.RED),
    (76.0, ColourFamily.ORANGE),
    (106.0, ColourFamily.YELLOW),
    (172.0, ColourFamily.GREEN),
    (220.0, ColourFamily.TURQUOISE),
    (301.0, ColourFamily.BLUE),
    (335.0, ColourFamily.PURPLE),
    (360.0, ColourFamily.PINK),
)
"""Hue angles h_ab in degrees up to which each family reaches."""


def colour_family(lightness: float, a: float, b: float) -> ColourFamily:
    """Return the family of a colour given by CIE 1976 L*, a*, b*."""
    chroma = math.hypot(a, b)
    hue = math.degrees(math.atan2(b, a)) % 360.0
    if lightness < 8.0 or chroma < _grey_below(lightness):
        return _neutral(lightness)
    if lightness >= 80.0 and chroma < 25.0 and 55.0 <= hue < 106.0:
        return ColourFamily.CREAM
    family = next(family for end, family in HUES if hue <= end)
    return _by_lightness(family, lightness, chroma, hue)


def _grey_below(lightness: float) -> float:
    """Return the chroma under which a colour reads as white, grey or black."""
    return 4.0 if lightness >= 85.0 else 8.0


def _neutral(lightness: float) -> ColourFamily:
    """Return the family of a colour without hue."""
    if lightness < 22.0:
        return ColourFamily.BLACK
    return ColourFamily.WHITE if lightness >= 90.0 else ColourFamily.GREY


def _by_lightness(
    family: ColourFamily, lightness: float, chroma: float, hue: float
) -> ColourFamily:
    """Return the family that light, dark or muted colours of a hue go by instead."""
    if family is ColourFamily.RED and lightness >= 62.0:
        return ColourFamily.PINK
    if family is ColourFamily.PINK and lightness < 40.0:
        return ColourFamily.PURPLE if hue > 300.0 else ColourFamily.RED
    if family is ColourFamily.RED and hue >= 35.0 and chroma < 45.0:
        return ColourFamily.BROWN
    if family is ColourFamily.ORANGE and (lightness < 55.0 or chroma < 40.0):
        return ColourFamily.BROWN
    if family is ColourFamily.YELLOW and lightness < 55.0:
        return ColourFamily.BROWN if hue < 95.0 else ColourFamily.GREEN
    return family
