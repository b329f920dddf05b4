"""Reference values of the chart of 24 patches.

colour-science, "ColorChecker24 - After November 2014"; its D50 values are adapted to D65 by
Bradford.
"""

from functools import cache

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.quiet import hush


@cache
def reference_xyz() -> Floats:
    """Return the XYZ of the 24 patches in D65, row by row from dark skin on (white: Y = 1)."""
    hush("colour")
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
    hush("colour")
    import colour

    chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    luminance = np.array(list(chart.data.values()))[:, 2]
    return np.asarray(colour.colorimetry.lightness_CIE1976(100 * luminance))
