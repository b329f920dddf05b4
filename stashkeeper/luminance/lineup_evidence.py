"""What speaks for one way of dividing a photo into fabrics and table, and how loudly.

Every way is given a score, a weighted sum of what speaks for it; the chance that it is right is
the exponential of that, as a share of all ways together (a conditional logit). The weights were
fitted on simulated line-ups (tests/simulated_phone, seeds 50,000 to 50,419), which no test uses.
"""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_profile import Profile
from stashkeeper.luminance.lineup_split import Division
from stashkeeper.luminance.lineup_table import ClothEnd, EndStrip, cloth_ends, end_strip

OF_DIVISION: Final = {
    "explains": 8.58,
    "strips": 3.09,
    "even": 3.02,
    "narrow ends": 1.10,
    "unlike beside": 5.81,
    "unlike anywhere": 4.08,
}
"""What speaks for the boundaries of a way, and its weight."""
OF_TABLE: Final = {
    "table": -4.48,
    "narrow": 4.32,
    "sliver": 4.82,
    "table seen": 5.20,
    "like the table": 1.91,
    "end seen": 7.31,
    "no step": 5.48,
    "plain": 2.54,
    "both unseen": 10.01,
    "same hue": 5.81,
    "same lightness": 2.39,
}
"""What speaks for the ends that it takes for table; the last four where none is seen beyond
the ends of the cloth."""
BESIDE: Final = 10
SEAM: Final = 2
"""Columns on either side of a boundary that are compared, and those left out between."""
SOFT: Final = 8.0
"""Codes: a boundary whose two sides differ by less is hardly one."""
SLIVER: Final = 0.3
"""An end so narrow beside the others is no strip of cloth."""


@dataclass(frozen=True, slots=True)
class Way:
    """A division of a photo, and whether its first and its last strip are table."""

    division: Division
    left: bool
    right: bool

    @property
    def fabrics(self) -> int:
        """How many fabrics it sees."""
        return len(self.division.bounds) - 1 - self.left - self.right

    @property
    def bounds(self) -> tuple[int, ...]:
        """Columns, from the first fabric's left edge to the last's right edge."""
        bounds = self.division.bounds
        return bounds[int(self.left) : len(bounds) - int(self.right)]


@dataclass(frozen=True)
class Evidence:
    """What a photo has to say for every way of dividing it."""

    profile: Profile
    _jumps: dict[tuple[int, int, int], float] = field(default_factory=dict)
    _ends: dict[tuple[int, int], EndStrip] = field(default_factory=dict)

    @cached_property
    def counts(self) -> Floats:
        """How often each colour occurs in the columns so far."""
        return self.profile.counts()

    @cached_property
    def cloth_ends(self) -> tuple[ClothEnd, ...]:
        """Where the cloth ends above and below."""
        return cloth_ends(self.profile)

    def score(self, way: Way) -> float:
        """Return how much speaks for a way."""
        return sum((OF_DIVISION | OF_TABLE)[name] * much for name, much in self.said(way).items())

    def said(self, way: Way) -> dict[str, float]:
        """Return all that speaks for a way (and against it, where below 0), unweighted."""
        widths = np.diff(way.bounds).astype(float)
        middle = float(np.median(widths[1:-1] if len(widths) > 3 else widths))
        return {**self._division(way, np.log(widths / middle)), **self._table(way, middle)}

    def likeness(self, way: Way) -> Floats:
        """Return how far the colours of each two fabrics overlap (Bhattacharyya), 0 to 1."""
        held = np.diff(self.counts[list(way.bounds)], axis=0)
        shares = np.sqrt(held / held.sum(axis=1, keepdims=True))
        return np.asarray(np.triu(shares @ shares.T, 1))

    def _division(self, way: Way, wide: Floats) -> dict[str, float]:
        """Return what speaks for the boundaries between fabrics."""
        bounds = way.division.bounds
        triples = list(zip(bounds, bounds[1:], bounds[2:], strict=False))
        inner = triples[int(way.left) : len(triples) - int(way.right)]
        jumps = np.array([self._jump(*triple) for triple in inner])
        return {
            "explains": -way.division.cost / 1000,
            "strips": (len(bounds) - 1) / 4,
            "even": -4 * float((wide[1:-1] ** 2).sum()),
            "narrow ends": -3 * sum(max(0.0, -float(one) - 0.3) for one in (wide[0], wide[-1])),
            "unlike beside": -float(np.exp(-jumps / SOFT).sum()),
            "unlike anywhere": -10 * max(0.0, float(self.likeness(way).max()) - 0.8),
        }

    def _table(self, way: Way, middle: float) -> dict[str, float]:
        """Return what speaks for the ends that a way takes for table."""
        bounds = way.division.bounds
        said = dict.fromkeys(OF_TABLE, 0.0)
        taken = [bounds[:2]] * way.left + [bounds[-2:]] * way.right
        ends = [self._end(first, last) for first, last in taken]
        for end, (first, last) in zip(ends, taken, strict=True):
            wide = (last - first) / middle
            said["table"] += 1
            said["sliver"] += wide < SLIVER
            if end.alike is None:
                said["plain"] += 4 * (end.plain - 0.85)
            else:
                said["table seen"] += 1
                said["narrow"] -= float(np.log(wide))
                said["like the table"] += 4 * (end.alike - 0.6)
            if end.step is not None:
                said["end seen"] += 1
                said["no step"] -= float(np.log(end.step + 1))
        if len(ends) == 2 and not self.cloth_ends:
            apart = np.abs(ends[0].colour - ends[1].colour)
            said["both unseen"] = 1
            said["same hue"] = -min(3.0, float(np.hypot(apart[1], apart[2])) / 10)
            said["same lightness"] = -min(3.0, float(apart[0]) / 15)
        return said

    def _end(self, first: int, last: int) -> EndStrip:
        if (first, last) not in self._ends:
            self._ends[first, last] = end_strip(self.profile, self.cloth_ends, first, last)
        return self._ends[first, last]

    def _jump(self, first: int, at: int, last: int) -> float:
        """Return how different the colours just left and right of a boundary are, in codes.

        It is the mean difference of what is sorted by brightness and by hue (Wasserstein), so that
        light that falls off within one fabric makes none.
        """
        key = first, at, last
        if key not in self._jumps:
            near, far = at - SEAM, at + SEAM
            left = self._sorted(max(first, near - BESIDE), max(first + 1, near))
            right = self._sorted(min(last - 1, far), min(last, far + BESIDE))
            self._jumps[key] = float(np.linalg.norm(np.abs(left - right).mean(axis=0)))
        return self._jumps[key]

    def _sorted(self, first: int, last: int) -> Floats:
        pixels = np.sort(self.profile.colours[::3, first:last].reshape(-1, 3), axis=0)
        at = np.linspace(0.02, 0.98, 25) * (len(pixels) - 1)
        return np.asarray(pixels[np.rint(at).astype(int)])
