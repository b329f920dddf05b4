"""What is no size is refused with a sentence that quotes it and two examples that are right."""

import re

import pytest
from hypothesis import example, given, seed, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadSizeError, quoted
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.parse import LONGEST_LENGTH, parse_length, parse_size
from stashkeeper.lengths.size import TypedSize

NO_LENGTH = [
    "", "   ", "bananas", "nan", "inf", "-inf", "1e3", "0x10", "0", "0 in", "0/4", "0.00001 in",
    "-9", "- 9 in", "−9", "-½ yd", "1/0", "9 1/0", "9 8/7", "9 8/8", "9 7/8 7/8", "9.5 7/8",
    "9,5,5", "9..5", "1.2.3", "1/2/3", "½½", "½2", "9²", "9①", "1/⅞", "1,000 in", "10000 yd",
    "201 yd", "184 m", "9" * 99, "9" * 400, "9 in 7/8", "9 in in", "in 9", "in", '"', "half",
    "yard", "a", "of", "and", "2 half yards", "3 quarter yards", "4 quarters of a yard", "1 yd 9",
    "9 in 1 yd", "1 cm 1 cm", "9-12", "9 to 12", "9;", "9 in!", "$9", "9 £", "IX", "Ⅸ", "٩", "九",
    "9\N{ZERO WIDTH SPACE}in", "x", "9 x", "about", "18 x 21", "fat quarter", "9 miles", "9 ml",
    "--", "'", "9 1/2/", "/2", "2/",
]  # fmt: skip
NO_SIZE = [
    "18 x", "x 21", "18 x x 21", "18 x 21 x 2", "18x21x", "18 x bananas", "18 x 21 bananas",
    "18 21", "-18 x 21", "18 x -21", "0 x 21", "18 x 0", "18 x 10000 yd", "42 x 2 yd", "2 yd x 42",
    "18, 21", "fat", "fat cat", "fat 1/3", "fat third", "2 fat quarters", "two FQs",
    "fat quarter x 18", "fat quarter fat quarter", "FQ 18 x 22", "WOF", "width of fabric",
    "WOF x WOF", "wof strip", "square", "a square", "half square", "strip", "18 wide x 21 wide",
    "18 wide", "WOF x 18 wide", "10 sq in", "about about", "about", "~", "9 7/8", "25cm", "3 ft",
    "2 yards of", "2 yards of cheese", "18 square x 21", "10 in square strip", "x" * 100,
    "18 x 21 " * 9,
]  # fmt: skip
REFUSED_BY_BOTH = [
    one for one in NO_LENGTH if one not in {"18 x 21", "fat quarter", "201 yd", "184 m"}
]


@pytest.mark.parametrize("measure", Measure)
@pytest.mark.parametrize("typed", NO_LENGTH)
def test_no_length(typed: str, measure: Measure) -> None:
    with pytest.raises(BadSizeError) as refused:
        parse_length(typed, measure)
    says_what_and_shows_how(refused.value, typed, measure)


@pytest.mark.parametrize("measure", Measure)
@pytest.mark.parametrize("typed", NO_SIZE + REFUSED_BY_BOTH)
def test_no_size(typed: str, measure: Measure) -> None:
    with pytest.raises(BadSizeError) as refused:
        parse_size(typed, measure)
    says_what_and_shows_how(refused.value, typed, measure)


def says_what_and_shows_how(refused: BadSizeError, typed: str, measure: Measure) -> None:
    """Check the sentence, and that both examples in the remedy can be read."""
    if typed.strip():
        assert quoted(typed.strip()) in refused.problem
    else:
        assert refused.problem in {"No size was typed.", "No length was typed."}
    assert refused.problem.endswith(".") and refused.remedy.endswith(".")
    assert len(refused.problem) < 200
    examples = re.findall("“(.*?)”", refused.remedy)
    assert len(examples) == 2 or "unit on one number" in refused.problem
    for shown in examples:
        assert parse_length_or_size(shown, measure)


def parse_length_or_size(typed: str, measure: Measure) -> Length | TypedSize:
    try:
        return parse_size(typed, measure)
    except BadSizeError:
        return parse_length(typed, measure)


def test_the_examples_are_in_the_persons_measure() -> None:
    with pytest.raises(BadSizeError, match="“18 x 21” or “fat quarter”"):
        parse_size("bananas", Measure.INCHES)
    with pytest.raises(BadSizeError, match=r"“45 x 53” or “0\.5 m”"):
        parse_size("bananas", Measure.CENTIMETRES)


def test_one_measurement_is_no_size_and_both_meanings_are_offered() -> None:
    with pytest.raises(BadSizeError) as refused:
        parse_size("25cm", Measure.INCHES)
    assert refused.value.problem == "“25cm” is one measurement, and cloth has two."
    assert refused.value.remedy == (
        "Type “WOF x 25 cm” if it was cut off the bolt, or “25 cm square”."
    )


def test_a_comma_that_could_mean_thousands_is_not_guessed_at() -> None:
    with pytest.raises(BadSizeError, match=r"Type “1250” or “1\.250”") as refused:
        parse_length("1,250 mm", Measure.CENTIMETRES)
    assert "thousands or a decimal" in refused.value.problem


def test_long_text_is_shortened_and_hidden_signs_are_shown() -> None:
    with pytest.raises(BadSizeError) as refused:
        parse_size("\N{RIGHT-TO-LEFT OVERRIDE}18 x\0 21" + "a" * 10_000, Measure.INCHES)
    assert refused.value.problem == (
        "“<U+202E>18 x<U+0000> 21aaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…” is far too long to be a size."
    )


def test_the_longest_length_is_two_hundred_yards() -> None:
    assert parse_length("200 yd", Measure.INCHES) == LONGEST_LENGTH
    with pytest.raises(BadSizeError, match="longer than 200 yards"):
        parse_length("7200 1/64 in", Measure.INCHES)


size_signs = st.text("0123456789 /.,-x×*\"'½⅞⁷₈⁄~inchfytdarmweos\N{NO-BREAK SPACE}", max_size=25)
WORDS = """1 2.5 1/2 9-7/8 ⅞ x by × in cm yd m ft " ' a of and half third quarters fat FQ wof square
strip about wide long two yards piece fabric - / , ."""
size_words = st.lists(st.sampled_from(WORDS.split()), max_size=9).map(" ".join)


@given(st.one_of(st.text(), size_signs, size_words), st.sampled_from(Measure))
@example("9" * 5000, Measure.INCHES)
@example("9\ud800", Measure.INCHES)
@example("ﷺ" * 100, Measure.INCHES)
@settings(deadline=None, max_examples=1500)
def test_any_text_is_a_size_or_is_refused(typed: str, measure: Measure) -> None:
    """Nothing but BadSizeError comes out, and what is read lies above zero and below 200 yards."""
    try:
        length = parse_length(typed, measure)
        assert 0 < length.ticks <= LONGEST_LENGTH.ticks
    except BadSizeError as refused:
        refused.problem.encode()
    try:
        size = parse_size(typed, measure).size
        assert min(size.width.ticks, size.length.ticks) > 0
        assert max(size.width, size.length) <= LONGEST_LENGTH
    except BadSizeError as refused:
        refused.problem.encode()


@pytest.mark.campaign
@seed(1959)
@given(st.one_of(st.text(), size_signs, size_words), st.sampled_from(Measure))
@settings(deadline=None, max_examples=20_000)
def test_any_text_is_a_size_or_is_refused_at_length(typed: str, measure: Measure) -> None:
    for parse in (parse_length, parse_size):
        try:
            parse(typed, measure)
        except BadSizeError as refused:
            refused.problem.encode()
