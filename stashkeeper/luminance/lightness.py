"""CIE 1976 lightness L* of a relative luminance Y, and the way back.

Source: CIE 015:2018 (ISO/CIE 11664-4), with its exact constants 216/24389 and 24389/27.
"""

EPSILON = 216 / 24389
"""The luminance below which L* is a straight line."""
KAPPA = 24389 / 27
"""The slope of that line."""
LINE_END = 8.0
"""The lightness at EPSILON: KAPPA × EPSILON."""


def lightness_of_luminance(luminance: float) -> float:
    """Return L* (0 to 100) of a relative luminance Y (0 black to 1 white)."""
    if luminance <= EPSILON:
        return KAPPA * luminance
    return float(116.0 * luminance ** (1 / 3) - 16.0)


def luminance_of_lightness(lightness: float) -> float:
    """Return the relative luminance Y (0 to 1) of a lightness L* (0 to 100)."""
    if lightness <= LINE_END:
        return lightness / KAPPA
    return float(((lightness + 16.0) / 116.0) ** 3)
