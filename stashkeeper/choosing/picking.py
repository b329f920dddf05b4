"""Picking: within what the gaps allow, fabrics are exchanged one by one while the score improves.

Which exchange comes first does not depend on the order of the shelf. The gap is proven elsewhere;
scraps, harmony and certainty are as good as single exchanges make them.
"""

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.score import Favour, Score, Selection, Tally
from stashkeeper.choosing.shelf import Shelf, Whole

type Picked = dict[int, list[int]]
"""For each ask, by its number, all its fabrics."""

type Room = Callable[[Ask, int, Picked], Whole]
"""Which fabrics may take the place of one: of this ask, in this selection; used ones included."""

MOST_ROUNDS: Final = 4
"""So often every fabric is looked at again."""

BEST_OF_EACH: Final = 400
"""Among many fabrics, so many of the cheapest, of the surest and of the nearest in colour."""


class Picker:
    """Improves selections over one shelf."""

    def __init__(self, shelf: Shelf, asks: Sequence[Ask]) -> None:
        self._shelf = shelf
        self._asks = {ask.number: ask for ask in asks}
        self._tally = Tally(shelf, asks)
        self._colours = shelf.colours

    def improved(self, start: Selection, room: Room, favour: Favour) -> tuple[Picked, Score]:
        """Return a selection made better by single exchanges, with its score."""
        picked = {number: sorted(fabrics) for number, fabrics in start.items()}
        self._drop_needless(picked)
        self._tally.count(picked)
        for _ in range(MOST_ROUNDS):
            if not self._one_round(picked, room, favour):
                break
        for fabrics in picked.values():
            fabrics.sort()
        return picked, self._tally.score()

    def _one_round(self, picked: Picked, room: Room, favour: Favour) -> bool:
        """Look at every fabric once; tell whether anything was exchanged."""
        changed = False
        for number, fabrics in picked.items():
            ask = self._asks[number]
            for place, fabric in enumerate(list(fabrics)):
                if fabric in ask.kept:
                    continue
                other = self._better(ask, fabric, picked, room, favour)
                if other is not None:
                    self._tally.exchange(number, fabric, other)
                    fabrics[place] = other
                    changed = True
        return changed

    def _better(
        self, ask: Ask, fabric: int, picked: Picked, room: Room, favour: Favour
    ) -> int | None:
        """Return the fabric that serves best in the place of one, or None if none is better."""
        used = [one for fabrics in picked.values() for one in fabrics]
        others = room(ask, fabric, picked)
        others = others[~np.isin(others, used)]
        others = self._met(ask, fabric, picked[ask.number], others)
        if not others.size:
            return None
        others = self._few(ask, fabric, others)
        both = np.append(others, fabric)
        scores = self._tally.exchanges(ask.number, fabric, both, favour)
        best = int(np.lexsort((both, scores[:, 2], scores[:, 1], scores[:, 0]))[0])
        better = tuple(scores[best]) < tuple(scores[-1])
        return int(both[best]) if better else None

    def _met(self, ask: Ask, fabric: int, mine: Sequence[int], others: Whole) -> Whole:
        """Return the fabrics with which the others of an ask still give enough."""
        rest = [one for one in mine if one != fabric and one not in ask.kept]
        for total in ask.totals:
            still = total.wanted - int(total.gives[rest].sum())
            others = others[total.gives[others] >= still]
        return others

    def _few(self, ask: Ask, fabric: int, others: Whole) -> Whole:
        """Return the most promising of many fabrics."""
        if others.size <= 3 * BEST_OF_EACH:
            return others
        away = ((self._colours[others] - self._colours[fabric]) ** 2).sum(axis=1)
        figures = (ask.costs[others], away, self._tally.unsure[others])
        best = [np.argpartition(figure, BEST_OF_EACH)[:BEST_OF_EACH] for figure in figures]
        return np.asarray(others[np.unique(np.concatenate(best))])

    def _drop_needless(self, picked: Picked) -> None:
        """Put back what a sum does not need, the dearest first."""
        for number, fabrics in picked.items():
            ask = self._asks[number]
            if ask.count is not None:
                continue
            free = [fabric for fabric in fabrics if fabric not in ask.kept]
            for fabric in sorted(free, key=lambda one: (-ask.costs[one], one)):
                rest = [one for one in free if one != fabric]
                if ask.met_by(rest) and (rest or ask.kept):
                    free = rest
                    fabrics.remove(fabric)
