"""From columns to straight lines: where exactly, and how tilted, one fabric meets the next."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_profile import COLOURS, Profile

REACH: Final = 0.015
"""A line is looked for so far around its column, as a share of the picture."""
STEEPEST: Final = 0.03
"""How much more or less than its neighbours a single strip leans."""
AT_MOST: Final = 2.5
"""What one pixel may say for either side, in nats: a stray one must not shout."""


def straight_lines(profile: Profile, bounds: Sequence[int]) -> list[tuple[float, float]]:
    """Return where each boundary crosses the two ends of the picture, as fractions across it.

    Each pixel near a boundary speaks for the strip whose colours it has; the line is laid so that
    most of them are on their own side.
    """
    shares = _shares(profile, bounds)
    offsets = []
    for place, column in enumerate(bounds):
        if column in {0, profile.width}:
            offsets.append((float(column), 0.0))
            continue
        left = shares[place - 1] if place else _shares_in(profile, 0, column)
        right = shares[place] if place < len(shares) else _shares_in(profile, column, profile.width)
        offsets.append(_laid(profile, column, np.log(left) - np.log(right)))
    half = profile.height / 2
    return [
        (
            (at - (profile.lean + tilt) * half) / profile.width,
            (at + (profile.lean + tilt) * half) / profile.width,
        )
        for at, tilt in offsets
    ]


def _shares(profile: Profile, bounds: Sequence[int]) -> list[Floats]:
    return [_shares_in(profile, first, last) for first, last in pairwise(bounds)]


def _shares_in(profile: Profile, first: int, last: int) -> Floats:
    """Return the share of each colour in some columns, never quite none."""
    counted = np.bincount(profile.labels[:, first:last].ravel(), minlength=COLOURS) + 0.5
    return np.asarray(counted / counted.sum())


def _laid(profile: Profile, column: int, speaks: Floats) -> tuple[float, float]:
    """Return where a line lies in the middle of the picture, in columns, and its own tilt."""
    rows, width = profile.labels.shape
    votes = np.clip(speaks[profile.labels], -AT_MOST, AT_MOST)
    before = np.concatenate([np.zeros((rows, 1)), np.cumsum(votes, axis=1)], axis=1)
    reach = max(2, round(REACH * width))
    from_middle = profile.rows * profile.height - profile.height / 2
    best = (-np.inf, 0.0, 0.0)
    for tilt in np.linspace(-STEEPEST, STEEPEST, 13):
        for shift in range(-reach, reach + 1):
            at = np.rint(column + shift + tilt * from_middle).astype(int)
            said = float(before[np.arange(rows), np.clip(at, 0, width)].sum())
            said -= 1e-3 * abs(shift) + abs(float(tilt))
            best = max(best, (said, float(column + shift), float(tilt)))
    return best[1], best[2]
