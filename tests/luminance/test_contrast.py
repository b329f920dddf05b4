"""Contrast between groups: the rule of the house, exactly, and the pairs that break it."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.reading import Factor
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import (
    MOST_PAIRS,
    TOO_CLOSE,
    Entry,
    Verdict,
    gap_of,
    judge,
    one_a_fabric,
    verdict_of,
)
from tests.luminance.made import photographed, typed

BETWEEN = (Value.LIGHT, Value.MEDIUM)


@pytest.mark.parametrize(
    ("gap", "uncertainty", "verdict"),
    [
        (-30, 0, "weak"), (4.99, 0, "weak"), (4.99, 100, "weak"),
        (5, 0, "fair"), (5, 0.01, "cannot tell"), (30, 25.01, "cannot tell"),
        (30, 25, "fair"), (12, 2.01, "fair"), (12, 2, "clear"),
        (22, 2.01, "clear"), (22, 2, "strong"), (90, 2, "strong"),
    ],
)  # fmt: skip
def test_the_rule(gap: float, uncertainty: float, verdict: str) -> None:
    """Gap under 5: weak. Else by gap − U: < 5 cannot tell, < 10 fair, < 20 clear, else strong."""
    assert verdict_of(gap, uncertainty) == verdict


def test_the_gap_is_lowest_of_the_lighter_minus_highest_of_the_darker() -> None:
    found = judge([typed("a", 90), typed("b", 80)], [typed("c", 50), typed("d", 62)], BETWEEN)
    assert found.between == BETWEEN
    assert found.gap == pytest.approx(18)
    assert found.uncertainty == pytest.approx(8**0.5)  # two readings of ±2, nothing shared
    assert found.verdict is Verdict.CLEAR
    assert found.pairs == ()


def test_two_fabrics_of_one_photo_are_surer_than_of_two() -> None:
    """What a photo shares cancels: ±9 within one, and ±35 between two lone photos."""
    light, same = photographed("a", (80, 0, 0), "p1"), photographed("b", (60, 0, 0), "p1")
    other = photographed("c", (60, 0, 0), "p2")
    assert judge([light], [same], BETWEEN).uncertainty == pytest.approx(9.05, abs=0.01)
    assert judge([light], [same], BETWEEN).verdict is Verdict.CLEAR
    assert judge([light], [other], BETWEEN).uncertainty == pytest.approx(35.4, abs=0.1)
    assert judge([light], [other], BETWEEN).verdict is Verdict.CANNOT_TELL


def test_a_farther_pair_that_is_less_sure_decides() -> None:
    """25 ±9 within one photo would be clear; but 28 ±35 between two may be no gap at all."""
    near, far = photographed("a", (80, 0, 0), "p1"), photographed("b", (83, 0, 0), "p2")
    dark = photographed("c", (55, 0, 0), "p1")
    assert judge([near], [dark], BETWEEN).verdict is Verdict.CLEAR
    found = judge([near, far], [dark], BETWEEN)
    assert found.gap == 25
    assert found.uncertainty == pytest.approx(35.4 - 3, abs=0.1)
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.unsure == ("b", "c")


PHOTOGRAPHED = st.tuples(st.floats(0, 100), st.sampled_from(["p1", "p2", "p3", "typed"]))


def of_photos(name: str, seen: list[tuple[float, str]]) -> list[Entry]:
    return [
        typed(f"{name}{number}", light)
        if photo == "typed"
        else photographed(f"{name}{number}", (light, 0, 0), photo)
        for number, (light, photo) in enumerate(seen)
    ]


@given(st.lists(PHOTOGRAPHED, min_size=1), st.lists(PHOTOGRAPHED, min_size=1))
@settings(deadline=None, max_examples=150)
def test_what_is_left_of_a_gap_is_left_of_every_pair(
    lights: list[tuple[float, str]], darks: list[tuple[float, str]]
) -> None:
    """Interval arithmetic, pair by pair: the least that any of them surely lies apart."""
    ones = of_photos("l", [(50 + light / 2, photo) for light, photo in lights])
    others = of_photos("d", [(dark / 2, photo) for dark, photo in darks])
    found = judge(ones, others, BETWEEN)
    pairs = [gap_of(one, other) for one in ones for other in others]
    gap = min(apart for apart, _ in pairs)
    assert found.gap == gap
    if gap >= TOO_CLOSE:
        assert found.uncertainty == pytest.approx(gap - min(apart - u for apart, u in pairs))


@pytest.mark.parametrize("empty", [0, 1])
def test_an_empty_group_has_no_gap(empty: int) -> None:
    groups: list[list[Entry]] = [[typed("a", 80)], [typed("b", 50)]]
    groups[empty] = []
    found = judge(groups[0], groups[1], BETWEEN)
    assert (found.gap, found.uncertainty, found.verdict) == (None, None, Verdict.NO_PIECES)
    assert found.pairs == ()


def test_the_pairs_that_are_too_close_are_named_worst_first() -> None:
    lights = [typed("a", 90), typed("b", 66), typed("c", 63)]
    mediums = [typed("d", 62), typed("e", 64), typed("f", 30)]
    found = judge(lights, mediums, BETWEEN)
    assert found.verdict is Verdict.WEAK
    assert [(pair.lighter, pair.darker, pair.gap) for pair in found.pairs] == [
        ("c", "e", -1), ("c", "d", 1), ("b", "e", 2), ("b", "d", 4),
    ]  # fmt: skip


def test_copies_of_one_fabric_count_once() -> None:
    lights = [typed("a1", 63, "a"), typed("a2", 63, "a"), typed("a3", 63, "a"), typed("b", 90)]
    found = judge(lights, [typed("c", 60)], BETWEEN)
    assert [(pair.lighter, pair.darker) for pair in found.pairs] == [("a1", "c")]
    assert [entry.code for entry in one_a_fabric(lights)] == ["a1", "b"]


def test_one_fabric_in_both_groups_is_as_weak_as_can_be() -> None:
    found = judge([typed("a1", 63, "a")], [typed("a2", 63, "a")], BETWEEN)
    assert (found.gap, found.uncertainty, found.verdict) == (0, 0, Verdict.WEAK)


def test_hue_may_hold_a_pair_that_is_weak_in_grey() -> None:
    red, green = (photographed("r", (52, 60, 35), "p"), photographed("g", (51, -45, 30), "p"))
    (pair,) = judge([red], [green], BETWEEN).pairs
    assert pair.colour_difference is not None
    assert pair.colour_difference > 50
    assert pair.held_by_colour


def test_two_dull_neighbours_are_not_held_by_colour() -> None:
    one, other = photographed("a", (52, 3, 4), "p"), photographed("b", (51, 1, -4), "p")
    (pair,) = judge([one], [other], BETWEEN).pairs
    assert pair.colour_difference is not None
    assert not pair.held_by_colour


def test_without_a_colour_nothing_is_held_by_it() -> None:
    (pair,) = judge([typed("a", 52)], [photographed("b", (51, 60, 0), "p")], BETWEEN).pairs
    assert pair.colour_difference is None
    assert not pair.held_by_colour


LIGHTNESS = st.floats(0, 100)
GROUP = st.lists(LIGHTNESS, min_size=1, max_size=12)


def group(name: str, lightnesses: list[float]) -> list[Entry]:
    return [typed(f"{name}{number}", light) for number, light in enumerate(lightnesses)]


@given(GROUP, GROUP)
@settings(deadline=None, max_examples=150)
def test_named_pairs_are_the_closest_of_all(lights: list[float], darks: list[float]) -> None:
    found = judge(group("l", lights), group("d", darks), BETWEEN)
    every = sorted(light - dark for light in lights for dark in darks if light - dark < 5)
    assert [pair.gap for pair in found.pairs] == pytest.approx(every[:MOST_PAIRS], abs=1e-9)
    assert found.gap == pytest.approx(min(lights) - max(darks))


@given(GROUP, GROUP)
@settings(deadline=None, max_examples=100)
def test_swapping_and_inverting_two_groups_changes_nothing(
    lights: list[float], darks: list[float]
) -> None:
    """Antisymmetry: seen as a negative, the darker group is the lighter one."""
    found = judge(group("l", lights), group("d", darks), BETWEEN)
    negative = judge(
        group("d", [100 - dark for dark in darks]),
        group("l", [100 - light for light in lights]),
        BETWEEN,
    )
    assert negative.gap == pytest.approx(found.gap)
    assert negative.uncertainty == found.uncertainty


@given(LIGHTNESS, LIGHTNESS, st.floats(-5, 5), st.floats(0, 30))
@settings(deadline=None, max_examples=100)
def test_what_both_share_never_matters(
    light: float, dark: float, own: float, shared: float
) -> None:
    def entry(code: str, lightness: float) -> Entry:
        reading = typed(code, lightness).reading
        factors = (Factor(code, own), Factor("sitting", shared))
        return Entry(code, dataclasses.replace(reading, factors=factors), code)

    found = judge([entry("a", light)], [entry("b", dark)], BETWEEN)
    assert found.uncertainty == pytest.approx((2 * own * own) ** 0.5)
