"""The search equals a second solver on shelves too large to try every choice.

Source: HiGHS through scipy.optimize.milp (tests/choosing/second_solver.py).
"""

import random

import pytest

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.errors import NoChoiceError
from tests.choosing.brute_force import fabrics_of
from tests.choosing.second_solver import best_gap
from tests.choosing.shelves import DARK, LIGHT, MEDIUM, SQUARES, fabric

EXACT = 0.01
"""The solver's own tolerances, times its large factors; lightnesses here are whole halves."""


def shelf_of(seed: int, size: int, families: int = 3) -> tuple[list[Candidate], list[int]]:
    """Return a shelf of fabrics, some with copies, and how many squares each piece gives."""
    dice = random.Random(seed)
    colours = ["red", "blue", "green", "pink", "brown"][:families]
    pieces, squares = [], []
    for number in range(size):
        lightness, family = dice.randrange(10, 190) / 2, dice.choice(colours)
        for copy in range(dice.choice([1, 1, 1, 2])):
            code, key = f"P{number}-{copy}", f"F{number}"
            pieces.append(fabric(code, lightness, fabric=key, family=family))
            squares.append(dice.choice([0, 2, 4, 6, 12, 20]))
    return pieces, squares


def asked(dice: random.Random) -> list[Need]:
    """Return needs of all three values: so many fabrics, so many squares, or both."""
    needs = []
    for value in (LIGHT, MEDIUM, DARK):
        fabrics = dice.choice([None, 1, 2, 3, 5])
        each = fabrics is not None and dice.random() < 0.5
        count = dice.choice([2, 4, 6]) if each or fabrics == 1 else dice.choice([10, 30, 60])
        needs.append(Need(str(value), value, fabrics, (CutsNeeded(SQUARES, count),), each))
    return needs


def compare(pieces: list[Candidate], squares: list[int], needs: list[Need]) -> None:
    """Hold the program's best gap against the second solver's; it must be called proven."""
    expected = best_gap(fabrics_of(pieces, squares), needs)
    try:
        best = choose(pieces, {SQUARES: squares}, needs, others=0).best
    except NoChoiceError:
        assert expected is None or expected < EXACT
        return
    assert expected is not None
    assert best.aim == pytest.approx(expected, abs=EXACT)
    assert best.proven


@pytest.mark.parametrize("seed", range(6))
def test_groups_from_forty_fabrics(seed: int) -> None:
    pieces, squares = shelf_of(seed, 40)
    compare(pieces, squares, asked(random.Random(seed)))


@pytest.mark.parametrize("seed", range(3))
def test_three_sets_from_twenty_fabrics(seed: int) -> None:
    pieces, squares = shelf_of(100 + seed, 20, families=2)
    one = [Need(str(value), value) for value in (LIGHT, MEDIUM, DARK)]
    compare(pieces, squares, list(in_sets(one, 3)))


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(40))
def test_groups_from_a_hundred_fabrics(seed: int) -> None:
    pieces, squares = shelf_of(1000 + seed, 100)
    compare(pieces, squares, asked(random.Random(1000 + seed)))


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(10))
def test_four_sets_from_thirty_fabrics_that_must_be_large_enough(seed: int) -> None:
    pieces, squares = shelf_of(2000 + seed, 30)
    one = [Need(str(value), value, 1, (CutsNeeded(SQUARES, 4),)) for value in (LIGHT, MEDIUM, DARK)]
    compare(pieces, squares, list(in_sets(one, 4)))


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(20))
def test_three_sets_whose_roles_ask_for_different_amounts(seed: int) -> None:
    pieces, squares = shelf_of(3000 + seed, 30)
    amounts = zip((LIGHT, MEDIUM, DARK), (2, 6, 12), strict=True)
    one = [Need(str(value), value, 1, (CutsNeeded(SQUARES, count),)) for value, count in amounts]
    compare(pieces, squares, list(in_sets(one, 3)))


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(12))
def test_two_sets_of_several_fabrics_a_value(seed: int) -> None:
    pieces, squares = shelf_of(5000 + seed, 24, families=2)
    asks = zip((LIGHT, MEDIUM, DARK), (2, 1, 2), (2, 6, 4), strict=True)
    one = [
        Need(str(value), value, fabrics, (CutsNeeded(SQUARES, count),), each=True)
        for value, fabrics, count in asks
    ]
    compare(pieces, squares, list(in_sets(one, 2)))


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(20))
def test_sets_that_differ_from_each_other_are_bounded_truly(seed: int) -> None:
    pieces, squares = shelf_of(4000 + seed, 24)
    small, large = (
        [Need(str(value), value, 1, (CutsNeeded(SQUARES, count),), set_number=number)
         for value in (LIGHT, MEDIUM, DARK)]
        for number, count in ((1, 2), (2, 12))
    )  # fmt: skip
    needs = [*small, *large, Need("ground", LIGHT, 2, (CutsNeeded(SQUARES, 10),))]
    expected = best_gap(fabrics_of(pieces, squares), needs)
    if expected is None:
        with pytest.raises(NoChoiceError):
            choose(pieces, {SQUARES: squares}, needs)
        return
    best = choose(pieces, {SQUARES: squares}, needs, others=0).best
    assert best.aim is not None and best.bound is not None
    assert best.aim - EXACT <= expected <= best.bound + EXACT
