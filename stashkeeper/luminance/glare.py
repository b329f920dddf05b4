"""Glare: light that a shiny or ironed cloth throws back, a soft bright spot on top of the print."""

from functools import reduce
from typing import Final

import numpy as np
from numpy.typing import NDArray

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.samples import Cells, Samples

SQUARES: Final = 32
"""Squares along the shorter side that are looked at."""
OPENED: Final = 2
"""Bright motifs of up to twice so many squares across are print, and taken out first."""
RISE: Final = 0.12
"""Luminance that a spot has above the middle of the cloth, at least; and as a share of it:"""
RISE_SHARE: Final = 0.35
ONE_SIDED: Final = 3.3
"""Clouds of a hand dye go down as far as up; glare rises so many times as far at least."""
LARGEST: Final = 0.4
"""A spot that covers more of the cloth is light from one side."""
ONE_SPOT: Final = 2.0
"""How far its squares lie from their middle (mean square), over that of a disc of the same area: a
print has its light parts here and there."""
SOFT: Final = 2.2
"""A quarter up, the spot is so many times as large as three quarters up: a motif has hard edges."""


def glare_side(samples: Samples) -> int:
    """Return the side of the squares that `is_glaring` looks at, in pixels of a grid."""
    return max(1, min(samples.grids[0].size) // SQUARES)


def is_glaring(spotted: Cells) -> bool:
    """Tell whether a region has a bright spot that is no part of the print.

    Bright motifs smaller than the spot are taken out (an opening: the least of the neighbourhood,
    then the most of that). What stays and rises far above the middle is glare if its edge is soft.
    """
    if spotted.cover is not None or min(spotted.light.shape) < 4 * OPENED:
        return False
    opened = _around(_around(spotted.light, np.minimum), np.maximum)
    middle = float(np.median(opened))
    rise = float(np.percentile(opened, 99.7)) - middle
    fall = middle - float(np.percentile(opened, 0.3))
    if rise < max(RISE, RISE_SHARE * middle, ONE_SIDED * fall):
        return False
    wide, narrow = (opened > middle + part * rise for part in (0.25, 0.75))
    soft = wide.sum() > SOFT * narrow.sum() > 0
    return bool(soft and wide.mean() < LARGEST and _strewn(narrow) < ONE_SPOT)


def _strewn(spot: NDArray[np.bool_]) -> float:
    """Return how far squares lie apart: 1 for a disc, more for several spots or a long one."""
    places = np.argwhere(spot)
    return float(places.var(axis=0).sum()) * 2 * np.pi / len(places)


def _around(light: Floats, least_or_most: np.ufunc) -> Floats:
    """Return the least, or the most, within OPENED squares of each square.

    A square neighbourhood is looked through by columns, then by rows.
    """
    padded = np.pad(light, OPENED, mode="edge")
    rows, columns = light.shape
    reach = range(2 * OPENED + 1)
    across = reduce(least_or_most, (padded[:, start : start + columns] for start in reach))
    return np.asarray(reduce(least_or_most, (across[start : start + rows] for start in reach)))
