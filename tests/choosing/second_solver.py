"""A second solver: the same question as a mixed-integer program, for shelves of middling size.

Source: HiGHS through scipy.optimize.milp (Huangfu and Hall, "Parallelizing the dual revised simplex
method", Math. Prog. Comp. 10, 2018). It shares no code and no argument with the search.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]
from scipy.sparse import coo_array  # type: ignore[import-untyped]

from stashkeeper.choosing.needs import Need
from stashkeeper.cloth.value import Value
from tests.choosing.brute_force import Fabric
from tests.choosing.shelves import SQUARES

FROM_DARK = (Value.DARK, Value.MEDIUM, Value.LIGHT)


class _Program:
    """Rows and columns of a mixed-integer program, one after another."""

    def __init__(self) -> None:
        self.upper: list[float] = []
        self.whole: list[int] = []
        self.entries: list[tuple[int, int, float]] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def variable(self, upper: float, whole: bool) -> int:
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.upper) - 1

    def row(self, terms: Mapping[int, float], low: float, high: float) -> None:
        self.entries += [(len(self.low), column, factor) for column, factor in terms.items()]
        self.low.append(low)
        self.high.append(high)

    def largest(self, column: int) -> float | None:
        rows, columns, factors = zip(*self.entries, strict=True)
        shape = len(self.low), len(self.upper)
        goal = np.zeros(len(self.upper))
        goal[column] = -1.0
        solved = milp(
            goal,
            integrality=np.array(self.whole),
            bounds=Bounds(np.zeros(len(self.upper)), np.array(self.upper)),
            constraints=LinearConstraint(
                coo_array((factors, (rows, columns)), shape=shape).tocsr(), self.low, self.high
            ),
            options={"mip_rel_gap": 0.0, "time_limit": 120.0},
        )
        return None if solved.x is None else float(solved.x[column])


def best_gap(fabrics: Mapping[str, Fabric], needs: Sequence[Need]) -> float | None:
    """Return the largest smaller gap there is, inside sets where there are any, or None."""
    program = _Program()
    gap = program.variable(100.0, whole=False)
    keys = list(fabrics)
    plays = {
        (key, number): program.variable(1.0, whole=True)
        for key in keys
        for number in range(len(needs))
    }
    for key in keys:
        program.row({plays[key, number]: 1.0 for number in range(len(needs))}, 0.0, 1.0)
    for number, need in enumerate(needs):
        _fill(program, fabrics, plays, number, need)
    for group in {need.set_number for need in needs}:
        mine = [number for number, need in enumerate(needs) if need.set_number == group]
        _spread(program, fabrics, plays, [(number, needs[number]) for number in mine], gap)
        if group is not None:
            _one_family(program, fabrics, plays, mine)
    return program.largest(gap)


def _fill(
    program: _Program,
    fabrics: Mapping[str, Fabric],
    plays: Mapping[tuple[str, int], int],
    number: int,
    need: Need,
) -> None:
    """Ask for so many fabrics, or so many squares."""
    wanted = sum(cut.count for cut in need.cuts if cut.key == SQUARES)
    mine = {key: plays[key, number] for key in fabrics}
    if need.fabrics is not None:
        program.row(dict.fromkeys(mine.values(), 1.0), need.fabrics, need.fabrics)
    least = wanted if need.each or need.fabrics == 1 else min(wanted, 1)
    for key, column in mine.items():
        if fabrics[key][1] < least:
            program.row({column: 1.0}, 0.0, 0.0)
    if wanted and not need.each:
        gives = {column: float(fabrics[key][1]) for key, column in mine.items()}
        program.row(gives, wanted, np.inf)


def _spread(
    program: _Program,
    fabrics: Mapping[str, Fabric],
    plays: Mapping[tuple[str, int], int],
    needs: Sequence[tuple[int, Need]],
    gap: int,
) -> None:
    """Keep neighbouring values at least the gap apart."""
    edges = []
    for value in FROM_DARK:
        mine = [number for number, need in needs if need.value is value]
        if not mine:
            continue
        low, high = program.variable(100.0, False), program.variable(100.0, False)
        for key, (lightness, _, _) in fabrics.items():
            for number in mine:
                column = plays[key, number]
                program.row({high: 1.0, column: -lightness}, 0.0, np.inf)
                program.row({low: 1.0, column: 100.0 - lightness}, -np.inf, 100.0)
        edges.append((low, high))
    for (_, high), (low, _) in pairwise(edges):
        program.row({low: 1.0, high: -1.0, gap: -1.0}, 0.0, np.inf)


def _one_family(
    program: _Program,
    fabrics: Mapping[str, Fabric],
    plays: Mapping[tuple[str, int], int],
    mine: Sequence[int],
) -> None:
    """Take all the fabrics of a set from one colour family."""
    families = sorted({family or "" for _, _, family in fabrics.values()})
    has = {family: program.variable(1.0, whole=True) for family in families}
    program.row(dict.fromkeys(has.values(), 1.0), 1.0, 1.0)
    for key, (_, _, family) in fabrics.items():
        for number in mine:
            program.row({plays[key, number]: 1.0, has[family or ""]: -1.0}, -np.inf, 0.0)
