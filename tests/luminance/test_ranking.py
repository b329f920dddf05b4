"""Ranking into light, medium and dark: fixed bands, and the exact best split."""

import itertools
import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.reading import Method, Reading, Spread, typed_factors
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.ranking import (
    Bands,
    split_boundaries,
    split_three,
    straddles,
    value_by_bands,
)

L, M, D = Value.LIGHT, Value.MEDIUM, Value.DARK
BANDS = Bands()
LIGHTNESSES = st.floats(0, 100) | st.integers(0, 100).map(float)


def scatter(groups: Sequence[Sequence[float]]) -> float:
    """Return the sum of squared distances to the groups' means, each group summed exactly."""
    total = 0.0
    for group in filter(None, groups):
        mean = math.fsum(group) / len(group)
        total += math.fsum((number - mean) ** 2 for number in group)
    return total


def grouped(lightnesses: Sequence[float], values: Sequence[Value]) -> list[list[float]]:
    pairs = list(zip(lightnesses, values, strict=True))
    return [[light for light, value in pairs if value is group] for group in (D, M, L)]


def brute_force(lightnesses: Sequence[float]) -> float:
    """Return the least scatter of any three groups, by trying every cut of the sorted numbers."""
    ranked = sorted(lightnesses)
    cuts = itertools.combinations_with_replacement(range(len(ranked) + 1), 2)
    return min(scatter([ranked[:i], ranked[i:j], ranked[j:]]) for i, j in cuts)


@pytest.mark.parametrize(
    ("lightness", "value"),
    [(0, D), (39.9, D), (40.0, M), (64.9, M), (65.0, L), (100, L)],
)
def test_fixed_bands(lightness: float, value: Value) -> None:
    assert value_by_bands(lightness, BANDS) is value


def test_bands_can_be_moved() -> None:
    assert value_by_bands(45, Bands(dark_below=50, light_from=70)) is D


def test_three_clear_groups_are_found_in_the_order_given() -> None:
    assert split_three([90, 20, 55, 88, 25, 52, 91]) == [L, D, M, L, D, M, L]


def test_a_shelf_of_darks_is_still_split() -> None:
    """Value is relative: fixed bands would call all of them dark."""
    assert split_three([10, 11, 20, 21, 34, 35]) == [D, D, M, M, L, L]


@pytest.mark.parametrize(
    ("lightnesses", "values"),
    [
        ([], []),
        ([50], [M]),
        ([50, 50, 50], [M, M, M]),
        ([30, 70], [D, L]),
        ([70, 30, 70], [L, D, L]),
        ([30, 50, 70], [D, M, L]),
    ],
)
def test_fewer_than_three_lightnesses(lightnesses: list[float], values: list[Value]) -> None:
    assert split_three(lightnesses) == values


@given(st.lists(LIGHTNESSES, min_size=3, max_size=9).filter(lambda found: len(set(found)) > 2))
@settings(deadline=None, max_examples=300)
def test_no_other_split_is_better(lightnesses: list[float]) -> None:
    found = scatter(grouped(lightnesses, split_three(lightnesses)))
    assert found == pytest.approx(brute_force(lightnesses), rel=1e-9, abs=1e-7)


@given(st.lists(LIGHTNESSES, max_size=60))
@settings(deadline=None, max_examples=200)
def test_groups_never_overlap_and_equals_stay_together(lightnesses: list[float]) -> None:
    dark, medium, light = grouped(lightnesses, split_three(lightnesses))
    for darker, lighter in itertools.pairwise(filter(None, (dark, medium, light))):
        assert max(darker) < min(lighter)


@given(st.lists(LIGHTNESSES, min_size=1, max_size=40), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=100)
def test_the_order_of_the_pieces_does_not_matter(lightnesses: list[float], chance: object) -> None:
    order = list(range(len(lightnesses)))
    chance.shuffle(order)  # type: ignore[attr-defined]
    values = split_three(lightnesses)
    assert split_three([lightnesses[at] for at in order]) == [values[at] for at in order]


def test_a_large_shelf_agrees_with_a_plain_search() -> None:
    """400 fabrics: every pair of cuts by prefix sums, written the plain way."""
    ranked = np.sort(np.random.default_rng(6).beta(2, 1.5, 400) * 100)
    sums, squares = (np.concatenate(([0], np.cumsum(ranked**power))) for power in (1, 2))

    def cost(i: int, j: int) -> float:
        return float(squares[j] - squares[i] - (sums[j] - sums[i]) ** 2 / (j - i))

    best = min(
        cost(0, i) + cost(i, j) + cost(j, 400) for i in range(1, 399) for j in range(i + 1, 400)
    )
    found = scatter(grouped(ranked.tolist(), split_three(ranked.tolist())))
    assert found == pytest.approx(best, rel=1e-9)


def test_boundaries_of_a_split_lie_half_way() -> None:
    lightnesses = [90, 20, 55, 80, 30, 50]
    assert split_boundaries(lightnesses, split_three(lightnesses)) == (40.0, 67.5)
    assert split_boundaries([30, 70], [D, L]) == (50.0,)
    assert split_boundaries([50], [M]) == ()


def printed(low: float, high: float) -> Reading:
    spread = Spread((high - low) / 4, low, high)
    return Reading((low + high) / 2, 0, 0, Method.PHOTO, typed_factors("own"), spread)


@pytest.mark.parametrize(
    ("low", "high", "flagged"),
    [
        (20, 90, True),  # white dots on navy
        (35, 45, True),
        (38, 45, False),  # hardly into dark
        (42, 63, False),
        (58, 70, True),
        (61, 90, False),
    ],
)
def test_a_busy_print_that_straddles_two_groups_is_flagged(
    low: float, high: float, flagged: bool
) -> None:
    assert straddles(printed(low, high), BANDS.boundaries) is flagged


def test_a_few_light_dots_leave_a_dark_fabric_dark() -> None:
    dots = Reading(25, 0, 0, Method.PHOTO, typed_factors("own"), Spread(12, 15, 80))
    assert not straddles(dots, BANDS.boundaries)


def test_a_typed_lightness_straddles_nothing() -> None:
    reading = Reading(40, None, None, Method.TYPED, typed_factors("own"))
    assert not straddles(reading, BANDS.boundaries)
