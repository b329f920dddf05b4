"""Asks: the needs of a choice as numbers over the fabrics of one shelf, less what is kept."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.shelf import Flags, Shelf, Whole, opening_costs
from stashkeeper.errors import BadRequestError, quoted

type Costs = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Total:
    """What the fabrics of an ask must give together: what each gives, and how much is wanted."""

    gives: Whole
    wanted: int


@dataclass(frozen=True, slots=True)
class Ask:
    """One need over the fabrics of a shelf.

    Attributes:
        number: the place of the need among all.
        need: what is asked for.
        count: how many fabrics are still wanted; None for as many as the totals take.
        able: which fabrics may serve and are free.
        totals: what they must give together, besides what the kept ones give.
        kept: the fabrics that are settled.
        costs: what it costs to open each fabric for it.
    """

    number: int
    need: Need
    count: int | None
    able: Flags
    totals: tuple[Total, ...]
    kept: tuple[int, ...]
    costs: Costs

    @property
    def least(self) -> int:
        """The fewest fabrics that are still wanted."""
        if self.count is not None:
            return self.count
        return int(any(total.wanted > 0 for total in self.totals))

    @property
    def one_sum(self) -> bool:
        """Whether it wants one sum and nothing else adds up."""
        return len(self.totals) == 1

    @property
    def plain(self) -> bool:
        """Whether any number of fabrics will do, as long as one sum is reached."""
        return self.one_sum and self.count is None

    def met_by(self, fabrics: Sequence[int]) -> bool:
        """Tell whether these fabrics give what is still wanted."""
        where = np.array(fabrics, dtype=np.int64)
        return (self.count is None or len(fabrics) == self.count) and all(
            int(total.gives[where].sum()) >= total.wanted for total in self.totals
        )


def asks_of(
    shelf: Shelf, needs: Sequence[Need], kept: Mapping[int, int], out: Collection[int]
) -> list[Ask]:
    """Return the asks of these needs.

    Args:
        shelf: the fabrics.
        needs: what is asked for.
        kept: for each kept fabric the number of the need it is kept for.
        out: fabrics left out.

    Raises:
        BadRequestError: more fabrics are kept for a role than it takes, or one is too small.
    """
    free = np.ones(len(shelf), dtype=np.bool_)
    free[[*kept, *out]] = False
    known: dict[Need, tuple[Flags, Costs]] = {}
    asks = []
    for number, need in enumerate(needs):
        kind = _kind(need)
        if kind not in known:
            known[kind] = able_for(shelf, need), _costs(shelf, need)
        able, costs = known[kind]
        mine = tuple(sorted(fabric for fabric, role in kept.items() if role == number))
        for fabric in mine:
            if not able[fabric]:
                raise _too_small(shelf, need, fabric)
        asks.append(_ask(shelf, number, need, able & free, mine, costs))
    return asks


def able_for(shelf: Shelf, need: Need) -> Flags:
    """Return which fabrics may serve a need: family and size, whatever their lightness."""
    able = np.ones(len(shelf), dtype=np.bool_)
    if need.family is not None:
        able &= np.array([family == need.family for family in shelf.families], dtype=np.bool_)
    if not need.alone:
        gives = [shelf.gives[cut.key] > 0 for cut in need.cuts] or [shelf.areas > 0]
        return np.asarray(able & np.logical_or.reduce(gives))
    for cut in need.cuts:
        able &= shelf.gives[cut.key] >= cut.count
    return np.asarray(able & (shelf.areas >= need.area))


def _kind(need: Need) -> Need:
    """Return the need without its names: roles that ask alike share their numbers."""
    return Need("", None, need.fabrics, need.cuts, need.each, need.area, None, need.family)


def _ask(
    shelf: Shelf, number: int, need: Need, able: Flags, kept: tuple[int, ...], costs: Costs
) -> Ask:
    count = None if need.fabrics is None else need.fabrics - len(kept)
    if count is not None and count < 0:
        raise BadRequestError(
            f"{len(kept)} fabrics are kept for {quoted(need.name)}, which takes {need.fabrics}.",
            "Keep fewer, or ask for more.",
        )
    totals = [(shelf.gives[cut.key], cut.count) for cut in need.cuts]
    totals += [(shelf.areas, need.area)] if need.area else []
    where = list(kept)
    left = (
        Total(np.where(able, gives, 0), max(wanted - int(gives[where].sum()), 0))
        for gives, wanted in totals
    )
    return Ask(number, need, count, able, () if need.alone else tuple(left), kept, costs)


def _costs(shelf: Shelf, need: Need) -> Costs:
    """Return what each fabric costs: its cheapest piece that serves alone, or all its pieces."""
    each = opening_costs(shelf.piece_areas)
    if not len(shelf):
        return each
    starts = shelf.starts[:-1]
    whole = np.add.reduceat(each, starts)
    if not need.alone:
        return np.asarray(whole)
    serves = shelf.piece_areas >= need.area
    for cut in need.cuts:
        serves = serves & (shelf.piece_gives[cut.key] >= cut.count)
    return np.minimum(np.minimum.reduceat(np.where(serves, each, np.inf), starts), whole)


def _too_small(shelf: Shelf, need: Need, fabric: int) -> BadRequestError:
    code = shelf.codes_of(fabric)[0]
    role = quoted(need.name)
    if need.family is not None and shelf.families[fabric] != need.family:
        return BadRequestError(
            f"{code} is kept for {role}, but it is not {need.family}.", "Keep another piece for it."
        )
    short = [
        f"{int(shelf.gives[cut.key][fabric])} of {cut.count}"
        for cut in need.cuts
        if shelf.gives[cut.key][fabric] < cut.count
    ]
    gives = f"it gives {' and '.join(short)} cuts" if short else "it has not the area"
    return BadRequestError(
        f"{code} is kept for {role}, but is too small for it: {gives}.",
        "Keep a larger piece, or ask for fewer or smaller cuts.",
    )
