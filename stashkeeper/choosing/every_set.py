"""Every way of making sets from a few fabrics, where no argument settles whether there is one."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.assigning import assigned
from stashkeeper.choosing.picking import Picked
from stashkeeper.choosing.set_kinds import Kind, SetOf
from stashkeeper.choosing.shelf import Shelf, Whole

MOST_FABRICS: Final = 20
"""No more fabrics are looked at in every way."""

MOST_TRIES: Final = 10_000
"""So many steps, at most, for one gap."""

MOST_TRIES_AT_ALL: Final = 150_000
"""So many steps, at most, to find out whether there is any choice at all."""

MOST_TRIES_IN_ALL: Final = 40_000
"""So many steps, at most, for one choice; then questions stay open."""


class EverySet:
    """The sets asked for, over all fabrics of a small shelf.

    Attributes:
        small: whether the shelf is small enough for this.
    """

    def __init__(
        self, shelf: Shelf, family: Whole, kinds: Sequence[Kind], further: Sequence[Ask]
    ) -> None:
        self._light, self._family = shelf.light, family
        self._sets = [one for kind in kinds for one in kind.sets]
        self._first = {kind.sets[0].number for kind in kinds}
        self._further = further
        self._exact = not any(ask.totals for ask in further)
        masks = [grade.loose for kind in kinds for grade in kind.grades]
        self.small = int(np.logical_or.reduce(masks).sum()) <= MOST_FABRICS
        self._has: tuple[int, Picked] = 0, {}
        self._has_not: int | None = None
        self._tries, self._limit, self._tries_in_all = 0, 0, 0
        self._open: set[int] = set()

    def found(self, gap: int) -> Picked | None:
        """Return a selection with this gap inside every set, or None."""
        self._look(gap)
        return dict(self._has[1]) if gap <= self._has[0] else None

    def excluded(self, gap: int) -> bool:
        """Tell whether surely no selection has this gap inside every set."""
        self._look(gap)
        return self._has_not is not None and gap >= self._has_not

    def _look(self, gap: int) -> None:
        """Settle a gap, unless it is known, or would take too long."""
        known = gap <= self._has[0] or (self._has_not is not None and gap >= self._has_not)
        if known or gap in self._open or self._tries_in_all > MOST_TRIES_IN_ALL:
            return
        self._tries, self._limit = 0, MOST_TRIES_AT_ALL if gap == 1 else MOST_TRIES
        picked: Picked = {}
        done = self._go_on(0, gap, set(), picked, -1)
        self._tries_in_all += 0 if gap == 1 else self._tries
        if done:
            self._has = gap, picked
        elif self._tries <= self._limit and self._exact:
            self._has_not = gap
        else:
            self._open.add(gap)

    def _go_on(self, place: int, gap: int, used: set[int], picked: Picked, after: int) -> bool:
        """Try every way for the sets from this one on."""
        if place == len(self._sets):
            return self._served(used, picked)
        one = self._sets[place]
        after = -1 if one.number in self._first else after
        for rows in self._ways(one, gap, used):
            taken = [fabric for row in rows for fabric in row]
            if taken and taken[0] < after:  # sets that ask alike: one order stands for all
                continue
            before = dict(picked)
            for grade, row in zip(one.grades, rows, strict=True):
                picked |= grade.shared(row)
            if self._go_on(place + 1, gap, used | set(taken), picked, taken[0] if taken else -1):
                return True
            picked.clear()
            picked |= before
        return False

    def _ways(self, one: SetOf, gap: int, used: set[int]) -> Iterator[list[list[int]]]:
        """Yield every way of making one set from what is not used."""
        families = range(int(self._family.max(initial=-1)) + 1)
        for family in families if one.family is None else [one.family]:
            free = self._family == family
            free[list(used)] = False
            yield from self._levels(one, 0, -gap, gap, np.flatnonzero(free).tolist())

    def _levels(
        self, one: SetOf, place: int, top: int, gap: int, free: Sequence[int]
    ) -> Iterator[list[list[int]]]:
        if place == len(one.grades):
            yield []
            return
        grade = one.grades[place]
        if any(int(self._light[fabric]) < top + gap for fabric in grade.kept):
            return
        here = [
            fabric for fabric in free if grade.loose[fabric] and self._light[fabric] >= top + gap
        ]
        for row in combinations(here, grade.count):
            self._tries += 1
            if self._tries > self._limit:
                return
            for order in _orders(row, grade.asks):
                edge = max([*row, *grade.kept], default=0)
                for rest in self._levels(one, place + 1, int(self._light[edge]), gap, free):
                    yield [order, *rest]

    def _served(self, used: set[int], picked: Picked) -> bool:
        """Serve the roles outside sets from what is left."""
        free = np.ones(len(self._light), dtype=np.bool_)
        free[list(used)] = False
        for value in {ask.need.value for ask in self._further}:
            asks = [ask for ask in self._further if ask.need.value is value]
            found = assigned(asks, 0, len(self._light), free)
            if found is None:
                return False
            for ask in asks:
                picked[ask.number] = [*ask.kept, *found[ask.number]]
                free[found[ask.number]] = False
        return True


def _orders(row: Sequence[int], asks: Sequence[Ask]) -> Iterator[list[int]]:
    """Yield the first order in which these fabrics serve the asks of one value, if there is one."""
    if len(asks) == 1:
        if all(asks[0].able[fabric] for fabric in row):
            yield list(row)
        return
    first, count = asks[0], asks[0].count or 0
    for mine in combinations(row, count):
        if all(first.able[fabric] for fabric in mine):
            others = [fabric for fabric in row if fabric not in mine]
            for rest in _orders(others, asks[1:]):
                yield [*mine, *rest]
                return
