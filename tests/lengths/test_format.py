"""Sizes are shown at a ruler mark, never beyond the truth, and can be typed back."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.lengths.format import RULER_MARK, format_exactly, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import LONGEST_LENGTH, parse_length, parse_size
from stashkeeper.lengths.size import Size

lengths = st.integers(1, LONGEST_LENGTH.ticks).map(Length)
measures = st.sampled_from(Measure)
EIGHTHS = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"]


@pytest.mark.parametrize("eighths", range(1, 8))
def test_eighths_are_real_fractions(eighths: int) -> None:
    length = Length.from_inches(9) + Length.from_inches("1/8") * eighths
    assert format_length(length, Measure.INCHES) == f"9{EIGHTHS[eighths]} in"


@pytest.mark.parametrize(
    ("inches", "down", "up"),
    [("18", "18 in", "18 in"), ("7/8", "⅞ in", "⅞ in"), ("9 15/16", "9⅞ in", "10 in"),
     ("1/16", "0 in", "⅛ in"), ("0", "0 in", "0 in"), ("-1/2", "−½ in", "−½ in")],
)  # fmt: skip
def test_inches(inches: str, down: str, up: str) -> None:
    length = Length.from_inches(sum_of(inches))
    assert format_length(length, Measure.INCHES) == down
    assert format_length(length, Measure.INCHES, Rounding.UP) == up


def sum_of(mixed: str) -> str:
    whole, _, part = mixed.rpartition(" ")
    over, _, under = part.partition("/")
    return f"{int(whole) * int(under) + int(over)}/{under}" if whole else mixed


@pytest.mark.parametrize(
    ("millimetres", "down", "up"),
    [("251", "25.1 cm", "25.1 cm"), ("250", "25 cm", "25 cm"), ("1000", "100 cm", "100 cm"),
     ("5", "0.5 cm", "0.5 cm"), ("250.9", "25 cm", "25.1 cm"), ("0", "0 cm", "0 cm")],
)  # fmt: skip
def test_centimetres(millimetres: str, down: str, up: str) -> None:
    length = Length.from_millimetres(millimetres)
    assert format_length(length, Measure.CENTIMETRES) == down
    assert format_length(length, Measure.CENTIMETRES, Rounding.UP) == up


def test_a_size_is_width_by_length_in_one_unit() -> None:
    size = Size(Length.from_inches(21), Length.from_inches("143/8"))
    assert format_size(size, Measure.INCHES) == "21 × 17⅞ in"
    assert format_size(size, Measure.CENTIMETRES) == "53.3 × 45.4 cm"
    assert format_size(size, Measure.CENTIMETRES, Rounding.UP) == "53.4 × 45.5 cm"


def test_exactly() -> None:
    assert format_exactly(Length.from_inches("145/16"), Measure.INCHES) == "9 1/16 in"
    assert format_exactly(Length.from_inches("1/64"), Measure.INCHES) == "1/64 in"
    assert format_exactly(Length.from_inches(9), Measure.INCHES) == "9 in"
    assert format_exactly(Length.from_inches("1/2"), Measure.CENTIMETRES) == "1.27 cm"


@given(lengths, measures)
@settings(deadline=None)
def test_what_we_have_is_never_shown_larger_nor_what_we_need_smaller(
    length: Length, measure: Measure
) -> None:
    if length >= RULER_MARK[measure]:
        shown = parse_length(format_length(length, measure), measure)
        assert length - RULER_MARK[measure] < shown <= length
    if length <= LONGEST_LENGTH - RULER_MARK[measure]:
        shown = parse_length(format_length(length, measure, Rounding.UP), measure)
        assert length <= shown < length + RULER_MARK[measure]


@given(measures, st.sampled_from(Rounding), st.data())
@settings(deadline=None)
def test_a_ruler_mark_comes_back_as_it_was(
    measure: Measure, rounding: Rounding, data: st.DataObject
) -> None:
    mark = RULER_MARK[measure]
    marks = st.integers(1, LONGEST_LENGTH // mark)
    length, width = mark * data.draw(marks), mark * data.draw(marks)
    for read_with in Measure:
        assert parse_length(format_length(length, measure, rounding), read_with) == length
        size = Size(width, length)
        assert parse_size(format_size(size, measure, rounding), read_with).size == size


@given(lengths, measures, measures)
@settings(deadline=None)
def test_shown_exactly_every_length_comes_back_as_it_was(
    length: Length, measure: Measure, read_with: Measure
) -> None:
    assert parse_length(format_exactly(length, measure), read_with) == length
