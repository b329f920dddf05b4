"""Two sums from the same fabrics: each fabric helps one of two roles, or neither."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from stashkeeper.choosing.asks import Ask, Total
from stashkeeper.choosing.shelf import Whole

MOST_STEPS: Final = 4_000_000
"""Beyond so many steps the table is not made."""

_NEVER: Final = -1
_FIRST: Final = 1
_SECOND: Final = 2


def two_sums(asks: Sequence[Ask], able: Whole) -> tuple[list[int], list[int]] | None:
    """Return fabrics for two asks that each want one sum, or None where there are none.

    Exact: a table of the most the second can have for every amount the first has (dynamic
    programming over the fabrics; Kellerer, Pferschy and Pisinger, "Knapsack problems", 2004).

    Args:
        asks: the two; each wants one sum, by any number of fabrics.
        able: fabrics that may serve at least one of them; see `table_fits`.
    """
    first, second = (ask.totals[0] for ask in asks)
    most = np.full(first.wanted + 1, _NEVER, dtype=np.int64)
    most[0] = 0
    helps = np.zeros((able.size, first.wanted + 1), dtype=np.int8)
    enough_from: list[int] = []
    for place, fabric in enumerate(able.tolist()):
        before, most = most, _more(most, second, fabric)
        helps[place][most > before] = _SECOND
        moved, source = _moved(before, int(first.gives[fabric]))
        enough_from.append(source)
        if asks[0].able[fabric]:
            helps[place][moved > most] = _FIRST
            most = np.maximum(moved, most)
    if most[-1] < second.wanted:
        return None
    return _traced(first, able, helps, enough_from)


def table_fits(asks: Sequence[Ask], able: Whole) -> bool:
    """Tell whether the table is small enough to be made."""
    return bool(able.size * (asks[0].totals[0].wanted + 1) <= MOST_STEPS)


def _more(most: Whole, second: Total, fabric: int) -> Whole:
    """Return the table after the second ask got a fabric, wherever it helps."""
    more = np.minimum(most + int(second.gives[fabric]), second.wanted)
    return np.where(most >= 0, more, _NEVER)


def _moved(most: Whole, gives: int) -> tuple[Whole, int]:
    """Return the table after the first ask got so much more, and where its last entry comes from.

    What is more than enough counts as enough.
    """
    moved = np.full_like(most, _NEVER)
    gives = min(gives, len(most) - 1)
    moved[gives:] = most[: len(most) - gives]
    source = len(most) - 1 - gives + int(np.argmax(most[len(most) - 1 - gives :]))
    moved[-1] = most[source]
    return moved, source


def _traced(
    first: Total, able: Whole, helps: NDArray[np.int8], enough_from: Sequence[int]
) -> tuple[list[int], list[int]]:
    mine, theirs, state = list[int](), list[int](), first.wanted
    for place in range(able.size - 1, -1, -1):
        fabric = int(able[place])
        if helps[place, state] == _SECOND:
            theirs.append(fabric)
        elif helps[place, state] == _FIRST:
            mine.append(fabric)
            whole = state == first.wanted
            state = enough_from[place] if whole else state - int(first.gives[fabric])
    return mine, theirs
