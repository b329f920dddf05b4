"""A chart of 24 patches: read in a photo, told which way round it lies, and made a calibration.

Reference values: colour-science, "ColorChecker24 - After November 2014", whose D50 values are
adapted to D65 by Bradford.
"""

import math
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import (
    Calibration,
    KnownGrey,
    Light,
    calibration_of_greys,
)
from stashkeeper.luminance.chart_grid import corners_meant, read_patches, settled_corners
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.lightness import lightness_of_luminance
from stashkeeper.luminance.patches import Patch, stored_points, upright_fractions
from stashkeeper.luminance.perspective import in_order, is_convex
from stashkeeper.luminance.profile import D65_WHITE

GREYS = slice(18, 24)
COLOURS = slice(0, 18)
WHITE_CLIPPED = 0.01
"""A grey with more than this share at the brightest codes is burnt out, and is left out."""
LEAST_GREYS = 4
EVEN = 14.0
"""A patch more uneven than this in L* is covered, torn, or no patch."""
FAR = 22.0
"""Colours further off than this on average (CIE 1976 ΔE after the correction) are no such chart."""
VERY_FAR = 60.0
"""A single colour further off than this is another one."""
RIDGE = 0.03
COVER = 2.2
"""95 % of Student's t with 18 degrees of freedom lies within ±2.1; a little more for the colours
that no chart has (ours)."""
LEAST_UNCERTAINTY = 4.0
AGAIN = (
    "Lay the whole chart flat in even light, and give the outer corners of its 24 patches. "
    "Only charts with the patches of the widespread 24-patch chart can be read."
)


@dataclass(frozen=True, slots=True, eq=False)
class ChartReading:
    """A chart in a photo.

    Attributes:
        calibration: what it makes of the photo.
        corners: 4 × 2, fractions of the upright photo, from the corner at the first patch (dark
            skin) on along its row.
        patches: the 24 patches in the chart's order.
        left_out: for each of the 18 colours, the error in L* that its calibration has where that
            colour itself was left out of it: what to expect of cloth.
        colour_error: mean CIE 1976 ΔE of the 18 colours after the greys alone were set right.
    """

    calibration: Calibration
    corners: Floats
    patches: tuple[Patch, ...]
    left_out: tuple[float, ...]
    colour_error: float

    @property
    def uncertainty(self) -> float:
        """The 95 % uncertainty, ± L*, of cloth in this photo: COVER times the root mean square."""
        mean_square = sum(error * error for error in self.left_out) / len(self.left_out)
        return max(LEAST_UNCERTAINTY, COVER * math.sqrt(mean_square))


def read_chart(photo: Photo, corners: Floats) -> ChartReading:
    """Read a chart of 24 patches whose corners are given, whichever way round it lies.

    Args:
        photo: an open photo.
        corners: 4 × 2, fractions of the upright photo, in any order: roughly the outer corners of
            the outer patches, their middles, or the corners of the chart.

    Raises:
        BadReferenceError: it is not that chart, is partly hidden, or is burnt out.
    """
    around = in_order(corners)
    if not is_convex(around):
        raise BadReferenceError("The four corners do not go round a chart.", AGAIN)
    for grid in _grids(stored_points(photo, around)):
        reading = _either_way_up(photo, grid)
        if reading is not None:
            return reading
    raise BadReferenceError("There is no chart of 24 known patches between the corners.", AGAIN)


def _grids(around: Floats) -> Iterator[Floats]:
    """Yield where the grid may lie: the rows of six along the longer sides first."""
    sides = np.linalg.norm(np.roll(around, -1, axis=0) - around, axis=1)
    lengthwise = int(sides[0] + sides[2] < sides[1] + sides[3])
    for turn in (lengthwise, 1 - lengthwise):
        yield from corners_meant(np.roll(around, -turn, axis=0))


def _either_way_up(photo: Photo, grid: Floats) -> ChartReading | None:
    """Return the reading with the first side along the rows of six, either way up; or None."""
    settled = settled_corners(photo, grid)
    patches = read_patches(photo, settled)
    if any(patch is None or patch.unevenness > EVEN for patch in patches):
        return None
    whole = tuple(patch for patch in patches if patch is not None)
    both = (
        _reading(photo, settled, whole),
        _reading(photo, np.roll(settled, 2, axis=0), whole[::-1]),
    )
    good = [reading for reading in both if reading is not None]
    return min(good, key=lambda reading: reading.colour_error, default=None)


