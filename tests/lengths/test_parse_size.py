"""Every way a quilter types a size.

The sizes behind the trade's names are common practice: a fat quarter is half a yard (18 in) by
half the width of the fabric (21 of 42 in); a fat eighth is half of that.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import Size, TypedSize
from tests.lengths.spellings import UNITS, Spelled, amounts, numbers

BOTH = frozenset({Edge.LEFT, Edge.RIGHT})
ONE = frozenset({Edge.LEFT})
NONE: frozenset[Edge] = frozenset()


def inches(width: str, length: str) -> Size:
    return Size(Length.from_inches(width), Length.from_inches(length))


def centimetres(width: int, length: int) -> Size:
    return Size(Length.from_millimetres(width * 10), Length.from_millimetres(length * 10))


@pytest.mark.parametrize(
    "typed",
    [
        "18 x 21", "18x21", "18 X 21", "18×21", "18*21", "18 by 21", "18ｘ21", "１８ × ２１",
        '18"×21"', "18″ × 21″", "18'' x 21''", "18 x 21 in", "18 in x 21", '18" x 21',
        "18 in. x 21 in.",
        "18 inches by 21 inches", "18-inch x 21-inch", "1/2 yd x 21 in", "18 in x 1 ft 9 in",
        "18.0 x 21,0", "18 wide x 21 long", "21 long x 18 wide", "21 x 18 wide",
        "18 x 21 long", "21 long x 18", "18w x 21l",
        "18\N{NO-BREAK SPACE}x\t21",
    ],
)  # fmt: skip
def test_width_by_length(typed: str) -> None:
    assert parse_size(typed, Measure.INCHES) == TypedSize(inches("18", "21"), None, NONE)


def test_one_unit_serves_both_numbers() -> None:
    assert parse_size("18 x 21 cm", Measure.INCHES).size == centimetres(18, 21)
    assert parse_size("18 cm x 21", Measure.INCHES).size == centimetres(18, 21)
    assert parse_size("1.5 x 2 m", Measure.INCHES).size == centimetres(150, 200)
    assert parse_size("18 x 21", Measure.CENTIMETRES).size == centimetres(18, 21)


def test_a_decimal_may_begin_with_its_point() -> None:
    assert parse_size("2.5x.5", Measure.INCHES).size == inches("5/2", "1/2")
    assert parse_size("2.5 by.5 in", Measure.INCHES).size == inches("5/2", "1/2")


def test_each_number_may_have_its_own_unit() -> None:
    assert parse_size("18in x 0.5 yd", Measure.CENTIMETRES).size == inches("18", "18")
    assert parse_size("42 in x 2 yd", Measure.CENTIMETRES).size == inches("42", "72")


@pytest.mark.parametrize(
    ("typed", "width", "length"),
    [
        ("fat quarter", "21", "18"), ("Fat Quarter", "21", "18"), ("FQ", "21", "18"),
        ("a fat quarter", "21", "18"), ("1 FQ", "21", "18"), ("fat-quarter", "21", "18"),
        ("fat ¼", "21", "18"), ("fat 1/4", "21", "18"), ("fatquarter", "21", "18"),
        ("fat eighth", "21", "9"), ("F8", "21", "9"), ("fat 8th", "21", "9"), ("fat ⅛", "21", "9"),
        ("fat sixteenth", "21/2", "9"),
    ],
)  # fmt: skip
def test_a_fat_piece_is_nominal_and_has_one_selvedge(typed: str, width: str, length: str) -> None:
    for measure in Measure:
        expected = TypedSize(inches(width, length), Basis.NOMINAL, ONE)
        assert parse_size(typed, measure) == expected


@pytest.mark.parametrize(
    ("typed", "length"),
    [
        ("half yard", "18"), ("half a yard", "18"), ("1/2 yd", "18"), ("½ yard", "18"),
        ("quarter yard", "9"), ("long quarter", "9"), ("skinny quarter", "9"), ("1/4 yd cut", "9"),
        ("third of a yard", "12"), ("1/3 yd", "12"), ("1 yard", "36"), ("2 yards", "72"),
        ("2 yards of fabric", "72"), ("1 1/2 yards", "54"), ("1 yd 9 in", "45"),
        ("2½ in strip", "5/2"), ("2.5 in strips", "5/2"), ('2½" strip', "5/2"),
        ("2½-inch strip", "5/2"),
        ("2.5 in WOF strip", "5/2"), ("WOF x 2.5", "5/2"), ("2.5 x WOF", "5/2"),
        ("2½ in x WOF strip", "5/2"), ("WOF x 18", "18"), ("width of fabric x 18 in", "18"),
        ("width of the fabric by 18", "18"), ("18 long x full width", "18"),
    ],
)  # fmt: skip
def test_a_cut_off_the_bolt_has_the_width_of_the_fabric_and_two_selvedges(
    typed: str, length: str
) -> None:
    expected = TypedSize(inches("42", length), Basis.NOMINAL, BOTH)
    assert parse_size(typed, Measure.INCHES) == expected


@pytest.mark.parametrize("typed", ["0.5 m", "half a metre", "½ m", "WOF x 50", "50 cm strip"])
def test_metres_off_the_bolt(typed: str) -> None:
    expected = Size(Length.from_inches(42), Length.from_millimetres(500))
    assert parse_size(typed, Measure.CENTIMETRES) == TypedSize(expected, Basis.NOMINAL, BOTH)


@pytest.mark.parametrize(
    "typed", ["10 in square", '10" sq', "10 square", "10 inch squares", "10-in sq."]
)
def test_a_square(typed: str) -> None:
    assert parse_size(typed, Measure.INCHES) == TypedSize(inches("10", "10"), None, NONE)


@pytest.mark.parametrize(
    "typed",
    ["about 18 x 21", "~18 x 21", "≈ 18 x 21", "approx. 18 x 21", "18 x 21 approx", "roughly 18x21",
     "ca. 18 x 21", "around 18 by 21"],
)  # fmt: skip
def test_about(typed: str) -> None:
    assert parse_size(typed, Measure.INCHES) == TypedSize(inches("18", "21"), Basis.ABOUT, NONE)


def test_about_a_named_size_keeps_its_selvedge() -> None:
    expected = TypedSize(inches("21", "18"), Basis.ABOUT, ONE)
    assert parse_size("about a fat quarter", Measure.INCHES) == expected


@given(amounts(), amounts(), st.sampled_from(["x", " x ", "×", " by ", "*", " X "]))
@settings(deadline=None)
def test_generated_sides_mean_their_fractions(one: Spelled, other: Spelled, times: str) -> None:
    size = parse_size(f"{one[0]}{times}{other[0]}", Measure.INCHES).size
    assert size == Size(Length(math.floor(one[1] * 320)), Length(math.floor(other[1] * 320)))


@given(numbers, numbers, st.sampled_from(["in", "cm", "mm"]), st.sampled_from(Measure))
@settings(deadline=None)
def test_a_small_unit_typed_once_serves_both(
    one: Spelled, other: Spelled, unit: str, measure: Measure
) -> None:
    millimetres = UNITS[unit][0]
    size = Size(*(Length(math.floor(side * millimetres * 320)) for side in (one[1], other[1])))
    for typed in (f"{one[0]} x {other[0]} {unit}", f"{one[0]} {unit} x {other[0]}"):
        assert parse_size(typed, measure).size == size


@given(amounts(units=("yd", "m")))
@settings(deadline=None)
def test_generated_yards_and_metres_are_cut_off_the_bolt(spelled: Spelled) -> None:
    text, millimetres = spelled
    typed = parse_size(text, Measure.INCHES)
    assert typed.size == Size(Length.from_inches(42), Length(math.floor(millimetres * 320)))
    assert (typed.basis, typed.selvedges) == (Basis.NOMINAL, BOTH)
