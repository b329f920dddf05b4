"""The cheapest pieces that together hold enough cuts of one kind."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

MOST_STEPS: Final = 20_000_000
"""Beyond so many steps the exact table gives way to a simple rule."""


def cheapest_cover(costs: Sequence[float], held: Sequence[int], wanted: int) -> list[int] | None:
    """Return the numbers of the pieces of least total cost that hold `wanted`, or None.

    The exact table of a covering knapsack (Kellerer, Pferschy and Pisinger, "Knapsack problems",
    2004), or, where it would be too large, cheapest per cut first and needless ones put back.
    """
    if sum(held) < wanted:
        return None
    if wanted * len(held) > MOST_STEPS:
        return _by_rule(costs, held, wanted)
    least = np.full(wanted + 1, math.inf)
    least[0] = 0.0
    chosen = np.zeros((len(held), wanted + 1), dtype=np.bool_)
    for number, (cost, holds) in enumerate(zip(costs, held, strict=True)):
        before = np.concatenate([np.zeros(min(holds, wanted)), least])[: wanted + 1] + cost
        chosen[number] = before < least
        least = np.minimum(before, least)
    return _traced(chosen, held, wanted)


def _traced(
    chosen: "np.ndarray[tuple[int, int], np.dtype[np.bool_]]", held: Sequence[int], wanted: int
) -> list[int]:
    numbers, left = [], wanted
    for number in range(len(held) - 1, -1, -1):
        if left > 0 and chosen[number, left]:
            numbers.append(number)
            left = max(left - held[number], 0)
    return numbers[::-1]


def _by_rule(costs: Sequence[float], held: Sequence[int], wanted: int) -> list[int]:
    order = sorted(
        (number for number in range(len(held)) if held[number]),
        key=lambda number: costs[number] / held[number],
    )
    numbers, total = list[int](), 0
    for number in order:
        if total < wanted:
            numbers.append(number)
            total += held[number]
    for number in sorted(numbers, key=lambda number: -costs[number]):
        if total - held[number] >= wanted:
            numbers.remove(number)
            total -= held[number]
    return numbers
