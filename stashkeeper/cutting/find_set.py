"""Find for a set of sizes: which pieces alone give all of them.

What is found is found for certain: a layout was made. A piece that is left out may still hold the
set; it is only that no layout was found in time.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, check_cuts, may_come_from
from stashkeeper.cutting.cutting_out import piece_plan
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.filling import Filler
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.problem import Problem
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.cutting.tree import Tree
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

STAGES_TRIED = (2, 3, 0)


@dataclass(frozen=True, slots=True)
class HoldsSet:
    """A piece that gives the whole set: its place among the cloths, its largest off-cut."""

    position: int
    largest_left: Size


def find_set(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    most: int = 20,
    engine: Engine | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[HoldsSet, ...]:
    """Return up to `most` pieces that each give all the cuts, the smallest first.

    Raises:
        BadCutError: cuts that nobody can plan.
    """
    check_cuts(cuts)
    solver = engine or Engine(stop)
    known: dict[object, Tree | None] = {}
    found: list[HoldsSet] = []
    try:
        for position in _roomy(cloths, cuts):
            if len(found) == most or stop():
                break
            cloth = cloths[position]
            key = cloth.size, cloth.directional, cloth.grain_known
            if key not in known:
                known[key] = lay_out(cloth, cuts, solver)
            tree = known[key]
            if tree is not None:
                found.append(HoldsSet(position, _largest_left(tree, cloth, cuts)))
    finally:
        if engine is None:
            solver.close()
    return tuple(found)


def _roomy(cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> list[int]:
    """Return the pieces with the area of the set and room for each of its sizes, smallest first."""
    shelf = Shelf.of(cloths)
    areas = shelf.widths * shelf.lengths
    wanted = sum(cut.size.area * cut.count for cut in cuts)
    roomy = areas >= min(wanted, np.iinfo(np.int64).max)
    for cut in cuts:
        roomy &= counts(shelf, cut.size, turning=not cut.directional) >= cut.count
    positions = [
        position
        for position in np.flatnonzero(roomy).tolist()
        if all(may_come_from(cut, cloths[position]) for cut in cuts)
    ]
    return sorted(positions, key=lambda position: int(areas[position]))


def lay_out(cloth: Cloth, cuts: Sequence[Cut], engine: Engine) -> Tree | None:
    """Return a layout of all the cuts on one piece, with as few stages as suffice; or None."""
    problem = Problem.of([cloth], cuts)
    for stages in STAGES_TRIED:
        filler = Filler(problem, engine, stages, seconds=0.05)
        for piece in problem.pieces:
            filled = filler.finish(piece, problem.wanted)
            if filled is not None:
                return filled.tree
    return None


def _largest_left(tree: Tree, cloth: Cloth, cuts: Sequence[Cut]) -> Size:
    off_cuts = piece_plan(tree, cloth, cuts, Keeping()).off_cuts
    sizes = [off_cut.box.size for off_cut in off_cuts]
    return max(sizes, key=lambda size: size.area, default=Size(Length(0), Length(0)))
