"""Stacked cutting: one layout for all layers, on one squared corner."""

import pytest

from stashkeeper.cutting.check import prove
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.plan import Goal, PiecePlan, Plan
from stashkeeper.cutting.stacks import Most, stack_cuts
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.length import Length
from tests.cutting.inches import cloth, cut, size

CUTS = [cut("A", 4.5, 4.5, 4), cut("B", 2.5, 6.5, 3)]
PIECES = [cloth(f"F{n}", 17.5 + n / 8, 20.5 - n / 4) for n in range(6)]


def distances(piece: PiecePlan) -> set[tuple[str, Length, Length]]:
    """Return where each cut lies, from the squared corner."""
    corner = piece.squared
    return {
        (one.name, one.box.left - corner.left, one.box.near - corner.near)
        for one in piece.placements
    }


def test_four_layers_are_cut_at_once_and_every_layer_is_proven(engine: Engine) -> None:
    made = stack_cuts(PIECES, CUTS, engine=engine)
    assert [len(stack.layers) for stack in made.stacks] == [4, 2]
    assert made.left_out == ()
    for stack in made.stacks:
        for layer in stack.layers:
            plan = Plan(Goal.LEAST_CLOTH, tuple(CUTS), (layer,))
            prove(plan, [layer.cloth], CUTS)


def test_all_layers_give_the_same_cuts_in_the_same_places(engine: Engine) -> None:
    for stack in stack_cuts(PIECES, CUTS, engine=engine).stacks:
        first, *others = [distances(layer) for layer in stack.layers]
        assert all(other == first for other in others)
        settings = [{line.setting for line in layer.lines} for layer in stack.layers]
        assert set.intersection(*settings)


def test_the_layout_fits_the_smallest_of_the_stack(engine: Engine) -> None:
    (stack,) = stack_cuts(PIECES[:3], CUTS, engine=engine).stacks
    assert stack.size == size(17.5, 20)
    assert all(layer.cloth.size.holds(stack.size, turning=False) for layer in stack.layers)


def test_flannel_is_stacked_in_twos_and_apart(engine: Engine) -> None:
    flannels = [cloth(f"L{n}", 18, 21, flannel=True) for n in range(3)]
    made = stack_cuts([*PIECES[:2], *flannels], CUTS, engine=engine)
    assert [len(stack.layers) for stack in made.stacks] == [2, 2, 1]
    made = stack_cuts(PIECES, CUTS, most=Most(layers=6), engine=engine)
    assert [len(stack.layers) for stack in made.stacks] == [6]


def test_pieces_too_small_are_left_out_and_do_not_shrink_the_others(engine: Engine) -> None:
    made = stack_cuts([*PIECES[:3], cloth("tiny", 4, 4)], CUTS, engine=engine)
    assert made.left_out == ("tiny",)
    assert sum(len(stack.layers) for stack in made.stacks) == 3


def test_a_tall_and_a_wide_piece_are_not_forced_together(engine: Engine) -> None:
    # 5 x 40 and 40 x 5 in have only 5 x 5 in in common, too little for two 4 1/2 in squares.
    made = stack_cuts(
        [cloth("T", 5, 40), cloth("W", 40, 5)], [cut("A", 4.5, 4.5, 2)], engine=engine
    )
    assert [len(stack.layers) for stack in made.stacks] == [1, 1]


def test_cuts_nobody_can_plan_are_refused(engine: Engine) -> None:
    with pytest.raises(BadCutError):
        stack_cuts(PIECES, [cut("A", 4, 4, 0)], engine=engine)
