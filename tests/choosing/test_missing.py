"""The fabric called missing does what is promised, and nothing else does more."""

from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.choosing.choose import Answer, choose
from stashkeeper.choosing.missing import Missing
from stashkeeper.choosing.needs import CutsNeeded, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.errors import NoChoiceError
from tests.choosing.shelves import DARK, LIGHT, MEDIUM, SQUARES, counted, fabric

PIECES = st.lists(
    st.tuples(st.integers(16, 94), st.integers(0, 9), st.sampled_from(["red", "blue"])),
    min_size=4,
    max_size=14,
)
NEEDS = st.one_of(
    st.just(counted(2, 1, 2, squares=3)),
    st.just([
        Need("sky", LIGHT, None, (CutsNeeded(SQUARES, 12),)),
        Need("tree", MEDIUM, 1, (CutsNeeded(SQUARES, 2),)),
        Need("earth", DARK, 2, (CutsNeeded(SQUARES, 9),)),
    ]),
    st.just(list(in_sets(counted(1, 1, 1, squares=2), 2))),
)  # fmt: skip


def answered(pieces: list[tuple[float, int, str]], needs: list[Need]) -> Answer | None:
    """Return the answer for a shelf of these pieces, or None."""
    shelf = [fabric(f"P{at}", light, family=family) for at, (light, _, family) in enumerate(pieces)]
    squares = [gives for _, gives, _ in pieces]
    try:
        return choose(shelf, {SQUARES: squares}, needs, others=0)
    except NoChoiceError:
        return None


def aim(answer: Answer | None) -> float:
    """Return the gap that was made large; 0 where there is no choice."""
    return 0.0 if answer is None else answer.best.aim or 0.0


def bought(missing: Missing, lightness: float) -> tuple[float, int, str]:
    """Return the fabric that was called missing, at one of the lightnesses it may have."""
    squares = sum(cut.count for cut in missing.cuts) or 1
    return lightness, squares, missing.family or "red"


@settings(deadline=None, max_examples=40)
@given(PIECES, NEEDS, st.floats(0.0, 1.0))
def test_it_widens_the_gap_as_promised(
    pieces: list[tuple[float, int, str]], needs: list[Need], where: float
) -> None:
    answer = answered(pieces, needs)
    missing = answer.missing if answer else None
    if missing is None:
        return
    lightness = missing.darkest + where * (missing.lightest - missing.darkest)
    lightness = min(max(lightness, missing.darkest + 1e-6), missing.lightest - 1e-6)
    after = answered([*pieces, bought(missing, lightness)], needs)
    assert aim(after) >= missing.gap - 0.05
    assert abs(missing.gap - missing.gained - aim(answer)) < 1e-6


@settings(deadline=None, max_examples=40)
@given(PIECES, NEEDS, st.integers(16, 94), st.sampled_from(["red", "blue"]))
def test_no_other_fabric_does_more(
    pieces: list[tuple[float, int, str]], needs: list[Need], lightness: int, family: str
) -> None:
    answer = answered(pieces, needs)
    if answer is None or not answer.best.proven:
        return
    most = answer.missing.gap if answer.missing else aim(answer) + 0.2
    assert aim(answered([*pieces, (lightness, 99, family)], needs)) <= most + 0.05


def test_it_tells_value_lightness_colour_and_size() -> None:
    shelf = [fabric("A", 20, a=5.0, b=-30.0), fabric("B", 30, a=5.0, b=-30.0),
             fabric("C", 90, a=2.0, b=-8.0)]  # fmt: skip
    needs = counted(1, 1, 1, squares=6)
    missing = choose(shelf, {SQUARES: [9, 9, 9]}, needs).missing
    assert missing is not None
    assert (missing.role, missing.family) == ("medium", "blue")
    assert (missing.gap, missing.gained) == (35.0, 25.0)
    assert (missing.darkest, missing.lightest) == (55.0, 55.0)
    assert missing.cuts == (CutsNeeded(SQUARES, 6),)
    assert missing.told == (
        "One more blue fabric for medium with L* 55.0 that gives 6 cuts would help most: "
        "the smaller gap would become 35.0."
    )


def test_a_sum_that_is_short_asks_for_no_more_than_it_lacks() -> None:
    shelf = [fabric("A", 20), fabric("B", 54), fabric("C", 84), fabric("D", 90), fabric("E", 93)]
    needs = [
        Need("dark", DARK),
        Need("medium", MEDIUM),
        Need("light", LIGHT, None, (CutsNeeded(SQUARES, 20),)),
    ]
    missing = choose(shelf, {SQUARES: [9] * 5}, needs).missing
    assert missing is not None
    assert (missing.role, missing.gap, missing.gained) == ("light", 34.0, 4.0)
    assert (missing.darkest, missing.lightest) == (88.0, 100.0)
    assert missing.cuts == (CutsNeeded(SQUARES, 2),)


def test_no_shop_has_cloth_blacker_than_black_cotton() -> None:
    shelf: list[Candidate] = [fabric("A", 16), fabric("B", 55), fabric("C", 94)]
    missing = choose(shelf, {}, counted(1, 1, 1)).missing
    assert missing is None or missing.gap <= 40.0


def test_no_shop_has_it_for_a_set_either() -> None:
    shelf: list[Candidate] = [fabric("A", 60, family="blue"), fabric("B", 85, family="blue")]
    missing = choose(
        shelf, {}, list(in_sets([Need("dark", DARK), Need("light", LIGHT)], 1))
    ).missing
    assert missing is not None
    assert missing.gap <= 70.0  # 85 less the 15 of black cotton
