"""The full Gilmore-Gomory table: the most a rectangle yields, cut edge to edge, copies unlimited.

P. C. Gilmore and R. E. Gomory, "The theory and computation of knapsack functions", Operations
Research 14, 1966. Every cut position on the whole grid is tried: slow, plain, and apart from the
program's own counting.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

type Kind = tuple[int, int, float]
"""Width, length and profit of a cut."""


def full_table(
    width: int, length: int, kinds: Sequence[Kind], turning: bool
) -> NDArray[np.float64]:
    """Return the most profit of every rectangle up to width × length (a row a width)."""
    ways = [*kinds, *[(long, wide, profit) for wide, long, profit in kinds if turning]]
    table = np.zeros((width + 1, length + 1))
    for wide, long, profit in ways:
        table[wide:, long:] = np.maximum(table[wide:, long:], profit)
    for w in range(width + 1):
        for cut in range(1, w // 2 + 1):
            table[w] = np.maximum(table[w], table[cut] + table[w - cut])
        for x in range(2, length + 1):
            half = x // 2
            best = (table[w, 1 : half + 1] + table[w, x - 1 : x - half - 1 : -1]).max()
            table[w, x] = max(table[w, x], best)
    return table
