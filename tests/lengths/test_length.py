"""A length is exact: it adds like a fraction, and knows inches and millimetres as one thing.

Source of the inch: International Yard and Pound Agreement, 1959: 1 yd = 0.9144 m exactly, so
1 in = 25.4 mm exactly.
"""

from fractions import Fraction
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size

lengths = st.integers(-(10**9), 10**9).map(Length)
above_zero = st.integers(1, 10**8).map(Length)
fractions = st.fractions(min_value=-10_000, max_value=10_000)


def test_the_inch_of_1959() -> None:
    assert Length.from_inches(1) == Length.from_millimetres("25.4")
    assert Length.from_inches(36) == Length.from_millimetres("914.4")


@pytest.mark.parametrize("inches", ["1/64", "1/32", "1/16", "1/8"])
def test_every_ruler_mark_of_an_inch_is_whole(inches: str) -> None:
    assert Length.from_inches(inches).inches == Fraction(inches)


def test_a_tenth_of_a_millimetre_is_whole() -> None:
    assert Length.from_millimetres("0.1").millimetres == Fraction("0.1")


@given(st.lists(lengths, max_size=30))
def test_sums_never_round(several: list[Length]) -> None:
    *_, total = accumulate(several, initial=Length(0))
    assert total.inches == sum((one.inches for one in several), Fraction(0))


@given(lengths, lengths, st.integers(-1000, 1000))
def test_differences_and_multiples_never_round(one: Length, other: Length, times: int) -> None:
    assert (one - other).inches == one.inches - other.inches
    assert (one * times).inches == (times * one).inches == one.inches * times
    assert (-one).inches == -one.inches


@given(lengths)
def test_inches_and_millimetres_agree(length: Length) -> None:
    assert length.millimetres == length.inches * Fraction("25.4")
    assert Length.from_inches(length.inches) == length
    assert Length.from_millimetres(length.millimetres) == length


@given(lengths, lengths)
def test_lengths_sort_as_their_inches_do(one: Length, other: Length) -> None:
    assert (one < other) == (one.inches < other.inches)


@given(fractions)
def test_what_no_tick_holds_is_rounded_as_asked_by_less_than_a_tick(inches: Fraction) -> None:
    down, up = Length.from_inches(inches), Length.from_inches(inches, Rounding.UP)
    assert down.inches <= inches <= up.inches
    assert up.ticks - down.ticks == (0 if down.inches == inches else 1)


@given(lengths, above_zero)
def test_a_ruler_mark_never_oversteps_the_truth(length: Length, mark: Length) -> None:
    down, up = length.rounded_to(mark, Rounding.DOWN), length.rounded_to(mark, Rounding.UP)
    assert down <= length <= up
    assert down.ticks % mark.ticks == up.ticks % mark.ticks == 0
    assert up - down in {Length(0), mark}


@given(above_zero, st.fractions(min_value=0, max_value=1))
def test_cloth_never_shrinks_less_than_its_share(length: Length, share: Fraction) -> None:
    left = length.shrunk_by(share)
    assert left.inches <= length.inches * (1 - share) < left.inches + Length(1).inches


@given(above_zero, above_zero, above_zero, above_zero)
def test_a_size_holds_another_exactly_if_it_fits_straight_or_turned(
    width: Length, length: Length, across: Length, along: Length
) -> None:
    size, cut = Size(width, length), Size(across, along)
    straight = across <= width and along <= length
    turned = along <= width and across <= length
    assert size.holds(cut, turning=False) == straight
    assert size.holds(cut) == (straight or turned)
    assert size.turned().area == size.area
