"""Nearest: when the shelf cannot fill every role with the values in order, how near it gets."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np

from stashkeeper.choosing.asks import Ask, asks_of
from stashkeeper.choosing.groups import Groups
from stashkeeper.choosing.kept_set import completed
from stashkeeper.choosing.missing import missing_fabric
from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.set_kinds import SetOf
from stashkeeper.choosing.sets import Sets
from stashkeeper.choosing.shelf import PER_LIGHTNESS, Shelf
from stashkeeper.choosing.solving import Solver, Way
from stashkeeper.errors import NoChoiceError, quoted

_ALIKE = "All pieces have the same lightness"


def no_choice(solver: Solver) -> NoChoiceError:
    """Return the error that tells how near the shelf gets, and what would help most."""
    way = next(solver.ways())
    near = tuple(_nearest(solver, way))
    missing = missing_fabric(solver, way)
    otherwise = "Ask for fewer or smaller cuts, or for fewer fabrics."
    if len(near) == 1 and near[0].startswith(_ALIKE):
        otherwise = "Measure or add fabrics of another lightness."
    remedy = missing.told if missing else otherwise
    return NoChoiceError(
        near[0] if near else "The shelf does not fill every role with the values in order.",
        remedy,
        near,
        [(cut.count, cut.key) for cut in missing.cuts] if missing else (),
    )


def _nearest(solver: Solver, way: Way) -> Iterator[str]:
    shelf = solver.shelf
    values = {ask.need.value for ask in way.asks} - {None}
    lightnesses = np.unique(shelf.light)
    if len(values) > 1 and len(lightnesses) == 1:
        yield (f"{_ALIKE}, {lightnesses[0] / PER_LIGHTNESS:.1f}: nothing tells light from dark.")
        return
    in_sets = _sets_of(shelf, way) if isinstance(way, Sets) else ()
    found = [*in_sets, *_short_alone(shelf, way.asks)]
    yield from found
    if found:
        return
    if isinstance(way, Sets):
        yield from _fewer_sets(solver, way)
    else:
        yield from _together(solver, way)


def _sets_of(shelf: Shelf, way: Sets) -> Iterator[str]:
    """Yield what the sets with kept fabrics want, and how many others the shelf has."""
    kept = [one for kind in way.kinds for one in kind.sets if one.kept]
    yield from (line for one in kept for line in _around_kept(shelf, way, one))
    if not way.kinds[-1].sets[0].kept:
        yield from _sets(way)


def _around_kept(shelf: Shelf, way: Sets, one: SetOf) -> Iterator[str]:
    """Yield why kept fabrics, which give their set its colour, are not completed to a set."""
    if one.family is None or one.family >= len(way.families):
        return
    here = way.family_flags(one.family)
    if completed(shelf.light, here, one, 1, loose=True) is not None:
        return
    able = np.logical_or.reduce([grade.loose & here for grade in one.grades])
    more, there = sum(grade.count for grade in one.grades), int(able.sum())
    kept = sorted(fabric for grade in one.grades for fabric in grade.kept)
    codes = " and ".join("/".join(shelf.codes_of(fabric)) for fabric in kept)
    family = way.families[one.family]
    told = f"With {codes} a set is {family}, and wants {_more(more, family)}"
    if there < more:
        yield f"{told}; the shelf has {there or 'none'} for it."
    else:
        yield f"{told}; those there are do not keep the values in order with it."


def _more(count: int, family: str) -> str:
    return f"{count} more {family} fabric{'' if count == 1 else 's'}"


def _sets(way: Sets) -> Iterator[str]:
    """Yield how many sets the shelf has."""
    wanted = sum(len(kind.sets) for kind in way.kinds)
    given = {name: count for name, count in way.room_for(1).items() if count}
    total = sum(given.values())
    if total < wanted:
        asked = "1 set is" if wanted == 1 else f"{wanted} sets are"
        each = ", ".join(f"{name} {count}" for name, count in sorted(given.items()))
        yield (
            f"{asked} asked for, and the shelf has {total or 'none'}{f': {each}' if each else ''}."
        )


def _fewer_sets(solver: Solver, way: Sets) -> Iterator[str]:
    """Yield how many sets can be had while every other role is filled too."""
    wanted = sum(len(kind.sets) for kind in way.kinds)
    if way.best().bound is not None:
        yield "No choice of such sets was found, though it is not certain that there is none."
    low, high = 0, wanted - 1
    while low < high:
        middle = (low + high + 1) // 2
        asks = [ask for ask in way.asks if (ask.need.set_number or 0) <= middle]
        if Sets(solver.shelf, asks).plan(1) is not None:
            low = middle
        else:
            high = middle - 1
    if low:
        yield f"With every other role filled, {low} of the {wanted} sets can be had."


def _short_alone(shelf: Shelf, asks: Sequence[Ask]) -> Iterator[str]:
    """Yield the roles that the whole shelf could not fill even alone."""
    told: set[str] = set()
    for ask in asks:
        for line in _short(shelf, ask):
            if line not in told:
                told.add(line)
                yield line


def _short(shelf: Shelf, ask: Ask) -> Iterator[str]:
    name, able = quoted(ask.need.role), int(ask.able.sum())
    if able < ask.least:
        large = " that are large enough" if ask.need.cuts else ""
        there, wanted = able + len(ask.kept), ask.need.fabrics or 1
        yield f"For {name} the shelf has {there} of {wanted} fabrics{large}."
        return
    for cut in ask.need.cuts if ask.totals else ():
        gives = np.sort(np.where(ask.able, shelf.gives[cut.key], 0))[::-1]
        kept = int(shelf.gives[cut.key][list(ask.kept)].sum())
        most = int(gives[: ask.count].sum()) + kept
        if most < cut.count:
            yield f"For {name} the shelf gives {most} of {cut.count} cuts."


def _together(solver: Solver, way: Groups) -> Iterator[str]:
    """Yield the largest share of every role that can be had at once with the values in order."""
    kept = {fabric: ask.number for ask in way.asks for fabric in ask.kept}
    steps = sorted({Fraction(part, count) for count in _counts(solver.needs)
                    for part in range(1, min(count, 1000))})  # fmt: skip
    low, high = 0, len(steps)
    while low < high:
        middle = (low + high) // 2
        if _possible(solver, steps[middle], kept):
            low = middle + 1
        else:
            high = middle
    if not low:
        yield "The shelf does not fill every role with the values in order, not even in part."
        return
    share = steps[low - 1]
    parts = ", ".join(f"{need.name} {_part(need, share)}" for need in solver.needs if need.value)
    yield f"With the values in order the shelf gives about {float(share):.0%} at once: {parts}."


def _counts(needs: Sequence[Need]) -> set[int]:
    """Return the counts that are scaled down when less is asked for."""
    return {count for need in needs for count in _scaled(need)}


def _scaled(need: Need) -> list[int]:
    if need.fabrics is not None and (need.alone or not need.cuts):
        return [need.fabrics]
    return [cut.count for cut in need.cuts] or [need.area]


def _part(need: Need, share: Fraction) -> str:
    unit = "fabrics" if need.alone else "cuts"
    return " and ".join(f"{-(-count * share // 1)} of {count} {unit}" for count in _scaled(need))


def _less(need: Need, share: Fraction, kept: int) -> Need:
    """Return a need that asks for a share of what it did, but never for less than is kept."""
    cuts = tuple(replace(cut, count=int(-(-cut.count * share // 1))) for cut in need.cuts)
    if need.alone:
        count = max(int(-(-(need.fabrics or 1) * share // 1)), kept)
        return replace(need, fabrics=count)
    return replace(need, cuts=cuts, area=int(need.area * share))


def _possible(solver: Solver, share: Fraction, kept: dict[int, int]) -> bool:
    needs = [
        _less(need, share, sum(role == number for role in kept.values()))
        for number, need in enumerate(solver.needs)
    ]
    asks = asks_of(solver.shelf, needs, kept, solver.settled.out)
    return Groups(solver.shelf, asks).best().gap is not None
