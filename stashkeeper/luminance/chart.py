"""A chart of 24 patches: read in a photo, told which way round it lies, and made a calibration."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import Calibration, Light
from stashkeeper.luminance.chart_grid import corners_meant, read_patches, settled_corners
from stashkeeper.luminance.chart_light import (
    Slope,
    calibration_of_patches,
    evened,
    is_uneven,
    light_slope,
    more_light,
)
from stashkeeper.luminance.chart_reference import reference_lightness, reference_xyz
from stashkeeper.luminance.colour_space import Floats, lab_of
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
FAR = 28.0
"""Colours further off than this on average (CIE 1976 ΔE after the correction) are no such chart.
However vivid a phone makes it, the chart itself stays below 19; other orders begin at 43."""
VERY_FAR = 62.0
"""A single colour further off than this after the greys alone is another one."""
RIDGE = 0.03
COVER = 2.2
"""95 % of Student's t with 18 degrees of freedom lies within ±2.1; a little more for the colours
that no chart has (ours)."""
LEAST_UNCERTAINTY = 4.0
UNEVEN = 0.25
AGAIN = (
    "Lay the whole chart flat in even light, and give the outer corners of its 24 patches. "
    "Only charts with the patches of the widespread 24-patch chart can be read."
)


@dataclass(frozen=True, slots=True, eq=False)
class ChartReading:
    """A chart in a photo.

    Attributes:
        calibration: what it makes of the photo, where light is as in the chart's middle.
        slope: how log luminance changes a patch across and down the chart.
        corners: 4 × 2, fractions of the upright photo, from the corner at the first patch (dark
            skin) on along its row.
        patches: the 24 patches in the chart's order.
        left_out: for each of the 18 colours, the error in L* that its calibration has where that
            colour itself was left out of it: what to expect of cloth.
        colour_error: mean CIE 1976 ΔE of the 18 colours after the greys alone were set right.
    """

    calibration: Calibration
    slope: Slope
    corners: Floats
    patches: tuple[Patch, ...]
    left_out: tuple[float, ...]
    colour_error: float

    @property
    def uneven(self) -> bool:
        """Whether light falls off by more than ± UNEVEN across the chart and around it."""
        return is_uneven(self.slope, UNEVEN)

    def calibration_at(self, where: tuple[float, float]) -> Calibration:
        """Return the calibration for cloth around a point, in fractions of the upright photo."""
        more = more_light(self.corners, self.slope, where)
        return replace(self.calibration, ramp=self.calibration.ramp.scaled(math.exp(-more)))

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
    greys = [at for at in range(*GREYS.indices(24)) if patches[at].clipped <= WHITE_CLIPPED]
    if len(greys) < LEAST_GREYS:
        return None
    row, wanted = photo.space.to_xyz[1], reference_lightness()
    light = np.array([patch.light for patch in patches])
    colours = range(*COLOURS.indices(24))
    slope = light_slope(light, wanted, greys, colours, row)
    try:
        by_greys = calibration_of_patches(evened(light, slope), wanted, greys, row)
    except BadReferenceError:
        return None
    xyz = _ramped(photo, evened(light, slope), by_greys)
    turn = colour_correction(xyz, reference_xyz())
    far = _far_off(xyz)
    if far.max() > VERY_FAR or _far_off(xyz @ turn.T).mean() > FAR:
        return None
    left_out = tuple(
        _left_out_error(photo, light, greys, [one for one in colours if one != place], place)
        for place in colours
    )
    return ChartReading(
        replace(by_greys, colours=_rows(turn)),
        slope,
        upright_fractions(photo, corners),
        patches,
        left_out,
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


def _far_off(xyz: Floats) -> Floats:
    """Return the CIE 1976 ΔE of each of the 18 colours."""
    return np.asarray(np.linalg.norm(lab_of(xyz) - lab_of(reference_xyz()), axis=1)[COLOURS])


def _left_out_error(
    photo: Photo, light: Floats, greys: Sequence[int], others: Sequence[int], place: int
) -> float:
    """Return how far off in L* a colour comes out by a calibration that never saw it."""
    row, lightness = photo.space.to_xyz[1], reference_lightness()
    even = evened(light, light_slope(light, lightness, greys, others, row))
    xyz = _ramped(photo, even, calibration_of_patches(even, lightness, greys, row))
    kept = np.arange(len(xyz)) != place
    turned = colour_correction(xyz[kept], reference_xyz()[kept]) @ xyz[place]
    return lightness_of_luminance(max(float(turned[1]), 0.0)) - float(lightness[place])


def _ramped(photo: Photo, light: Floats, calibration: Calibration) -> Floats:
    """Return the XYZ, n × 3, of light after gains and ramp."""
    xyz = np.maximum((light * calibration.gains) @ photo.space.to_xyz.T, 1e-6)
    return np.asarray(xyz * (calibration.ramp.luminance(xyz[:, 1]) / xyz[:, 1])[:, np.newaxis])


def _rows(matrix: Floats) -> tuple[Light, Light, Light]:
    first, second, third = ((float(a), float(b), float(c)) for a, b, c in matrix)
    return first, second, third


@cache
def _white() -> Floats:
    """Return the XYZ of D65, Y = 1."""
    return np.array(D65_WHITE)
