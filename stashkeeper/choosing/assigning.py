"""Assigning: fabrics of one stretch of the shelf to the asks of one value, the cheap ones first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask, Costs
from stashkeeper.choosing.shelf import Flags, Whole
from stashkeeper.choosing.two_sums import table_fits, two_sums
from stashkeeper.cutting.covering import cheapest_cover

type Assigned = dict[int, list[int]]
"""For each ask, by its number, the fabrics it gets besides the kept ones."""

MOST_SMALL: Final = 14
"""Up to so many fabrics every way of sharing them is tried."""

MOST_WAYS: Final = 20_000
"""So many ways, at most."""

MOST_ORDERS: Final = 3
"""Up to so many asks are served in every order."""

SPARE_COVER: Final = 3
"""The cheapest cover is looked for among the best fabrics that give this many times as much."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What came of an assignment.

    Attributes:
        found: fabrics for every ask, or None.
        sure: where nothing was found, whether there surely is nothing.
    """

    found: Assigned | None
    sure: bool


def assigned(
    asks: Sequence[Ask], start: int, end: int, free: Flags | None = None
) -> Assigned | None:
    """Return fabrics start … end − 1 for every ask, no fabric twice, or None if none was found."""
    return settle(asks, start, end, free).found


def settle(asks: Sequence[Ask], start: int, end: int, free: Flags | None = None) -> Settled:
    """Return fabrics start … end − 1 for every ask, no fabric twice, and how sure a no is.

    It is sure where asks only count fabrics, where one ask besides those wants one sum, where two
    asks alone want a sum each, and wherever the fabrics are few.
    """
    together = [ask for ask in asks if ask.totals]
    counting = [ask for ask in asks if not ask.totals]
    pool = _Pool(start, end, free)
    if not together:
        return Settled(_counted(counting, pool), True)
    if len(together) == 1 and not counting:
        mine = _one_sum(together[0], pool)
        found = None if mine is None else {together[0].number: mine}
        return Settled(found, together[0].count is None or together[0].one_sum)
    if len(together) == 1 and together[0].plain:
        return Settled(_beside_one_sum(counting, together[0], pool), True)
    if len(together) == 2 and not counting and all(ask.plain for ask in together):
        able = np.union1d(*(pool.able(ask) for ask in together))
        if table_fits(together, able):
            both = two_sums(together, able)
            found = both and dict(zip([ask.number for ask in together], both, strict=True))
            return Settled(found, True)
    return _mixed(counting, together, pool)


class _Pool:
    """The fabrics of a stretch that are still free."""

    def __init__(self, start: int, end: int, free: Flags | None) -> None:
        self._start, self._end, self._free = start, end, free
        self._used: set[int] = set()

    def able(self, ask: Ask) -> Whole:
        """Return the free fabrics that may serve an ask."""
        flags = ask.able[self._start : self._end]
        if self._free is not None:
            flags = flags & self._free[self._start : self._end]
        found = np.flatnonzero(flags) + self._start
        if self._used:
            found = found[~np.isin(found, list(self._used))]
        return found

    def without(self, fabrics: Sequence[int]) -> "_Pool":
        """Return the pool less these fabrics."""
        rest = _Pool(self._start, self._end, self._free)
        rest._used = self._used | set(fabrics)
        return rest


def _counted(asks: Sequence[Ask], pool: _Pool, shunned: Costs | None = None) -> Assigned | None:
    """Return the wanted number of fabrics for each ask, cheap ones first, by augmenting paths.

    Taking cheap ones first and moving earlier ones out of the way never loses a match (bipartite
    matching: Berge, 1957); no ask needs to look at more fabrics than all want together.
    """
    wanted = sum(ask.count or 0 for ask in asks)
    offers: list[tuple[float, int]] = []
    for ask in asks:
        able = pool.able(ask)
        price = ask.costs[able] if shunned is None else shunned[able]
        first = np.lexsort((able, price))[:wanted]
        offers += zip(price[first].tolist(), able[first].tolist(), strict=True)
    holding: Assigned = {ask.number: [] for ask in asks}
    for _, fabric in sorted(set(offers)):
        if not any(fabric in held for held in holding.values()):
            _placed(fabric, asks, holding, set())
    return holding if all(len(holding[ask.number]) == ask.count for ask in asks) else None


def _placed(fabric: int, asks: Sequence[Ask], holding: Assigned, seen: set[int]) -> bool:
    """Give a fabric to an ask that can take it, moving others if need be; tell whether it went."""
    for ask in asks:
        if ask.number in seen or not ask.able[fabric]:
            continue
        seen.add(ask.number)
        held = holding[ask.number]
        if len(held) < (ask.count or 0):
            held.append(fabric)
            return True
        for place, other in enumerate(held):
            if _placed(other, asks, holding, seen):
                held[place] = fabric
                return True
    return False


def _one_sum(ask: Ask, pool: _Pool) -> list[int] | None:
    """Return fabrics that together give what one ask wants."""
    able = pool.able(ask)
    if ask.count is not None:
        order = np.lexsort((able, ask.costs[able], -_shares(ask)[able]))
        best = able[order[: ask.count]].tolist()
        return best if ask.met_by(best) else None
    if len(ask.totals) == 1:
        return _cover(ask, able)
    return _greedy(ask, able)


def _cover(ask: Ask, able: Whole) -> list[int] | None:
    """Return the cheapest fabrics that give one sum."""
    total = ask.totals[0]
    gives = total.gives[able]
    order = np.lexsort((able, ask.costs[able] / np.maximum(gives, 1)))
    most = int(np.searchsorted(np.cumsum(gives[order]), total.wanted * SPARE_COVER)) + 1
    best = np.sort(able[order[:most]])
    found = cheapest_cover(ask.costs[best].tolist(), total.gives[best].tolist(), total.wanted)
    return None if found is None else best[found].tolist()


def _greedy(ask: Ask, able: Whole) -> list[int] | None:
    """Return fabrics that give several sums, most for its cost first, less those not needed."""
    order = able[np.lexsort((able, ask.costs[able] / np.maximum(_shares(ask)[able], 1e-12)))]
    taken: list[int] = []
    for fabric in order.tolist():
        if ask.met_by(taken):
            break
        taken.append(fabric)
    if not ask.met_by(taken):
        return None
    for fabric in sorted(taken, key=lambda one: -ask.costs[one]):
        rest = [one for one in taken if one != fabric]
        if ask.met_by(rest):
            taken = rest
    return taken


def _shares(ask: Ask) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return which share of its wants each fabric gives an ask, added up over its sums."""
    shares = [
        np.minimum(total.gives, total.wanted) / total.wanted for total in ask.totals if total.wanted
    ]
    return np.asarray(sum(shares, start=np.zeros(len(ask.able))))


