"""Spans: the groups of a selection along the lightness scale, and the pair that is closest."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.needs import FROM_DARK
from stashkeeper.choosing.picking import Picked
from stashkeeper.choosing.shelf import Whole
from stashkeeper.cloth.value import Value

type Groups = Mapping[Value, Sequence[int]]
"""The fabrics of each value, values and fabrics from dark to light."""


def value_groups(picked: Picked, asks: Sequence[Ask]) -> Groups:
    """Return the fabrics of each value among these asks."""
    found: dict[Value, list[int]] = {}
    for value in FROM_DARK:
        mine = [ask.number for ask in asks if ask.need.value is value]
        if mine:
            found[value] = sorted(fabric for number in mine for fabric in picked[number])
    return found


def aimed_groups(picked: Picked, asks: Sequence[Ask]) -> list[Groups]:
    """Return the groups whose gaps are made as large as can be: each set's, or the whole's."""
    sets = sorted({ask.need.set_number for ask in asks if ask.need.set_number is not None})
    if not sets:
        return [value_groups(picked, asks)]
    return [
        value_groups(picked, [ask for ask in asks if ask.need.set_number == number])
        for number in sets
    ]


def edges(groups: Groups) -> list[tuple[int, int]]:
    """Return the lightest fabric of each value with the darkest of the next lighter one."""
    return [(darker[-1], lighter[0]) for darker, lighter in pairwise(groups.values())]


def closest(picked: Picked, asks: Sequence[Ask], light: Whole) -> tuple[int, int] | None:
    """Return the darker and the lighter fabric that set the smaller gap, or None without one."""
    pairs = [
        (int(light[lighter]) - int(light[darker]), darker, lighter)
        for groups in aimed_groups(picked, asks)
        for darker, lighter in edges(groups)
    ]
    return min(pairs)[1:] if pairs else None
