"""Where one strip ends and the next begins: the division that explains the colours best."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_profile import Profile

NARROWEST: Final = 0.03
"""A strip is at least so wide, as a share of the picture."""
NARROWEST_END: Final = 0.011
"""The first and the last may be table, and narrower."""
SEAM: Final = 0.007
"""Left out on either side of a boundary: shadow, frayed edge, table between two fabrics."""
ROWS_THAT_COUNT: Final = 14.0
"""Neighbouring pixels of cloth are much alike, so that all rows together say as much as these."""
NEAR: Final = 0.02
"""Boundaries closer than this share of the picture are the same one."""
NEVER: Final = 1e12


@dataclass(frozen=True, slots=True, eq=False)
class Division:
    """A picture divided into so many strips.

    Attributes:
        bounds: columns, from the first's left edge to the last's right edge: count + 1.
        cost: how badly it explains the colours, in nats.
        margins: by how much the best division with that inner boundary elsewhere is worse.
    """

    bounds: tuple[int, ...]
    cost: float
    margins: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Divisions:
    """The best division of a picture into every count up to a most."""

    by_count: tuple[Division, ...]

    def of(self, count: int) -> Division:
        """Return the best division into a count of strips."""
        return self.by_count[count - 1]


def divide(profile: Profile, most: int) -> Divisions:
    """Return the best divisions of a picture into 1 to `most` strips, by dynamic programming.

    The cost of a strip is the entropy of its colours (Shannon): one fabric needs few words, two
    fabrics together need more than each by itself.
    """
    cost = _strip_costs(profile)
    forth = _stages(cost, most)
    back = _stages(cost[::-1, ::-1].T, most)[:, ::-1]
    return Divisions(tuple(_division(count, forth, back, cost) for count in range(1, most + 1)))


def _strip_costs(profile: Profile) -> Floats:
    """Return the cost of a strip from column i to column j."""
    counts, width = profile.counts() * (ROWS_THAT_COUNT / len(profile.labels)), profile.width
    seam, narrowest, end = (round(part * width) for part in (SEAM, NARROWEST, NARROWEST_END))
    cost = np.full((width + 1, width + 1), NEVER)
    for start in range(width - end + 1):
        ends = np.arange(start + (narrowest if start else end), width + 1)
        if start > width - narrowest:
            ends = ends[-1:] if len(ends) else np.array([width])
        left = start + seam if start else 0
        right = np.where(ends < width, ends - seam, ends)
        held = counts[right] - counts[left]
        total = held.sum(axis=1)
        bits = total * np.log(total) - (held * np.log(np.maximum(held, 1e-12))).sum(axis=1)
        # What the seam leaves out is paid at the strip's own rate, or wide seams would be free.
        cost[start, ends] = bits * (ends - start) / (right - left)
    return cost


def _stages(cost: Floats, most: int) -> Floats:
    """Return the least cost of dividing the columns before each into 1 to `most` strips."""
    best = [cost[0]]
    for _ in range(1, most):
        best.append((best[-1][:, np.newaxis] + cost).min(axis=0))
    return np.array(best)


def _division(count: int, forth: Floats, back: Floats, cost: Floats) -> Division:
    """Read one division off the stages."""
    width = cost.shape[0] - 1
    total = float(forth[count - 1, width])
    bounds = [width]
    for stage in range(count - 2, -1, -1):
        bounds.append(int(np.argmin(forth[stage] + cost[:, bounds[-1]])))
    bounds = [0, *bounds[::-1]]
    near = round(NEAR * width)
    margins = []
    for place in range(1, count):
        through = forth[place - 1] + back[count - place - 1]
        far = np.abs(np.arange(width + 1) - bounds[place]) > near
        margins.append(float(through[far].min()) - total)
    return Division(tuple(bounds), total, tuple(margins))
