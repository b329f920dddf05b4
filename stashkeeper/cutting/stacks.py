"""Stacks: the same cuts from several pieces at once, laid on one squared corner.

One layout must fit the smallest piece of a stack, so it is made for the smallest width and the
smallest length among them. All layers lie with their near left corners together.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, check_cuts, may_come_from
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.cutting_out import piece_plan
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.find_set import lay_out
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Goal, PiecePlan, Plan
from stashkeeper.cutting.tree import Tree
from stashkeeper.lengths.size import Size

LAYERS: Final = 4
"""So many layers are cut at once (common practice)."""

FLANNEL_LAYERS: Final = 2
"""So many layers of flannel are cut at once (common practice)."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Pieces that are cut together.

    Attributes:
        size: what all layers have in common, measured from the squared corner.
        layers: how each is cut, the same cuts in the same order; only what lies beyond the common
            size differs.
    """

    size: Size
    layers: tuple[PiecePlan, ...]


@dataclass(frozen=True, slots=True)
class Stacks:
    """All stacks, and the codes of the pieces too small for the cuts."""

    stacks: tuple[Stack, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Most:
    """How many layers are cut at once: of cotton, and of flannel."""

    layers: int = LAYERS
    flannel: int = FLANNEL_LAYERS

    def of(self, cloth: Cloth) -> int:
        """Return how many layers of this cloth are cut at once."""
        return max(self.flannel if cloth.flannel else self.layers, 1)


def stack_cuts(
    cloths: Sequence[Cloth],
    cuts: Sequence[Cut],
    *,
    most: Most | None = None,
    keeping: Keeping | None = None,
    engine: Engine | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Stacks:
    """Return stacks in which every piece gives all the cuts.

    Args:
        cloths: the pieces to cut from, each all of the cuts.
        cuts: what each piece gives.
        most: how many layers are cut at once, by default 4, of flannel 2.
        keeping: from what size on an off-cut goes back on the shelf.
        engine: a solver already running; by default one is started.
        stop: asked many times a second.

    Raises:
        BadCutError: cuts that nobody can plan.
        UnprovenPlanError: a layer did not pass its proof; never seen, and never shown.
    """
    check_cuts(cuts)
    solver = engine or Engine(stop)
    stacking = _Stacking(tuple(cuts), most or Most(), keeping or Keeping(), solver)
    try:
        for flannel in (False, True):
            chosen = [cloth for cloth in cloths if cloth.flannel == flannel]
            stacking.stack(sorted(chosen, key=lambda cloth: -cloth.size.area))
    finally:
        if engine is None:
            solver.close()
    return Stacks(tuple(stacking.stacks), tuple(stacking.left_out))


class _Stacking:
    """Stacks as they grow."""

    def __init__(self, cuts: tuple[Cut, ...], most: Most, keeping: Keeping, engine: Engine) -> None:
        self.stacks: list[Stack] = []
        self.left_out: list[str] = []
        self._cuts, self._most, self._keeping, self._engine = cuts, most, keeping, engine

    def stack(self, cloths: Sequence[Cloth]) -> None:
        """Make stacks of as many layers as may be, pieces of like size together."""
        useful = []
        for cloth in cloths:
            if all(may_come_from(cut, cloth) for cut in self._cuts):
                useful.append(cloth)
            else:
                self.left_out.append(cloth.code)
        step = self._most.of(useful[0]) if useful else 1
        for first in range(0, len(useful), step):
            self._stack_or_part(useful[first : first + step])

    def _stack_or_part(self, layers: Sequence[Cloth]) -> None:
        """Make one stack, or two where the smallest piece of all is too small for the cuts."""
        size = Size(
            min(layer.size.width for layer in layers), min(layer.size.length for layer in layers)
        )
        directional = any(layer.directional for layer in layers)
        tree = lay_out(
            Cloth("", "", size, directional=directional), _free(self._cuts), self._engine
        )
        if tree is not None:
            self.stacks.append(Stack(size, tuple(self._layer(tree, layer) for layer in layers)))
        elif len(layers) == 1:
            self.left_out.append(layers[0].code)
        else:
            half = (len(layers) + 1) // 2
            self._stack_or_part(layers[:half])
            self._stack_or_part(layers[half:])

    def _layer(self, tree: Tree, cloth: Cloth) -> PiecePlan:
        piece = piece_plan(tree, cloth, self._cuts, self._keeping, aligned=True)
        prove(Plan(Goal.LEAST_CLOTH, self._cuts, (piece,)), [cloth], self._cuts)
        return piece


def _free(cuts: Sequence[Cut]) -> tuple[Cut, ...]:
    """Return the cuts without their wishes for a fabric: each layer was asked for itself."""
    return tuple(Cut(cut.name, cut.size, cut.count, cut.directional) for cut in cuts)
