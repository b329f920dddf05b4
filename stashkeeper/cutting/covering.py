"""The cheapest pieces that together hold enough cuts of one kind."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

type Costs = NDArray[np.float64]

MOST_STEPS: Final = 20_000_000
"""Beyond so many steps the exact table gives way to a simple rule."""


def cheapest_cover(costs: Sequence[float], held: Sequence[int], wanted: int) -> list[int] | None:
    """Return the numbers of the pieces of least total cost that hold `wanted`, or None.

    The exact table of a covering knapsack (Kellerer, Pferschy and Pisinger, "Knapsack problems",
    2004), or, where it would be too large, cheapest per cut first and needless ones put back.
    """
    if sum(held) < wanted:
        return None
    if wanted < 1:
        return []
    if wanted * len(held) > MOST_STEPS:
        return _by_rule(costs, held, wanted)
    least = np.full(wanted + 1, math.inf)
    least[0] = 0.0
    chosen = np.zeros((len(held), wanted + 1), dtype=np.bool_)
    for number, (cost, holds) in enumerate(zip(costs, held, strict=True)):
        before = _with_piece(least, holds) + cost
        chosen[number] = before < least
        least = np.minimum(before, least)
    return _traced(chosen, held, wanted)


def least_costs(costs: Sequence[float], held: Sequence[int], wanted: int) -> list[float]:
    """Return the least total cost of pieces that hold 0, 1, 2 … up to `wanted` cuts."""
    least = np.full(wanted + 1, math.inf)
    least[0] = 0.0
    for cost, holds in zip(costs, held, strict=True):
        least = np.minimum(_with_piece(least, holds) + cost, least)
    return [float(cost) for cost in least]


def _with_piece(least: Costs, holds: int) -> Costs:
    """Return what it costs without the cuts that one piece holds."""
    free = min(holds, least.size)
    return np.concatenate([np.zeros(free), least])[: least.size]


def _traced(chosen: NDArray[np.bool_], held: Sequence[int], wanted: int) -> list[int]:
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
