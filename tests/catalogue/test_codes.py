"""Codes a person can read aloud, given out once for good."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.catalogue.codes import code_of, normalise_code, order_of
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.pieces import piece_by_code, pieces_by_codes
from stashkeeper.catalogue.undo import undo
from stashkeeper.errors import NotFoundError
from tests.catalogue.made import add


@pytest.mark.parametrize(
    ("order", "code"),
    [
        (1, "A1"),
        (99, "A99"),
        (100, "B1"),
        (8 * 99 + 1, "J1"),  # the ninth letter is J, for I is left out
        (24 * 99, "Z99"),
        (24 * 99 + 1, "AA1"),
        (25 * 99 + 1, "AB1"),
        (24 * 99 + 24 * 24 * 99, "ZZ99"),
        (24 * 99 + 24 * 24 * 99 + 1, "AAA1"),
    ],
)
def test_codes_follow_one_another(order: int, code: str) -> None:
    assert code_of(order) == code
    assert order_of(code) == order


@given(st.integers(1, 2_000_000))
@settings(deadline=None, max_examples=100)
def test_no_two_orders_have_one_code_and_none_looks_like_a_number(order: int) -> None:
    code = code_of(order)
    assert code != code_of(order + 1)
    assert not {"I", "O"} & set(code)
    assert normalise_code(code) == code
    assert order_of(code) == order


@pytest.mark.parametrize("typed", ["A7", "a7", " a 7 ", "A07", "ａ７", "a\t7"])
def test_a_code_may_be_typed_in_many_ways(typed: str) -> None:
    assert normalise_code(typed) == "A7"


def test_a_code_is_never_given_out_again(catalogue: Catalogue) -> None:
    assert add(catalogue, "Blue dots", 2) == ["A1", "A2"]
    with deed(catalogue, "undo") as doing:
        undo(doing)
    assert add(catalogue, "Red dots") == ["A3"]


def test_an_unknown_code_is_quoted_with_its_neighbours(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots", 12)
    with reading(catalogue) as session:
        with pytest.raises(NotFoundError, match=r"“a13”.*Did you mean .*A1") as told:
            piece_by_code(session, "a13")
        assert "A13" not in told.value.remedy
        with pytest.raises(NotFoundError, match="“B7”, “Q9”"):
            pieces_by_codes(session, ["A1", "B7", "Q9"])
        assert [p.code for p in pieces_by_codes(session, ["a2", "A1", "A 2"])] == ["A2", "A1"]


ANYTHING = (
    "", "%", "_", "'; DROP TABLE piece; --", "😀", "A" * 10_000, "A\x00", "\ud83e", "A" + "9" * 40,
)  # fmt: skip


def test_anything_at_all_may_be_asked_for(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with reading(catalogue) as session:
        for typed in ANYTHING:
            with pytest.raises(NotFoundError):
                piece_by_code(session, typed)
