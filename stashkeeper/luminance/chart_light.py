"""How light falls off across a chart of 24 patches, told by its colours.

The greys lie in one row: what falls off along it would pass for the camera's curve. The 18 colours
are of known lightness too, and lie all over the chart.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import Calibration, KnownGrey, Light, calibration_of_greys
from stashkeeper.luminance.chart_grid import COLUMNS, GRID, ROWS
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.perspective import perspective_through
from stashkeeper.luminance.tone_ramp import lightnesses

Slope = tuple[float, float]
EVEN_LIGHT: Final = (0.0, 0.0)
MIDDLE: Final = np.array([COLUMNS / 2, ROWS / 2])
PLACES: Final = np.array([(n % COLUMNS + 0.5, n // COLUMNS + 0.5) for n in range(24)]) - MIDDLE
"""The patches' middles, from the middle of the chart, in units of the grid."""
STEEPEST: Final = 0.25
"""Log luminance a patch; more is no light that falls off."""
ROUNDS: Final = 4
NUDGE: Final = 0.02
PRIOR: Final = 4_000.0
"""How much is held against a slope: as an error of 3 L* in all 18 for 0.2 a patch."""
ODD: Final = 6.0
"""Colours further off than this, in L*, count less (Huber's weights)."""
BEYOND: Final = 1.0
"""Light is taken to go on falling off for so many patches beyond the chart, and no further."""


def evened(light: Floats, slope: Slope) -> Floats:
    """Return the light of patches, n × 3 in the chart's order, as in the middle of the chart."""
    return np.asarray(light * np.exp(-(PLACES @ np.array(slope)))[:, np.newaxis])


def more_light(corners: Floats, slope: Slope, where: tuple[float, float]) -> float:
    """Return by how much, in log luminance, light is more somewhere than in the chart's middle.

    Args:
        corners: of the chart, 4 × 2, in its order.
        slope: a patch across and down.
        where: a point in the same plane as the corners.
    """
    place = perspective_through(corners, GRID)([where])[0] - MIDDLE
    reach = MIDDLE + BEYOND
    return float(np.clip(place, -reach, reach) @ np.array(slope))


def is_uneven(slope: Slope, most: float) -> bool:
    """Tell whether light varies by more than ± `most` across the chart and a patch around it."""
    reach = MIDDLE + BEYOND
    ratio = float(np.exp(2 * reach @ np.abs(np.array(slope))))
    return (ratio - 1) / (ratio + 1) > most


def light_slope(
    light: Floats, wanted: Floats, greys: Sequence[int], colours: Sequence[int], row: Floats
) -> Slope:
    """Return how log luminance changes a patch across and down (Gauss and Newton's way).

    Args:
        light: of the patches, 24 × 3.
        wanted: their L*.
        greys: the patches that make the ramp.
        colours: the patches whose errors tell the slope.
        row: what each linear channel adds to Y.
    """
    at = list(colours)

    def errors(slope: Floats) -> Floats:
        even = evened(light, (float(slope[0]), float(slope[1])))
        made = calibration_of_patches(even, wanted, greys, row)
        seen = (even[at] * made.gains) @ row
        return np.asarray(lightnesses(made.ramp.luminance(seen)) - wanted[at])

    slope = np.zeros(2)
    for _ in range(ROUNDS):
        try:
            now = errors(slope)
            nudged = [errors(slope + NUDGE * axis) - now for axis in np.eye(2)]
        except BadReferenceError:
            break
        change = np.stack(nudged, axis=1) / NUDGE
        weight = 1 / np.maximum(1.0, np.abs(now) / ODD)
        square = change.T @ (change * weight[:, np.newaxis]) + PRIOR * np.eye(2)
        pull = change.T @ (weight * now) + PRIOR * slope
        slope = np.clip(slope - np.linalg.solve(square, pull), -STEEPEST, STEEPEST)
    return float(slope[0]), float(slope[1])


def calibration_of_patches(
    light: Floats, wanted: Floats, greys: Sequence[int], row: Floats
) -> Calibration:
    """Return the calibration that some of the patches give.

    Raises:
        BadReferenceError: they do not rise in the order they should.
    """
    known = [KnownGrey(_three(light[one]), float(wanted[one])) for one in greys]
    return calibration_of_greys(known, row)


def _three(light: Floats) -> Light:
    red, green, blue = light.tolist()
    return red, green, blue
