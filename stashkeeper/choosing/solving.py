"""Solving: the best choice over every way of settling kept pieces, with its cuts proven."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from stashkeeper.choosing.asks import Ask, asks_of
from stashkeeper.choosing.groups import Found, Groups
from stashkeeper.choosing.keeping import Kept, Settled, ways_to_settle
from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.picking import Picked
from stashkeeper.choosing.score import Favour, Score
from stashkeeper.choosing.sets import Sets
from stashkeeper.choosing.shelf import Shelf
from stashkeeper.errors import BadRequestError, quoted

type Prove = Callable[[Need, tuple[str, ...]], bool]
"""Tells whether a cutting plan takes everything a need asks for out of the pieces of these codes
(of one fabric, where each fabric is to give it all)."""

type Way = Groups | Sets
"""A choice from the whole shelf, or in sets."""

MOST_PROOFS: Final = 60
"""So many cutting plans are asked for, at most."""

MORE_CLOTH: Final = (27, 25)
"""Where no plan is found, so much more is asked of the shelf (a ratio; ours)."""


@dataclass(frozen=True, slots=True)
class Solved:
    """A selection.

    Attributes:
        way: the choice it came from.
        picked: its fabrics, by the number of the need.
        score: scraps, harmony, certainty.
        gap: the smaller gap that was asked of it, in millionths of L*.
        bound: what no selection can exceed.
        cuts_proven: whether plans prove the roles that take several sizes out of the same cloth.
    """

    way: Way
    picked: Picked
    score: Score
    gap: int
    bound: int
    cuts_proven: bool

    @property
    def proven(self) -> bool:
        """Whether nothing better can be."""
        return self.gap == self.bound


@dataclass(slots=True)
class Solver:
    """Finds selections for needs over one shelf.

    Attributes:
        shelf: the fabrics.
        needs: what is asked for.
        settled: what is kept and left out.
        prove: asks the cutting room; None where nobody can be asked.
    """

    shelf: Shelf
    needs: Sequence[Need]
    settled: Settled
    prove: Prove | None = None
    _denied: dict[int, set[int]] = field(default_factory=dict)
    _raised: dict[int, Need] = field(default_factory=dict)
    _proofs: dict[tuple[int, tuple[int, ...]], bool] = field(default_factory=dict)

    def best(self, out: frozenset[int] = frozenset()) -> Solved | None:
        """Return the best selection without the fabrics in `out`, or None."""
        bound: int | None = None
        for _ in range(MOST_PROOFS):
            solved = self._once(out)
            if solved is None:
                return None
            bound = solved.bound if bound is None else bound
            solved = replace(solved, bound=bound)
            if self.cuts_hold(solved):
                return replace(solved, cuts_proven=self._has_proof(solved.picked))
        return solved

    def favouring(self, solved: Solved, gap: int, favour: Favour) -> Solved | None:
        """Return a selection at least `gap` apart that puts something else first, or None."""
        found = solved.way.pick(gap, favour)
        if found is None:
            return None
        other = replace(solved, picked=found[0], score=found[1])
        if not self.cuts_hold(other):
            return None
        return replace(other, cuts_proven=self._has_proof(found[0]))

    def cuts_hold(self, solved: Solved) -> bool:
        """Tell whether every plan that can be asked for is found; note what was denied.

        Raises:
            BadRequestError: the cuts do not come out of a fabric that is kept.
        """
        if self.prove is None:
            return True
        for ask in solved.way.asks:
            if _wants_proof(ask.need):
                for some in _apart(ask.need, solved.picked[ask.number]):
                    if self._proven(ask.number, some) is False:
                        self._deny(ask, some)
                        return False
        return True

    def ways(self, out: frozenset[int] = frozenset()) -> Iterator[Way]:
        """Yield the choice for every way of settling kept pieces.

        Raises:
            BadRequestError: no way is left, because what is kept is too small, too much or of
                several colours in one set.
        """
        refused: BadRequestError | None = None
        any_way = False
        for kept in ways_to_settle(self.shelf, self.needs, self.settled):
            try:
                way = way_of(self.shelf, self._asks(kept, out))
            except BadRequestError as error:
                refused = error
                continue
            any_way = True
            yield way
        if refused is not None and not any_way:
            raise refused

    def _once(self, out: frozenset[int]) -> Solved | None:
        best: tuple[Way, Found] | None = None
        bound = 0
        for way in self.ways(out):
            found = way.best()
            bound = max(bound, found.bound or 0)
            if found.gap is not None and (best is None or found.gap > (best[1].gap or -1)):
                best = way, found
        if best is None or best[1].gap is None:
            return None
        way, gap = best[0], best[1].gap
        picked = way.pick(gap, Favour.CONTRAST)
        return None if picked is None else Solved(way, *picked, gap, max(bound, gap), False)

    def _asks(self, kept: Kept, out: frozenset[int]) -> list[Ask]:
        needs = [self._raised.get(number, need) for number, need in enumerate(self.needs)]
        asks = asks_of(self.shelf, needs, kept, self.settled.out | out)
        for number, fabrics in self._denied.items():
            able = asks[number].able.copy()
            able[list(fabrics)] = False
            asks[number] = replace(asks[number], able=able)
        return asks

    def _proven(self, number: int, fabrics: tuple[int, ...]) -> bool | None:
        """Ask the cutting room once; None where it was asked too often already."""
        if self.prove is None:
            return None
        key = number, tuple(sorted(fabrics))
        if key not in self._proofs:
            if len(self._proofs) >= MOST_PROOFS:
                return None
            codes = tuple(code for fabric in fabrics for code in self.shelf.codes_of(fabric))
            self._proofs[key] = self.prove(self.needs[number], codes)
        return self._proofs[key]

    def _has_proof(self, picked: Picked) -> bool:
        """Tell whether nothing needs a proof, or all of it has one."""
        return all(
            self._proofs.get((number, tuple(sorted(some))), False)
            for number, fabrics in picked.items()
            if _wants_proof(self.needs[number])
            for some in _apart(self.needs[number], fabrics)
        )

    def _deny(self, ask: Ask, fabrics: tuple[int, ...]) -> None:
        """Look for other cloth: without one fabric, or for more than is wanted."""
        if ask.need.alone:
            if fabrics[0] in ask.kept:
                raise _does_not_come_out(self.shelf, ask, fabrics[0])
            self._denied.setdefault(ask.number, set()).update(fabrics)
            return
        more, less = MORE_CLOTH
        cuts = tuple(replace(cut, count=cut.count * more // less + 1) for cut in ask.need.cuts)
        self._raised[ask.number] = replace(ask.need, cuts=cuts, area=ask.need.area * more // less)


def way_of(shelf: Shelf, asks: Sequence[Ask]) -> Way:
    """Return the choice in sets where there are any, else from the whole shelf."""
    in_sets = any(ask.need.set_number is not None for ask in asks)
    return Sets(shelf, asks) if in_sets else Groups(shelf, asks)


def asks_by_number(way: Way) -> Mapping[int, Ask]:
    """Return the asks of a choice by their numbers."""
    return {ask.number: ask for ask in way.asks}


def _apart(need: Need, fabrics: Sequence[int]) -> list[tuple[int, ...]]:
    """Return which fabrics of a need are to be proven together."""
    return [(one,) for one in fabrics] if need.alone else [tuple(fabrics)]


def _does_not_come_out(shelf: Shelf, ask: Ask, fabric: int) -> BadRequestError:
    return BadRequestError(
        f"{shelf.codes_of(fabric)[0]} is kept for {quoted(ask.need.name)}, but no plan takes all "
        "its cuts out of it.",
        "Keep a larger piece, or ask for fewer or smaller cuts.",
    )


def _wants_proof(need: Need) -> bool:
    return len(need.cuts) > 1 or (need.area > 0 and bool(need.cuts))
