"""Every way a quilter types a length means the same exact length."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length
from tests.lengths.spellings import Spelled, amounts, numbers

measures = st.sampled_from(Measure)


@pytest.mark.parametrize(
    "typed",
    [
        "9 7/8", "9-7/8", "9⅞", '9⅞"', "9 ⅞", "9-⅞", "9⁷⁄₈ in", "9 7⁄8″", "9.875in",
        "9.875", "9 7/8 inches", "9 & 7/8 inch", "９ ７/８", "79/8", "9\N{NO-BREAK SPACE}7/8 in",
        "  9 7/8\t\n", "9 7/8''", "9 7/8”", "9-7/8-inch", "nine and 7/8 in",
        "9 and seven eighths in",
    ],
)  # fmt: skip
def test_nine_and_seven_eighths(typed: str) -> None:
    assert parse_length(typed, Measure.INCHES).inches == Fraction(79, 8)


@pytest.mark.parametrize(
    ("typed", "millimetres"),
    [
        ("25cm", "250"), ("250 mm", "250"), ("9,5 cm", "95"), ("0.5 m", "500"), (".5 m", "500"),
        ("half a metre", "500"), ("½ m", "500"), ("1 m 50 cm", "1500"), ("25", "250"),
        ("0,125 m", "125"), ("25 CENTIMETERS", "250"),
    ],
)  # fmt: skip
def test_metric_lengths(typed: str, millimetres: str) -> None:
    assert parse_length(typed, Measure.CENTIMETRES).millimetres == Fraction(millimetres)


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        # Fractions of a yard by the definition of the yard, 36 in (quilters' charts print them).
        ("1/8 yd", "9/2"), ("1/4 yd", "9"), ("1/3 yd", "12"), ("3/8 yd", "27/2"),
        ("1/2 yd", "18"), ("5/8 yd", "45/2"), ("2/3 yd", "24"), ("3/4 yd", "27"),
        ("7/8 yd", "63/2"), ("1 yd", "36"), ("1 1/2 yards", "54"), ("½ yard", "18"),
        # The same in words.
        ("half yard", "18"), ("half-yard", "18"), ("half a yard", "18"), ("a half yard", "18"),
        ("a yard", "36"), ("one yard", "36"), ("third of a yard", "12"), ("1/3 of a yard", "12"),
        ("two thirds of a yard", "24"), ("three quarters of a yard", "27"), ("2 thirds yd", "24"),
        ("one and a half yards", "54"), ("2 and 1/2 yards", "90"), ("1 half yard", "18"),
        ("five eighths of a yard", "45/2"), ("quarter yard", "9"), ("quarter inch", "1/4"),
        # Feet, and lengths in two units.
        ("3ft", "36"), ("3 ft 6 in", "42"), ("3'6\"", "42"), ("5' 6″", "66"),
        ("1 yd 9 in", "45"), ("1 yard and 9 inches", "45"), ("1 yd 1 ft 6 in", "54"),
    ],
)  # fmt: skip
def test_yards_and_feet(typed: str, inches: str) -> None:
    assert parse_length(typed, Measure.CENTIMETRES).inches == Fraction(inches)


@given(amounts(), measures)
@settings(deadline=None)
def test_a_generated_spelling_means_its_fraction(spelled: Spelled, measure: Measure) -> None:
    text, millimetres = spelled
    assert parse_length(text, measure) == Length(math.floor(millimetres * 320))
    assert parse_length(text, measure, Rounding.UP) == Length(math.ceil(millimetres * 320))


@given(numbers)
@settings(deadline=None)
def test_a_bare_number_takes_the_unit_of_the_measure(spelled: Spelled) -> None:
    text, number = spelled
    assert parse_length(text, Measure.INCHES) == Length.from_inches(number)
    assert parse_length(text, Measure.CENTIMETRES) == Length.from_millimetres(number * 10)


@pytest.mark.parametrize("typed", ["1/3 in", "1/7 in", "0.1 in", "2/3 in"])
def test_what_no_tick_holds_rounds_down_when_owned_and_up_when_needed(typed: str) -> None:
    exact = Fraction(typed.removesuffix(" in"))
    owned = parse_length(typed, Measure.INCHES).inches
    needed = parse_length(typed, Measure.INCHES, Rounding.UP).inches
    assert owned < exact < needed
    assert needed - owned == Fraction(1, 8128)