def _beside_one_sum(counting: Sequence[Ask], ask: Ask, pool: _Pool) -> Assigned | None:
    """Return fabrics for asks that count, such that the most is left for one that adds up.

    The fabrics that give the sum least are taken first and moved about (a matroid's greedy rule).
    """
    gives = ask.totals[0].gives.astype(np.float64)
    found = _counted(counting, pool, gives)
    if found is None:
        return None
    rest = pool.without([fabric for held in found.values() for fabric in held])
    mine = _one_sum(ask, rest)
    return None if mine is None else {**found, ask.number: mine}


def _mixed(counting: Sequence[Ask], together: Sequence[Ask], pool: _Pool) -> Settled:
    """Return fabrics for asks that count and asks that add up, tried in several orders."""
    worth = np.maximum.reduce([_shares(ask) for ask in together])
    for first in (counting, ()):
        start = _counted(first, pool, worth) if first else {}
        if start is None:
            return Settled(None, True)
        rest = pool.without([fabric for held in start.values() for fabric in held])
        for order in _orders(together):
            found = _in_turn(order, rest)
            if found is None:
                continue
            late = rest.without([fabric for held in found.values() for fabric in held])
            last = {} if first else _counted(counting, late)
            if last is not None:
                return Settled({**start, **found, **last}, True)
    return _every_way([*together, *counting], pool)


def _orders(asks: Sequence[Ask]) -> Iterator[Sequence[Ask]]:
    if len(asks) <= MOST_ORDERS:
        yield from permutations(asks)
    else:
        yield asks
        yield asks[::-1]


def _in_turn(asks: Sequence[Ask], pool: _Pool) -> Assigned | None:
    """Return fabrics for one ask after another, those first that serve no later ask as well."""
    found: Assigned = {}
    for place, ask in enumerate(asks):
        able, later = pool.able(ask), asks[place + 1 :]
        others = [_shares(other) for other in later] or [np.zeros(len(ask.able))]
        liking = (_shares(ask) - np.maximum.reduce(others))[able]
        taken: list[int] = []
        for fabric in able[np.lexsort((able, -liking))].tolist():
            if ask.met_by(taken) or len(taken) == ask.count:
                break
            taken.append(fabric)
        if not ask.met_by(taken):
            return None
        found[ask.number] = taken
        pool = pool.without(taken)
    return found


def _every_way(asks: Sequence[Ask], pool: _Pool) -> Settled:
    """Return the first way of sharing a few fabrics that serves every ask."""
    fabrics = sorted({fabric for ask in asks for fabric in pool.able(ask).tolist()})
    if len(fabrics) > MOST_SMALL:
        return Settled(None, False)
    holding: Assigned = {ask.number: [] for ask in asks}
    tries = [0]

    def go_on(place: int) -> bool:
        tries[0] += 1
        if all(ask.met_by(holding[ask.number]) for ask in asks):
            return True
        if place == len(fabrics) or tries[0] > MOST_WAYS:
            return False
        for ask in asks:
            held = holding[ask.number]
            if ask.able[fabrics[place]] and len(held) != ask.count:
                held.append(fabrics[place])
                if go_on(place + 1):
                    return True
                held.pop()
        return go_on(place + 1)

    done = go_on(0)
    return Settled(holding if done else None, tries[0] <= MOST_WAYS)
