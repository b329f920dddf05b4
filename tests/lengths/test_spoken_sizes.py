"""Sizes as they are spoken at the cutting counter, and sizes that no piece of cloth has.

Three quarters of a yard are 27 in, a yard and a half 54 in (the yard is 36 in: International Yard
and Pound Agreement, 1959). No quilt cloth on sale is wider than about 3⅓ yards (120 in backing,
common practice).
"""

import pytest

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.parse import parse_piece_size, parse_size


@pytest.mark.parametrize(
    ("typed", "long"),
    [
        ("three-quarter yard", 27), ("3-quarter yard", 27), ("two-thirds yard", 24),
        ("two-third yard", 24), ("a yard and a half", 54), ("1 yard and a half", 54),
        ("2 yards and a quarter", 81), ("1 yard and 9 inches", 45), ("1/2 yd.", 18),
    ],
)  # fmt: skip
def test_a_length_off_the_bolt_as_it_is_spoken(typed: str, long: int) -> None:
    assert parse_size(typed, Measure.INCHES).size.length == Length.from_inches(long)


def test_a_square_may_be_said_twice() -> None:
    said = parse_size('10" x 10" square', Measure.INCHES)
    assert said.size.width == said.size.length == Length.from_inches(10)
    with pytest.raises(BadSizeError, match="is called square, and its sides differ"):
        parse_size("10 x 12 square", Measure.INCHES)


def test_a_phones_full_stop_is_no_part_of_the_size() -> None:
    assert parse_size("18 x 21.", Measure.INCHES) == parse_size("18 x 21", Measure.INCHES)
    with pytest.raises(BadSizeError, match=r"“\.” is not a size"):
        parse_size(".", Measure.INCHES)


def test_several_pieces_are_told_how_to_say_so() -> None:
    with pytest.raises(BadSizeError) as refused:
        parse_size("2 fat quarters", Measure.INCHES)
    assert "how many there are is said apart" in refused.value.problem


def test_what_to_type_instead_has_a_mark_on_a_ruler() -> None:
    """18/21 in is 0.857…: no ruler has that mark, and nobody could type 3483/4064."""
    with pytest.raises(BadSizeError) as refused:
        parse_size("18/21", Measure.INCHES)
    assert refused.value.remedy == "Type a size such as “18 x 21” or “fat quarter”."


@pytest.mark.parametrize("typed", ["0.001 x 21", "1/64 in x 3", "1 mm x 40 cm", "0.1 strip"])
def test_no_piece_is_narrower_than_a_rulers_mark(typed: str) -> None:
    with pytest.raises(BadSizeError, match="narrower than any mark of a ruler"):
        parse_piece_size(typed, Measure.INCHES)


@pytest.mark.parametrize("typed", ["18' x 21'", "200 yd x 200 yd", "5000 x 6000 mm"])
def test_no_piece_is_wider_than_any_cloth(typed: str) -> None:
    """Feet for inches is the slip behind `18' x 21'`."""
    with pytest.raises(BadSizeError, match="wider than 5 yards"):
        parse_piece_size(typed, Measure.INCHES)


def test_wide_backing_and_a_whole_bolt_are_pieces() -> None:
    backing = parse_piece_size("120 in x 3 yd", Measure.INCHES).size
    assert (backing.width, backing.length) == (Length.from_inches(120), Length.from_inches(108))
    assert parse_piece_size("100 yd", Measure.INCHES).size.length == Length.from_inches(3600)
