"""Sets: every set shares a colour family; the gap inside each set comes first.

For a gap, each family is asked how many sets it gives; the largest gap at which all families
together give enough is found by halving. Then, as a second aim, all darks are kept apart from all
mediums and those from all lights as far as thresholds over the whole shelf allow.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.assigning import assigned
from stashkeeper.choosing.chains import laid, most_laid
from stashkeeper.choosing.every_set import EverySet
from stashkeeper.choosing.groups import Found
from stashkeeper.choosing.kept_set import completed
from stashkeeper.choosing.needs import FROM_DARK
from stashkeeper.choosing.overall import Stretches, Supply, stretches_for
from stashkeeper.choosing.picking import Picked, Picker, Room
from stashkeeper.choosing.score import Favour, Score
from stashkeeper.choosing.set_bound import SetBound
from stashkeeper.choosing.set_kinds import WHOLE_SHELF, Kind, kinds_of
from stashkeeper.choosing.shelf import PER_LIGHTNESS, WHITE, Flags, Shelf, Whole
from stashkeeper.choosing.spans import closest
from stashkeeper.cloth.value import Value

FINE: Final = PER_LIGHTNESS // 100
"""The overall gap of a choice with sets is made as large as can be to a hundredth of L*."""


class Sets:
    """The choice of sets, and of further fabrics outside them, from one shelf."""

    def __init__(self, shelf: Shelf, asks: Sequence[Ask]) -> None:
        self.asks = tuple(asks)
        self.light = shelf.light
        self._shelf = shelf
        self.families = sorted({family for family in shelf.families if family is not None})
        numbers = {family: number for number, family in enumerate(self.families)}
        self._family = np.array(
            [-1 if family is None else numbers[family] for family in shelf.families],
            dtype=np.int64,
        )
        self.kinds = kinds_of(shelf, asks, self.families)
        self._further = [ask for ask in asks if ask.need.set_number is None]
        self._free = np.ones(len(shelf), dtype=np.bool_)
        self._every = EverySet(shelf, self._family, self.kinds, self._further)
        self._bound = SetBound(shelf.light, self._family, len(self.families), self.kinds)
        self._plans: dict[int, Picked | None] = {}
        self._overall: Stretches | None = None

    def best(self) -> Found:
        """Return how far apart the values can be inside every set."""
        gap = self._largest()
        if not self.may((gap or 0) + 1):
            return Found(gap, gap)
        low, high = (gap or 0) + 1, WHITE
        while low < high:
            middle = (low + high + 1) // 2
            if self.may(middle):
                low = middle
            else:
                high = middle - 1
        return Found(gap, low)

    def may(self, gap: int) -> bool:
        """Tell whether sets with this gap inside may exist; never wrong when it says no."""
        if not self._bound.may(gap):
            return False
        return not (self._every.small and self._every.excluded(gap))

    def room_for(self, gap: int) -> Mapping[str, int]:
        """Return how many sets of the easiest kind each family gives at most, by itself."""
        return self._bound.room_for(gap, self.families)

    def family_flags(self, number: int) -> Flags:
        """Return the fabrics of one colour family."""
        return np.asarray(self._family == number)

    def plan(self, gap: int, stretches: Stretches = WHOLE_SHELF) -> Picked | None:
        """Return sets with at least this gap inside, each value within its stretch, or None."""
        if stretches is WHOLE_SHELF and gap in self._plans:
            return self._plans[gap]
        picked = self._planned(gap, stretches)
        contested = picked is None and stretches is WHOLE_SHELF and self._bound.may(gap)
        if contested and self._every.small:
            picked = self._every.found(gap)
        if stretches is WHOLE_SHELF:
            self._plans[gap] = picked
        return picked

    def pick(self, gap: int, favour: Favour) -> tuple[Picked, Score] | None:
        """Return the best selection found with at least this gap inside every set."""
        if self._overall is None:
            self._overall = self._widest(gap)
        start = self.plan(gap, self._overall) or self.plan(gap)
        if start is None:
            return None
        stretches = self._overall if self.plan(gap, self._overall) else WHOLE_SHELF
        picker = Picker(self._shelf, self.asks)
        return picker.improved(start, self._room(gap, stretches), favour)

    def _largest(self) -> int | None:
        """Return the largest gap inside sets for which a plan is found, or None if none is."""
        low, high = 0, WHITE
        while low < high:
            middle = (low + high + 1) // 2 if low else 1
            picked = self.plan(middle)
            if picked is not None:
                low = max(middle, self._inside(picked))
            elif not low:
                return None
            else:
                high = middle - 1
        return low

    def _inside(self, picked: Picked) -> int:
        """Return the smallest gap inside any set; 0 where sets have one value only."""
        pair = closest(picked, self.asks, self.light)
        return 0 if pair is None else int(self.light[pair[1]] - self.light[pair[0]])

    def _widest(self, gap: int) -> Stretches:
        """Return the stretches with the largest overall gap, to a hundredth of L*, that serve."""
        low, high, best = 0, gap + 1, WHOLE_SHELF
        while high - low > FINE:
            middle = (low + high) // 2
            found = next(self._serving(gap, middle), None)
            if found is None:
                high = middle
            else:
                low, best = middle, found
        return best

    def _serving(self, gap: int, overall: int) -> Iterator[Stretches]:
        """Yield stretches so far apart in which the sets can be had."""
        values = [value for value in FROM_DARK if any(ask.need.value is value for ask in self.asks)]
        number = sum(len(kind.sets) for kind in self.kinds if not kind.sets[0].kept)
        supply = self._supply(gap)
        for stretches in stretches_for(self._shelf.light, supply, values, number, overall):
            if self.plan(gap, stretches) is not None:
                yield stretches

    def _supply(self, gap: int) -> dict[Value, Supply]:
        """Return what each family offers to the values that every set asks for.

        Only fabrics count that leave room in their family for the other values of a set.
        """
        kinds = [kind for kind in self.kinds if not kind.sets[0].kept]
        values = [
            value
            for value in FROM_DARK
            if kinds and all(any(one.value is value for one in kind.grades) for kind in kinds)
        ]
        found = {}
        for place, value in enumerate(values):
            mine = [grade for kind in kinds for grade in kind.grades if grade.value is value]
            able = np.logical_or.reduce([grade.loose for grade in mine])
            able &= self._leaves_room(gap * place, gap * (len(values) - 1 - place))
            count = min(grade.count for grade in mine)
            found[value] = Supply.of(able, self._family, len(self.families), count)
        return found

    def _leaves_room(self, below: int, above: int) -> Flags:
        """Return which fabrics have others of their family so far below and above them."""
        room = np.zeros(len(self.light), dtype=np.bool_)
        for number in range(len(self.families)):
            here = np.flatnonzero(self._family == number)
            light = self.light[here]
            room[here] = (light >= light[0] + below) & (light <= light[-1] - above)
        return room

    def _planned(self, gap: int, stretches: Stretches) -> Picked | None:
        for tight in (False, True):
            free = self._free.copy()
            picked: Picked = {}
            if all(self._add(kind, gap, stretches, free, picked, tight) for kind in self.kinds):
                return self._with_further(picked, free, stretches)
            if not any(kind.sets[0].kept for kind in self.kinds):
                break
        return None

    def _add(
        self,
        kind: Kind,
        gap: int,
        stretches: Stretches,
        free: Flags,
        picked: Picked,
        tight: bool,
    ) -> bool:
        """Add the sets of one kind to what is picked; tell whether they could all be had."""
        if kind.sets[0].kept:
            able = self._mine(kind) & free
            rows = completed(self._shelf.light, able, kind.sets[0], gap, stretches, tight)
            if rows is None:
                return False
            _take(kind, 0, [np.array(row, dtype=np.int64) for row in rows], free, picked)
            return True
        given = self._given(kind, gap, stretches, free)
        if sum(given.values()) < len(kind.sets):
            return False
        place = 0
        for number, count in _evenly(given, len(kind.sets)).items():
            bands = kind.bands(free & (self._family == number), stretches)
            chains = laid(self._shelf.light, bands, gap, count)
            if chains is None:
                return False
            for row in range(count):
                _take(kind, place, [level[row] for level in chains], free, picked)
                place += 1
        return True

    def _given(self, kind: Kind, gap: int, stretches: Stretches, free: Flags) -> dict[int, int]:
        """Return how many sets of a kind each family gives."""
        light, limit = self._shelf.light, len(kind.sets)
        return {
            number: most_laid(
                light, kind.bands(free & (self._family == number), stretches), gap, limit
            )
            for number in self._families_of(kind)
        }

    def _families_of(self, kind: Kind) -> Sequence[int]:
        return range(len(self.families)) if kind.family is None else [kind.family]

    def _mine(self, kind: Kind) -> Flags:
        """Return the fabrics of the family a kind is bound to."""
        return np.asarray(self._family == kind.family)

    def _with_further(self, picked: Picked, free: Flags, stretches: Stretches) -> Picked | None:
        """Return what is picked with the fabrics outside sets, or None if they are wanting."""
        for value in (*FROM_DARK, None):
            asks = [ask for ask in self._further if ask.need.value is value]
            if not asks:
                continue
            size = len(self._shelf)
            whole = (0, size) if value is None else stretches.get(value, (0, size))
            found = assigned(asks, *whole, free)
            kept = [fabric for ask in asks for fabric in ask.kept]
            if found is None or not all(whole[0] <= fabric < whole[1] for fabric in kept):
                return None
            for ask in asks:
                picked[ask.number] = [*ask.kept, *found[ask.number]]
                free[found[ask.number]] = False
        return picked

    def _room(self, gap: int, stretches: Stretches) -> Room:
        """Return which fabrics may be exchanged: of the family, the stretch, and the gap inside."""
        light, numbers = self._shelf.light, {ask.number: ask for ask in self.asks}

        def room(ask: Ask, fabric: int, picked: Picked) -> Whole:
            able = ask.able
            start, end = (0, len(able))
            if ask.need.value is not None:
                start, end = stretches.get(ask.need.value, (start, end))
            if ask.need.set_number is None:
                return np.flatnonzero(able[start:end]) + start
            place = FROM_DARK.index(ask.need.value or Value.MEDIUM)
            for number, fabrics in picked.items():
                other = numbers[number].need
                if other.set_number != ask.need.set_number or other.value is None:
                    continue
                away = FROM_DARK.index(other.value) - place
                if away > 0:
                    highest = int(light[min(fabrics)]) - gap
                    end = min(end, int(np.searchsorted(light, highest, "right")))
                elif away < 0:
                    lowest = int(light[max(fabrics)]) + gap
                    start = max(start, int(np.searchsorted(light, lowest, "left")))
            found = np.flatnonzero(able[start:end]) + start
            return np.asarray(found[self._family[found] == self._family[fabric]])

        return room


def _take(kind: Kind, place: int, rows: Sequence[Whole], free: Flags, picked: Picked) -> None:
    """Note one set's fabrics, level by level, as picked and no longer free."""
    for grade, row in zip(kind.sets[place].grades, rows, strict=True):
        picked |= grade.shared(row.tolist())
        free[row] = False


def _evenly(given: Mapping[int, int], wanted: int) -> dict[int, int]:
    """Return how many sets each family is to give, as evenly as can be."""
    shares = dict.fromkeys(given, 0)
    order = sorted(given, key=lambda number: (-given[number], number))
    while wanted:
        for number in order:
            if wanted and shares[number] < given[number]:
                shares[number] += 1
                wanted -= 1
    return {number: count for number, count in sorted(shares.items()) if count}
