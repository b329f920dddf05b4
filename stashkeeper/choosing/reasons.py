"""Reasons: what speaks for each chosen fabric, and why tempting ones were left out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Final

import numpy as np

from stashkeeper.choosing.asks import Ask, Costs
from stashkeeper.choosing.shelf import BLACK, PER_LIGHTNESS, Flags, Shelf, Whole
from stashkeeper.choosing.solving import Solved, Solver
from stashkeeper.choosing.spans import value_groups
from stashkeeper.cloth.value import Value

MOST_OF_A_KIND: Final = 3
"""So many fabrics are named for one reason."""


class Reason(StrEnum):
    """Why a tempting fabric was left out."""

    TOO_SMALL = "too small"
    """Its lightness would serve, but it does not give enough."""
    BETWEEN = "between two groups"
    """It lies in a gap and would narrow it."""
    NO_SET = "no set of its colour"
    """Its colour family gives no set here, or its colour is not known."""
    NOT_NEEDED = "not needed"
    """It would serve, but the choice holds all it needs without it."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A tempting fabric that is not in the choice.

    Attributes:
        codes: its pieces, smallest first.
        fabric: its key.
        reason: why, in a word.
        role: the role it came nearest to; None where it came near none.
        told: the whole reason, in a sentence.
    """

    codes: tuple[str, ...]
    fabric: str
    reason: Reason
    role: str | None
    told: str


def why(shelf: Shelf, ask: Ask, fabric: int, sets_gap: bool) -> str:
    """Return what speaks for a chosen fabric, in a sentence."""
    if fabric in ask.kept:
        return "You keep it."
    if sets_gap:
        return "It sets the smaller gap: nothing better placed that gives enough is left."
    if ask.need.set_number is not None:
        return f"It is {shelf.families[fabric]}, like the rest of its set."
    if ask.totals and ask.need.cuts:
        cut = ask.need.cuts[0]
        return f"It gives {int(shelf.gives[cut.key][fabric])} of the {cut.count} cuts."
    if float(ask.costs[fabric]) <= float(ask.costs[ask.able].min(initial=np.inf)):
        return "No smaller piece would do."
    return "It is large enough and lies where the gaps allow."


def left_out(solver: Solver, solved: Solved) -> tuple[LeftOut, ...]:
    """Return the most tempting fabrics that are not in a choice, a few for each reason."""
    shelf = solver.shelf
    spare = np.ones(len(shelf), dtype=np.bool_)
    spare[[fabric for fabrics in solved.picked.values() for fabric in fabrics]] = False
    spare[list(solver.settled.out)] = False
    asks = [ask for ask in solved.way.asks if ask.need.value is not None]
    if any(ask.need.set_number is not None for ask in asks):
        return tuple(_beside_sets(shelf, solved, asks, spare))
    return tuple(_beside_groups(shelf, solved, asks, spare))


def _beside_groups(
    shelf: Shelf, solved: Solved, asks: Sequence[Ask], spare: Flags
) -> Iterator[LeftOut]:
    """Yield what lies between the groups, and what lies within their reach."""
    groups = value_groups(solved.picked, asks)
    start = BLACK
    for (dark, darker), (light, lighter) in pairwise(groups.items()):
        low, high = int(shelf.light[darker[-1]]), int(shelf.light[lighter[0]])
        reach = (shelf.light >= start) & (shelf.light <= low)
        yield from _within(shelf, asks, dark, spare & reach)
        inside = (shelf.light > low) & (shelf.light < high)
        for fabric in _first(spare & inside, -shelf.areas):
            told = _between(int(shelf.light[fabric]), dark, light, low, high)
            yield _told(shelf, fabric, Reason.BETWEEN, None, told)
        start = high
    if groups:
        yield from _within(shelf, asks, list(groups)[-1], spare & (shelf.light >= start))


def _beside_sets(
    shelf: Shelf, solved: Solved, asks: Sequence[Ask], spare: Flags
) -> Iterator[LeftOut]:
    """Yield what has no set of its colour, and what the sets could have used."""
    used = {
        shelf.families[fabric]
        for ask in asks
        if ask.need.set_number is not None
        for fabric in solved.picked[ask.number]
    }
    among = np.array([family in used for family in shelf.families], dtype=np.bool_)
    for fabric in _first(spare & ~among, -shelf.areas):
        family = shelf.families[fabric]
        told = (
            "Its colour is not known, so it can join no set."
            if family is None
            else f"No set is {family}: other colours keep the values further apart."
        )
        yield _told(shelf, fabric, Reason.NO_SET, None, told)
    yield from _within(shelf, asks, None, spare & among)


def _within(
    shelf: Shelf, asks: Sequence[Ask], value: Value | None, spare: Flags
) -> Iterator[LeftOut]:
    """Yield spare fabrics that some ask of a value could nearly use, and that it could use."""
    mine = [ask for ask in asks if value in {None, ask.need.value}]
    able = np.asarray(np.logical_or.reduce([ask.able for ask in mine]))
    shares = np.stack([_shares(shelf, ask) for ask in mine])
    best = shares.max(axis=0)
    for fabric in _first(spare & ~able & (best > 0.0), -best):
        ask = mine[int(np.argmax(shares[:, fabric]))]
        told = _too_small(shelf, ask, fabric)
        yield _told(shelf, fabric, Reason.TOO_SMALL, ask.need.name, told)
    for fabric in _first(spare & able, -shelf.areas):
        ask = next(ask for ask in mine if ask.able[fabric])
        told = f"It would serve as {ask.need.name}, which has all it needs without it."
        yield _told(shelf, fabric, Reason.NOT_NEEDED, ask.need.name, told)


def _shares(shelf: Shelf, ask: Ask) -> Costs:
    """Return which share of what an ask wants from one fabric each gives: the worst of its cuts."""
    if not ask.need.alone or not ask.need.cuts:
        return np.zeros(len(shelf))
    return np.asarray(
        np.minimum.reduce([shelf.gives[cut.key] / cut.count for cut in ask.need.cuts])
    )


def _first(flags: Flags, figures: Costs | Whole) -> list[int]:
    """Return the few fabrics with the smallest figures, the darkest first among equals."""
    where = np.flatnonzero(flags)
    best = np.lexsort((where, np.asarray(figures)[where]))[:MOST_OF_A_KIND]
    return [int(fabric) for fabric in where[best]]


def _between(here: int, dark: Value, light: Value, low: int, high: int) -> str:
    best = max(here - low, high - here) / PER_LIGHTNESS
    return (
        f"It lies between {dark} and {light}: with it that gap would be {best:.1f} at most, "
        f"not {(high - low) / PER_LIGHTNESS:.1f}."
    )


def _too_small(shelf: Shelf, ask: Ask, fabric: int) -> str:
    given = [(int(shelf.gives[cut.key][fabric]), cut.count) for cut in ask.need.cuts]
    short = [f"{gives} of {count}" for gives, count in given if gives < count]
    if not short:
        return f"It is too small to serve as {ask.need.name}."
    return f"To serve as {ask.need.name} it is too small: it gives {' and '.join(short)} cuts."


def _told(shelf: Shelf, fabric: int, reason: Reason, role: str | None, told: str) -> LeftOut:
    return LeftOut(shelf.codes_of(fabric), shelf.keys[fabric], reason, role, told)
