"""Score: what decides between choices that keep the values equally far apart.

Scraps first: opening small pieces costs less (the cutting room's measure). Harmony: how far the
colours of a set, or of the whole choice, lie from their mean in a* and b* (root mean square; ours).
Certainty: the mean uncertainty of the readings. All three are better when smaller.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Self

import numpy as np
from numpy.typing import NDArray

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.shelf import Shelf, Whole

type Selection = Mapping[int, Sequence[int]]
"""For each ask, by its number, all its fabrics, the kept ones among them."""

type Numbers = NDArray[np.float64]


class Favour(StrEnum):
    """What a choice puts first once the values are apart."""

    CONTRAST = "the widest gap"
    """The widest gap, then scraps first, harmony, certainty."""
    SCRAPS = "scraps first"
    HARMONY = "colours that go together"
    CERTAINTY = "the surest readings"
    OTHERS = "other fabrics"
    """The widest gap without the fabrics that set the best choice's smaller gap."""


_ORDER: Mapping[Favour, tuple[int, int, int]] = {
    Favour.HARMONY: (1, 0, 2),
    Favour.CERTAINTY: (2, 0, 1),
}


@dataclass(frozen=True, slots=True, order=True)
class Score:
    """Scraps, harmony and certainty, rounded so that a hair does not decide.

    Attributes:
        scraps: what opening its pieces costs.
        harmony: in units of a* and b*, to a whole one, about the least difference eyes notice.
        certainty: ± L*, to a tenth.
    """

    scraps: float
    harmony: float
    certainty: float

    def by(self, favour: Favour) -> tuple[float, ...]:
        """Return the three figures, the one that is favoured first."""
        figures = (self.scraps, self.harmony, self.certainty)
        return tuple(figures[place] for place in _ORDER.get(favour, (0, 1, 2)))


class Tally:
    """A running score: what each exchange of one fabric would make of it, without adding anew."""

    def __init__(self, shelf: Shelf, asks: Sequence[Ask]) -> None:
        self._asks = {ask.number: ask for ask in asks}
        self._colours = shelf.colours
        self._unsure = shelf.uncertainties
        groups = {ask.need.set_number for ask in asks}
        self._group = {ask.number: ask.need.set_number for ask in asks}
        self._members: dict[int | None, list[int]] = {group: [] for group in groups}
        self._scraps = 0.0

    @property
    def unsure(self) -> Numbers:
        """The uncertainty of every fabric."""
        return self._unsure

    def count(self, selection: Selection) -> Self:
        """Start from this selection."""
        self._members = {group: [] for group in self._members}
        self._scraps = 0.0
        for number, fabrics in selection.items():
            self._members[self._group[number]] += fabrics
            self._scraps += float(self._asks[number].costs[list(fabrics)].sum())
        return self

    def score(self) -> Score:
        """Return the score as it stands."""
        size = max(sum(map(len, self._members.values())), 1)
        spread = sum(self._spread(members) for members in self._members.values())
        return Score(
            self._scraps,
            float(np.rint(math.sqrt(spread / size))),
            float(np.rint(self._unsure_sum() / size * 10.0) / 10.0),
        )

    def exchanges(self, number: int, fabric: int, others: Whole, favour: Favour) -> Numbers:
        """Return the scores, one row each, with one of `others` in the place of a fabric."""
        ask, group = self._asks[number], self._group[number]
        rest = list(self._members[group])
        rest.remove(fabric)
        scraps = self._scraps - ask.costs[fabric] + ask.costs[others]
        spread = self._spread_without(group) + self._spread_with(rest, others)
        size = sum(map(len, self._members.values()))
        unsure = self._unsure_sum() - self._unsure[fabric] + self._unsure[others]
        figures = (
            scraps,
            np.rint(np.sqrt(np.maximum(spread, 0.0) / size)),
            np.rint(unsure / size * 10.0) / 10.0,
        )
        return np.stack([figures[place] for place in _ORDER.get(favour, (0, 1, 2))], axis=1)

    def exchange(self, number: int, fabric: int, other: int) -> None:
        """Put another fabric in the place of one."""
        members = self._members[self._group[number]]
        members[members.index(fabric)] = other
        costs = self._asks[number].costs
        self._scraps += float(costs[other] - costs[fabric])

    def _unsure_sum(self) -> float:
        return float(sum(self._unsure[members].sum() for members in self._members.values()))

    def _spread(self, members: Sequence[int]) -> float:
        """Return the sum of squared distances of some colours to their mean."""
        if not members:
            return 0.0
        colours = self._colours[list(members)]
        return float(((colours - colours.mean(axis=0)) ** 2).sum())

    def _spread_without(self, group: int | None) -> float:
        return sum(
            self._spread(members) for other, members in self._members.items() if other != group
        )

    def _spread_with(self, rest: Sequence[int], others: Whole) -> Numbers:
        """Return the spread of some colours together with each of the others."""
        colours = self._colours[list(rest)]
        size = len(rest) + 1
        total = colours.sum(axis=0) + self._colours[others]
        squares = (colours**2).sum() + (self._colours[others] ** 2).sum(axis=1)
        return np.asarray(squares - (total**2).sum(axis=1) / size)
