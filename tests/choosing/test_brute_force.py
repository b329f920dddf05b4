"""The search equals every choice tried one by one, on shelves small enough to try them all.

Source: brute force (tests/choosing/brute_force.py), which shares no code with the search.
"""

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Keep, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.errors import NoChoiceError
from tests.choosing.brute_force import best_gap, fabrics_of
from tests.choosing.shelves import DARK, LIGHT, MEDIUM, SQUARES, counted, fabric, row

LIGHTNESSES = st.lists(st.integers(0, 40).map(lambda step: step * 2.5), min_size=1, max_size=6)
COUNTS = st.integers(0, 2)


def found_gap(
    candidates: Sequence[Candidate],
    squares: Sequence[int],
    needs: Sequence[Need],
    keep: Sequence[Keep] = (),
) -> float | None:
    """Return the gap the program makes as large as it can, or None; it must call it proven."""
    try:
        best = choose(candidates, {SQUARES: squares}, needs, keep=keep, others=0).best
    except NoChoiceError:
        return None
    assert best.proven
    assert best.bound == pytest.approx(best.aim)
    return best.aim


@settings(deadline=None, max_examples=60)
@given(LIGHTNESSES, COUNTS, COUNTS, st.integers(1, 2))
def test_so_many_fabrics_of_each_value(
    lightnesses: list[float], light: int, medium: int, dark: int
) -> None:
    needs = [need for need in counted(light, medium, dark) if need.fabrics]
    if len(needs) < 2:
        return
    shelf = row(lightnesses)
    nothing = [0] * len(shelf)
    expected = best_gap(fabrics_of(shelf, nothing), needs)
    assert found_gap(shelf, nothing, needs) == (expected and pytest.approx(expected))


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 30).map(lambda step: step * 3.25), st.integers(0, 6)),
             min_size=3, max_size=6),
    st.tuples(*[st.tuples(st.sampled_from([None, 1, 2]), st.integers(1, 8), st.booleans())] * 3),
)  # fmt: skip
def test_so_many_squares_from_each_value(
    pieces: list[tuple[float, int]], asked: tuple[tuple[int | None, int, bool], ...]
) -> None:
    needs = [
        Need(
            str(value), value, fabrics, (CutsNeeded(SQUARES, count),), each and fabrics is not None
        )
        for value, (fabrics, count, each) in zip((LIGHT, MEDIUM, DARK), asked, strict=True)
    ]
    shelf, squares = row([lightness for lightness, _ in pieces]), [gives for _, gives in pieces]
    expected = best_gap(fabrics_of(shelf, squares), needs)
    assert found_gap(shelf, squares, needs) == (expected and pytest.approx(expected))


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.integers(0, 30).map(lambda step: step * 3.25), st.integers(0, 6)),
             min_size=3, max_size=6),
    st.tuples(*[st.integers(1, 6)] * 3),
)  # fmt: skip
def test_two_dark_roles_that_ask_for_different_amounts(
    pieces: list[tuple[float, int]], asked: tuple[int, int, int]
) -> None:
    star, sky, border = asked
    needs = [
        Need("sky", LIGHT, 1, (CutsNeeded(SQUARES, sky),)),
        Need("star", DARK, 1, (CutsNeeded(SQUARES, star),)),
        Need("border", DARK, None, (CutsNeeded(SQUARES, border),)),
    ]
    shelf, squares = row([lightness for lightness, _ in pieces]), [gives for _, gives in pieces]
    expected = best_gap(fabrics_of(shelf, squares), needs)
    assert found_gap(shelf, squares, needs) == (expected and pytest.approx(expected))


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.integers(0, 30).map(lambda step: step * 3.25), st.integers(1, 3),
                       st.sampled_from(["red", "blue"])), min_size=3, max_size=6),
    st.integers(1, 2),
    st.tuples(*[st.integers(1, 3)] * 3),
)  # fmt: skip
def test_sets_that_share_a_colour_family(
    pieces: list[tuple[float, int, str]], sets: int, asked: tuple[int, int, int]
) -> None:
    values = zip((LIGHT, MEDIUM, DARK), asked, strict=True)
    one = [Need(str(value), value, 1, (CutsNeeded(SQUARES, count),)) for value, count in values]
    shelf = [
        fabric(f"P{number}", lightness, family=family)
        for number, (lightness, _, family) in enumerate(pieces)
    ]
    squares, needs = [gives for _, gives, _ in pieces], in_sets(one, sets)
    expected = best_gap(fabrics_of(shelf, squares), needs)
    assert found_gap(shelf, squares, needs) == (expected and pytest.approx(expected))


@settings(deadline=None, max_examples=40)
@given(LIGHTNESSES.filter(lambda some: len(some) > 3), st.data())
def test_kept_pieces(lightnesses: list[float], data: st.DataObject) -> None:
    shelf, needs = row(lightnesses), counted(1, 1, 2)
    kept = data.draw(st.sampled_from(shelf)).code
    role = data.draw(st.sampled_from(["light", "medium", "dark"]))
    nothing = [0] * len(shelf)
    expected = best_gap(fabrics_of(shelf, nothing), needs, {kept: role})
    found = found_gap(shelf, nothing, needs, [Keep(kept, role)])
    assert found == (expected and pytest.approx(expected))
