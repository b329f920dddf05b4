"""Filling one piece: as many of the cuts still needed as it holds, by the best means at hand."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.offcuts import SMALLEST_REMNANT
from stashkeeper.cutting.plan import Direction
from stashkeeper.cutting.problem import Counts, Filled, Piece, Problem, grid_of
from stashkeeper.cutting.sections import EqualCuts
from stashkeeper.cutting.strips import Kind, fill_with_strips
from stashkeeper.cutting.task import Item, Layout, Node, Objective, Stock, Task
from stashkeeper.cutting.tree import Leaf, Tree, join, leaves, rests_worth

PATIENT_SECONDS: Final = 1.0
"""When the solver works by effort instead of by the clock, it is stopped only after so long."""

WORTH_NEATENING: Final = 2 * SMALLEST_REMNANT.ticks**2
"""With less area left over than that, in square ticks, there is nothing to gather."""

SHORTEST_SECONDS: Final = 0.01
LONGEST_SECONDS: Final = 0.1
"""The solver thinks between so long about one piece; more hardly ever helps."""


@dataclass(slots=True)
class Filler:
    """Fills pieces of one problem, and remembers what it found.

    Attributes:
        problem: the pieces and cuts.
        engine: the solver at arm's length.
        stages: how often the direction may change; 0 for as often as it takes.
        seconds: how long the solver may think about one piece, kept between 0.01 and 0.1.
        effort: or how hard, whatever the clock says (see `engine.Task`); 0 for by the clock.
    """

    problem: Problem
    engine: Engine
    stages: int = 2
    seconds: float = 0.03
    effort: int = 0
    _known: dict[object, Tree | None] = field(default_factory=dict)

    def fill(self, piece: Piece, counts: Counts) -> Filled | None:
        """Return the piece with as many of these cuts as were got out of it; None for none."""
        kinds = self.problem.kinds(piece, counts)
        key = piece.width, piece.length, tuple(kinds)
        if key not in self._known:
            self._known[key] = self._fill(piece, kinds) if kinds else None
        tree = self._known[key]
        return None if tree is None else Filled(piece, tree)

    def finish(self, piece: Piece, counts: Counts) -> Filled | None:
        """Return the piece with all of these cuts, leaving as much as possible; or None."""
        if self.problem.area_of(counts) > piece.area:
            return None
        found = self.fill(piece, counts)
        if found is None or found.used(len(counts)) != counts:
            return None
        return self.neatened(found)

    def neatened(self, filled: Filled) -> Filled:
        """Return the same cuts from the same piece, with what is left in larger rectangles."""
        counts = filled.used(len(self.problem.cuts))
        kinds = self.problem.kinds(filled.piece, counts)
        if len(kinds) < 2 or filled.piece.area - filled.cut_area < WORTH_NEATENING:
            return filled
        key = filled.piece.width, filled.piece.length, tuple(kinds), "neat"
        if key not in self._known:
            trees = [filled.tree, *self._shrunk(filled.piece, kinds)]
            size = filled.piece.width, filled.piece.length
            self._known[key] = max(trees, key=lambda tree: rests_worth(tree, *size))
        return Filled(filled.piece, self._known[key] or filled.tree)

    def _fill(self, piece: Piece, kinds: list[Kind]) -> Tree | None:
        if len(kinds) == 1:
            return _one_kind(piece, kinds[0])
        ours = fill_with_strips(piece.width, piece.length, kinds)
        theirs = self._asked(Objective.MOST_ON_ONE, piece, kinds)
        return max((tree for tree in (theirs, ours) if tree), key=_filled_area, default=None)

    def _shrunk(self, piece: Piece, kinds: list[Kind]) -> list[Tree]:
        """Return the same cuts in as little of the width, and of the length, as possible."""
        wanted = sum(kind.count for kind in kinds)
        trees = [
            self._asked(objective, piece, kinds)
            for objective in (Objective.NARROWEST, Objective.SHORTEST)
        ]
        return [
            tree
            for tree in trees
            if tree and tree.width <= piece.width and tree.length <= piece.length
            and _count(tree) == wanted
        ]  # fmt: skip

    def _asked(self, objective: Objective, piece: Piece, kinds: list[Kind]) -> Tree | None:
        grid = grid_of(kinds)
        stock = (Stock(piece.width // grid, piece.length // grid),)
        seconds = min(max(self.seconds, SHORTEST_SECONDS), LONGEST_SECONDS)
        task = Task(objective, stock, items(kinds, grid), self.stages, seconds=seconds)
        if self.effort:
            task = replace(task, seconds=PATIENT_SECONDS, effort=self.effort)
        answer = self.engine.ask(task)
        tree = tree_of(answer[0], kinds) if answer else None
        return tree if tree and sound(tree, piece, kinds) else None


def _one_kind(piece: Piece, kind: Kind) -> Tree | None:
    cuts = EqualCuts(kind.cut, kind.width, kind.length, kind.fixed)
    count = min(kind.count, cuts.capacity(piece.width, piece.length))
    return cuts.best_tree(piece.width, piece.length, count)


def _filled_area(tree: Tree) -> int:
    if isinstance(tree, Leaf):
        return tree.width * tree.length
    return sum(_filled_area(part) for part in tree.parts)


def _count(tree: Tree) -> int:
    return 1 if isinstance(tree, Leaf) else sum(_count(part) for part in tree.parts)


def sound(tree: Tree, piece: Piece, kinds: Sequence[Kind]) -> bool:
    """Tell whether a tree of the solver's fits the piece and has no more cuts than are wanted."""
    most = {kind.cut: kind.count for kind in kinds}
    laid = Counter(leaf.cut for leaf in leaves(tree))
    inside = tree.width <= piece.width and tree.length <= piece.length
    return inside and all(count <= most.get(cut, 0) for cut, count in laid.items())


def items(kinds: Sequence[Kind], grid: int) -> tuple[Item, ...]:
    """Return the kinds of cuts as the solver wants them, in grid units."""
    return tuple(
        Item(kind.width // grid, kind.length // grid, kind.count, kind.fixed) for kind in kinds
    )


def tree_of(layout: Layout, kinds: Sequence[Kind]) -> Tree | None:
    """Return a layout of the solver as a tree in ticks."""
    children: dict[int, list[int]] = {}
    for number, node in enumerate(layout.nodes):
        children.setdefault(node.parent, []).append(number)
    grid = grid_of(kinds)

    def tree(number: int) -> Tree | None:
        node, below = layout.nodes[number], children.get(number, [])
        if node.item >= 0:
            return _leaf(node, kinds[node.item], grid)
        side_by_side = len({layout.nodes[child].left for child in below}) > 1
        parts = [part for child in below if (part := tree(child))]
        return join(Direction.ALONG if side_by_side else Direction.ACROSS, parts)

    roots = children.get(-1, [])
    return tree(roots[0]) if roots else None


def _leaf(node: Node, kind: Kind, grid: int) -> Leaf:
    upright, *turned = kind.leaves()
    size = (node.right - node.left) * grid, (node.far - node.near) * grid
    return turned[0] if turned and size != (upright.width, upright.length) else upright