def _reading(photo: Photo, corners: Floats, patches: tuple[Patch, ...]) -> ChartReading | None:
    """Return the reading of patches taken to be in the chart's order; None where they are not."""
    greys = [
        KnownGrey(patch.light, float(true))
        for patch, true in zip(patches[GREYS], reference_lightness()[GREYS], strict=True)
        if patch.clipped <= WHITE_CLIPPED
    ]
    if len(greys) < LEAST_GREYS:
        return None
    try:
        by_greys = calibration_of_greys(greys, photo.space.to_xyz[1])
    except BadReferenceError:
        return None
    xyz = _ramped(photo, patches, by_greys)
    far = np.linalg.norm(_lab(xyz) - _lab(reference_xyz()), axis=1)[COLOURS]
    if far.mean() > FAR or far.max() > VERY_FAR:
        return None
    return ChartReading(
        replace(by_greys, colours=_rows(colour_correction(xyz, reference_xyz()))),
        upright_fractions(photo, corners),
        patches,
        _left_out_errors(xyz),
        float(far.mean()),
    )


def colour_correction(xyz: Floats, wanted: Floats) -> Floats:
    """Return the 3 × 3 matrix that brings colours nearest to those wanted and leaves greys alone.

    Least squares with a ridge (Hoerl and Kennard, Technometrics 12, 1970): with so few colours a
    plain fit follows their noise. Dark colours weigh more, as they do in L*.

    Args:
        xyz: n × 3, after the greys were set right.
        wanted: n × 3, the reference.
    """
    weight = wanted[:, 1] ** (-2 / 3)
    away = ((xyz - xyz[:, 1:2] * _white()) * weight[:, np.newaxis])[:, (0, 2)]
    missing = (wanted - xyz) * weight[:, np.newaxis]
    square = away.T @ away
    ridge = RIDGE * np.trace(square) / 2 * np.eye(2)
    terms = np.linalg.solve(square + ridge, away.T @ missing)
    turn = np.array([[1.0, -_white()[0], 0.0], [0.0, -_white()[2], 1.0]])
    return np.asarray(np.eye(3) + terms.T @ turn)


def _left_out_errors(xyz: Floats) -> tuple[float, ...]:
    """Return, for each of the 18 colours, how far off in L* the others alone would leave it."""
    wanted, errors = reference_xyz(), []
    for place in range(COLOURS.stop):
        kept = np.arange(len(xyz)) != place
        turned = colour_correction(xyz[kept], wanted[kept]) @ xyz[place]
        lightness = lightness_of_luminance(max(float(turned[1]), 0.0))
        errors.append(lightness - float(reference_lightness()[place]))
    return tuple(errors)


def _ramped(photo: Photo, patches: tuple[Patch, ...], calibration: Calibration) -> Floats:
    """Return the XYZ, n × 3, of patches after gains and ramp."""
    light = np.array([patch.light for patch in patches]) * calibration.gains
    xyz = np.maximum(light @ photo.space.to_xyz.T, 1e-6)
    return np.asarray(xyz * (calibration.ramp.luminance(xyz[:, 1]) / xyz[:, 1])[:, np.newaxis])


def _rows(matrix: Floats) -> tuple[Light, Light, Light]:
    first, second, third = ((float(a), float(b), float(c)) for a, b, c in matrix)
    return first, second, third


@cache
def _white() -> Floats:
    """Return the XYZ of D65, Y = 1."""
    return np.array(D65_WHITE)


@cache
def reference_xyz() -> Floats:
    """Return the XYZ of the 24 patches in D65, row by row from dark skin on (white: Y = 1)."""
    with _quiet():
        import colour

        chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
        xyz = colour.xyY_to_XYZ(np.array(list(chart.data.values())))
        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
        adapted = colour.chromatic_adaptation(
            xyz,
            colour.xy_to_XYZ(chart.illuminant),
            colour.xy_to_XYZ(white),
            method="Von Kries",
            transform="Bradford",
        )
    return np.asarray(adapted, dtype=np.float64)


@cache
def reference_lightness() -> Floats:
    """Return the L* of the 24 patches as published, for D50."""
    with _quiet():
        import colour

        chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
        luminance = np.array(list(chart.data.values()))[:, 2]
        return np.asarray(colour.colorimetry.lightness_CIE1976(100 * luminance))


def _lab(xyz: Floats) -> Floats:
    with _quiet():
        import colour

        return np.asarray(colour.XYZ_to_Lab(np.maximum(xyz, 0.0)))


def _quiet() -> "warnings.catch_warnings[None]":
    """Return a context in which colour-science keeps its remarks on absent libraries to itself."""
    return warnings.catch_warnings(action="ignore", category=Warning)
