"""Kinds of sets: sets that ask alike are one kind, and a set with kept fabrics is its own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.chains import Band
from stashkeeper.choosing.needs import FROM_DARK
from stashkeeper.choosing.search import Stretch
from stashkeeper.choosing.shelf import Flags, Shelf, Whole
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError

WHOLE_SHELF: Mapping[Value, Stretch] = {}


@dataclass(frozen=True, slots=True)
class Grade:
    """One value of a set.

    Attributes:
        value: the value.
        asks: the asks of that value, in the order of the needs.
        count: how many fabrics they still want together.
        strict: fabrics that may serve every one of them.
        loose: fabrics that may serve at least one.
        kept: fabrics that are settled.
    """

    value: Value
    asks: tuple[Ask, ...]
    count: int
    strict: Flags
    loose: Flags
    kept: tuple[int, ...]

    def within(self, stretches: Mapping[Value, Stretch], free: Flags, loose: bool = False) -> Whole:
        """Return the free fabrics that may serve it, inside its stretch of the shelf."""
        flags = (self.loose if loose else self.strict) & free
        start, end = stretches.get(self.value, (0, len(flags)))
        return np.flatnonzero(flags[start:end]) + start

    def shared(self, fabrics: Sequence[int]) -> dict[int, list[int]]:
        """Return which of these fabrics goes to which ask."""
        found, place = {}, 0
        for ask in self.asks:
            count = ask.count or 0
            found[ask.number] = [*ask.kept, *fabrics[place : place + count]]
            place += count
        return found


@dataclass(frozen=True, slots=True)
class SetOf:
    """One set: its number, its values from dark to light, and its colour family if it is fixed."""

    number: int
    grades: tuple[Grade, ...]
    family: int | None

    @property
    def kept(self) -> bool:
        """Whether any of its fabrics is settled."""
        return any(grade.kept for grade in self.grades)


@dataclass(frozen=True, slots=True)
class Kind:
    """Sets that ask alike: one of them stands for all."""

    sets: tuple[SetOf, ...]

    @property
    def grades(self) -> tuple[Grade, ...]:
        """What each of them asks."""
        return self.sets[0].grades

    @property
    def family(self) -> int | None:
        """The colour family they must have, if it is fixed."""
        return self.sets[0].family

    def bands(
        self,
        fabrics: Flags,
        stretches: Mapping[Value, Stretch],
        loose: bool = False,
    ) -> list[Band]:
        """Return the bands of its values among these fabrics."""
        return [Band(grade.within(stretches, fabrics, loose), grade.count) for grade in self.grades]


def kinds_of(shelf: Shelf, asks: Sequence[Ask], families: Sequence[str]) -> list[Kind]:
    """Return the kinds of the sets asked for; sets with kept fabrics come first, then strict ones.

    Raises:
        BadRequestError: two fabrics of different colour families are kept for one set.
    """
    together: dict[tuple[object, ...], list[SetOf]] = {}
    for number in sorted({ask.need.set_number for ask in asks if ask.need.set_number is not None}):
        mine = [ask for ask in asks if ask.need.set_number == number]
        one = _set_of(shelf, number, mine, families)
        alike = (number,) if one.kept else (one.family, *(_key(grade) for grade in one.grades))
        together.setdefault(alike, []).append(one)
    kinds = [Kind(tuple(sets)) for sets in together.values()]
    return sorted(kinds, key=_strictness)


def _strictness(kind: Kind) -> tuple[bool, bool, int, int]:
    fewest = min(int(grade.strict.sum()) for grade in kind.grades)
    return not kind.sets[0].kept, kind.family is None, fewest, kind.sets[0].number


def _key(grade: Grade) -> tuple[object, ...]:
    return grade.value, grade.count, tuple((ask.count, ask.able.tobytes()) for ask in grade.asks)


def _set_of(shelf: Shelf, number: int, asks: Sequence[Ask], families: Sequence[str]) -> SetOf:
    known = np.array([family is not None for family in shelf.families], dtype=np.bool_)
    grades = []
    for value in FROM_DARK:
        mine = tuple(ask for ask in asks if ask.need.value is value)
        if mine:
            masks = [ask.able & known for ask in mine]
            grades.append(
                Grade(
                    value,
                    mine,
                    sum(ask.count or 0 for ask in mine),
                    np.asarray(np.logical_and.reduce(masks)),
                    np.asarray(np.logical_or.reduce(masks)),
                    tuple(sorted(fabric for ask in mine for fabric in ask.kept)),
                )
            )
    return SetOf(number, tuple(grades), _family(shelf, number, asks, families))


def _family(shelf: Shelf, number: int, asks: Sequence[Ask], families: Sequence[str]) -> int | None:
    """Return the family a set must have: named in its needs, or that of what is kept for it."""
    named = {ask.need.family for ask in asks} - {None}
    kept = {shelf.families[fabric] for ask in asks for fabric in ask.kept}
    fixed = named | kept
    if len(fixed) > 1 or None in fixed:
        raise BadRequestError(
            f"Set {number} cannot have one colour family: "
            f"{' and '.join(sorted(str(one or 'an unknown colour') for one in fixed))}.",
            "Keep fabrics of one family for a set, or keep them for different sets.",
        )
    name = next(iter(fixed), None)
    if name is None:
        return None
    return families.index(name) if name in families else len(families)
