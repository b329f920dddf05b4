"""Levels: does a stretch of the shelf, from one lightness to another, give all one value asks?

A level holds every ask of one value. Its question is monotone: a longer stretch never gives less.
"""

from collections.abc import Sequence
from itertools import combinations
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.assigning import Assigned, Settled, assigned, settle
from stashkeeper.choosing.shelf import Flags, Whole
from stashkeeper.cloth.value import Value

MOST_KINDS: Final = 10
"""Up to so many kinds of roles at one level every group of them is counted (Hall's condition)."""

MOST_COUNTS: Final = 30_000_000
"""As long as that takes no more numbers than these."""


class Level:
    """All asks of one value over the fabrics of a shelf, from dark to light.

    Attributes:
        value: the value.
        asks: what is asked of it.
        counts_all: whether counting and adding up is the whole truth.
    """

    def __init__(self, value: Value, asks: Sequence[Ask]) -> None:
        self.value = value
        self.asks = tuple(asks)
        kept = [fabric for ask in asks for fabric in ask.kept]
        self.kept_from = min(kept, default=None)
        self.kept_to = max(kept, default=None)
        self._together = [_Together(ask) for ask in asks if ask.totals]
        self._counted = _Counted(asks)
        self._shared = _shared_bound(self._together)
        self.counts_all = self._counted.exact and (
            not self._together or (len(asks) == 1 and _one_total(asks[0]))
        )
        self._known: dict[tuple[int, int], Settled] = {}

    def enough(self, start: int, end: int) -> bool:
        """Tell whether fabrics start … end − 1 may give it all; never wrong when it says no."""
        if not self._counts(start, end):
            return False
        if self.counts_all:
            return True
        looked = self._looked(start, end)
        return looked.found is not None or not looked.sure

    def surely(self, start: int, end: int) -> bool:
        """Tell whether fabrics start … end − 1 give it all; never wrong when it says yes."""
        if not self._counts(start, end):
            return False
        return self.counts_all or self._looked(start, end).found is not None

    def assign(self, start: int, end: int) -> Assigned | None:
        """Return fabrics of this stretch for every ask, cheap ones first, or None."""
        if not self._holds_kept(start, end):
            return None
        found = assigned(self.asks, start, end)
        if found is not None:
            return found
        within = (
            known.found
            for (begin, finish), known in self._known.items()
            if known.found is not None and start <= begin and finish <= end
        )
        return next(within, None)

    def _looked(self, start: int, end: int) -> Settled:
        if (start, end) not in self._known:
            self._known[start, end] = settle(self.asks, start, end)
        return self._known[start, end]

    def _counts(self, start: int, end: int) -> bool:
        """Tell whether counts and sums allow it."""
        return (
            self._holds_kept(start, end)
            and self._counted.enough(start, end)
            and all(one.enough(start, end) for one in self._together)
            and (self._shared is None or self._shared.enough(start, end))
        )

    def _holds_kept(self, start: int, end: int) -> bool:
        return (self.kept_from is None or start <= self.kept_from) and (
            self.kept_to is None or self.kept_to < end
        )


class _Together:
    """One ask whose fabrics give something together."""

    def __init__(self, ask: Ask) -> None:
        self._ask = ask
        self._running = [_running(total.gives) for total in ask.totals]

    def enough(self, start: int, end: int) -> bool:
        return all(
            running[end] - running[start] >= total.wanted
            and (
                self._ask.count is None
                or _largest(total.gives[start:end], self._ask.count) >= total.wanted
            )
            for running, total in zip(self._running, self._ask.totals, strict=True)
        )


class _Counted:
    """Asks by how many fabrics they take, none of them twice: Hall's condition for every group.

    P. Hall, "On representatives of subsets", J. London Math. Soc. 10 (1935).
    """

    def __init__(self, asks: Sequence[Ask]) -> None:
        wanted: dict[bytes, int] = {}
        masks: dict[bytes, Flags] = {}
        for ask in asks:
            key = ask.able.tobytes()
            wanted[key] = wanted.get(key, 0) + ask.least
            masks[key] = ask.able
        kinds = len(masks)
        self.exact = kinds <= MOST_KINDS and 2**kinds * asks[0].able.size <= MOST_COUNTS
        if not self.exact:  # too many groups: those of one and of two kinds, and all together
            groups = [*_groups(kinds, (1, 2)), tuple(range(kinds))]
        else:
            groups = [*_groups(kinds, range(1, kinds + 1))]
        lists, counts = list(masks.values()), list(wanted.values())
        self._wanted = np.array([sum(counts[kind] for kind in group) for group in groups])
        self._running = np.array(
            [_running(_any_of([lists[kind] for kind in group])) for group in groups]
        )

    def enough(self, start: int, end: int) -> bool:
        found = self._running[:, end] - self._running[:, start] >= self._wanted
        return bool(found.all())


class _Bound:
    """What several asks want together, each fabric at its best use: a condition that must hold."""

    def __init__(self, gives: Sequence[float], wanted: float) -> None:
        self._running = np.concatenate(([0.0], np.cumsum(gives)))
        self._wanted = wanted - 1e-9 * max(self._running[-1], 1.0)

    def enough(self, start: int, end: int) -> bool:
        return bool(self._running[end] - self._running[start] >= self._wanted)


def _shared_bound(together: Sequence[_Together]) -> _Bound | None:
    """Return the bound for asks that draw on the same fabrics, in shares of what each wants."""
    shares = [
        total.gives / total.wanted
        for one in together
        for total in one._ask.totals[:1]
        if total.wanted
    ]
    if len(shares) < 2:
        return None
    return _Bound(np.maximum.reduce(shares).tolist(), float(len(shares)))


def _one_total(ask: Ask) -> bool:
    """Tell whether whole sums say all: any number of fabrics, or only one thing to give."""
    return ask.count is None or len(ask.totals) == 1


def _groups(kinds: int, sizes: Sequence[int]) -> list[tuple[int, ...]]:
    return [group for size in sizes for group in combinations(range(kinds), size)]


def _any_of(masks: Sequence[Flags]) -> Whole:
    return np.asarray(np.logical_or.reduce(masks), dtype=np.int64)


def _running(numbers: Whole) -> Whole:
    """Return the running sums, with a zero in front."""
    return np.concatenate((np.zeros(1, dtype=np.int64), np.cumsum(numbers)))


def _largest(numbers: Whole, count: int) -> int:
    """Return the sum of the `count` largest numbers."""
    if count <= 0:
        return 0
    if count >= len(numbers):
        return int(numbers.sum())
    return int(np.partition(numbers, len(numbers) - count)[len(numbers) - count :].sum())
