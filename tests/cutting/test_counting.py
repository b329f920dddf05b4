"""How many equal cuts a piece holds: printed charts, the full table, and plain truths."""

import csv
import re
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cutting.fit import counts, find
from stashkeeper.cutting.sections import EqualCuts
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.cutting.tree import leaves
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size
from tests.cutting.conftest import HERE
from tests.cutting.gilmore_gomory import full_table
from tests.cutting.inches import size

EIGHTH = TICKS_PER_INCH // 8


def shelf(*sizes: Size, directional: bool = False) -> Shelf:
    return Shelf.from_ticks(
        [one.width.ticks for one in sizes],
        [one.length.ticks for one in sizes],
        [directional for _ in sizes],
    )


def printed() -> list[tuple[str, int, int]]:
    """Return the rows of the charts: what is given, the count, the cautious count printed."""
    with (HERE / "printed_counts.csv").open(encoding="utf-8", newline="") as file:
        rows = [(row["given"], re.findall(r"\d+", row["expect"])) for row in csv.DictReader(file)]
    return [(given, int(numbers[0]), int(numbers[-1])) for given, numbers in rows]


@pytest.mark.parametrize(("given", "count", "cautious"), printed())
def test_squares_from_a_fat_quarter_and_from_yardage_as_printed(
    given: str, count: int, cautious: int
) -> None:
    """Sources stand in printed_counts.csv, row by row."""
    width, length, whole, part = re.match(
        r"(\d+) x (\d+) in, no allowance; (\d+)(?: (\d/\d))? in", given
    ).groups()  # type: ignore[union-attr]
    side = Length.from_inches(int(whole) + Fraction(part or 0))
    held = counts(shelf(size(width, length)), Size(side, side))
    assert held.tolist() == [count]
    assert held[0] >= cautious


@settings(deadline=None, max_examples=60)
@given(st.integers(2, 13), st.integers(2, 13))
def test_find_agrees_with_the_full_table_on_every_piece_up_to_48_eighths(p: int, q: int) -> None:
    largest = 48
    table = full_table(largest, largest, [(p, q, 1.0)], turning=True)
    widths, lengths = np.meshgrid(range(largest + 1), range(largest + 1), indexing="ij")
    pieces = Shelf(
        widths.ravel() * EIGHTH, lengths.ravel() * EIGHTH, np.zeros(widths.size, dtype=bool)
    )
    cut = Size(Length(p * EIGHTH), Length(q * EIGHTH))
    assert (counts(pieces, cut).reshape(table.shape) == table).all()


@pytest.mark.campaign
@pytest.mark.parametrize("p", range(2, 12))
def test_find_agrees_with_the_full_table_on_larger_pieces(p: int) -> None:
    largest = 110
    for q in range(p + 1, 18):
        table = full_table(largest, largest, [(p, q, 1.0)], turning=True)
        widths, lengths = np.meshgrid(range(largest + 1), range(largest + 1), indexing="ij")
        pieces = Shelf(
            widths.ravel() * EIGHTH, lengths.ravel() * EIGHTH, np.zeros(widths.size, dtype=bool)
        )
        cut = Size(Length(p * EIGHTH), Length(q * EIGHTH))
        assert (counts(pieces, cut).reshape(table.shape) == table).all(), (p, q)


sides = st.integers(2, 20).map(lambda eighths: eighths * EIGHTH)
rooms = st.integers(1, 400).map(lambda eighths: eighths * EIGHTH)


@settings(deadline=None, max_examples=150)
@given(sides, sides, rooms, rooms, st.data())
def test_what_was_counted_can_be_laid_out(
    width: int, length: int, wide: int, long: int, data: st.DataObject
) -> None:
    kind = EqualCuts(0, width, length)
    held = kind.capacity(wide, long)
    assert counts(shelf(Size(Length(wide), Length(long))), Size(Length(width), Length(length))) == [
        held
    ]
    assert kind.best_tree(wide, long, held + 1) is None
    if held:
        count = data.draw(st.integers(1, held))
        tree = kind.best_tree(wide, long, count)
        assert tree is not None
        assert tree.width <= wide
        assert tree.length <= long
        assert len(list(leaves(tree))) == count


@settings(deadline=None, max_examples=100)
@given(st.lists(st.tuples(rooms, rooms, st.booleans()), min_size=1, max_size=30), sides, sides,
       st.integers(1, 40), st.booleans())  # fmt: skip
def test_find_keeps_what_holds_enough_and_nothing_else_smallest_first(
    pieces: list[tuple[int, int, bool]], width: int, length: int, count: int, turning: bool
) -> None:
    here = Shelf.from_ticks(*map(list, zip(*pieces, strict=True)))
    cut = Size(Length(width), Length(length))
    held = counts(here, cut, turning)
    found = find(here, cut, count, turning)
    assert sorted(found.positions.tolist()) == np.flatnonzero(held >= count).tolist()
    assert (found.holds == held[found.positions]).all()
    areas = here.widths[found.positions] * here.lengths[found.positions]
    assert (np.diff(areas) >= 0).all()


@settings(deadline=None, max_examples=100)
@given(rooms, rooms, sides, sides, st.integers(1, 30), st.booleans())
def test_what_find_says_is_left_can_be_set_aside(
    wide: int, long: int, width: int, length: int, count: int, turning: bool
) -> None:
    here = shelf(Size(Length(wide), Length(long)))
    cut = Size(Length(width), Length(length))
    for found in find(here, cut, count, turning):
        left = found.largest_left
        rest = (
            Size(Length(wide) - left.width, Length(long))
            if left.length.ticks == long
            else Size(Length(wide), Length(long) - left.length)
        )
        assert left.area == 0 or counts(shelf(rest), cut, turning)[0] >= count


def test_a_directional_print_is_not_turned() -> None:
    # 9 x 7 in: two stand in 18 x 7 in; turned by a quarter none would.
    piece, lying = size(18, 7), size(7, 9)
    assert counts(shelf(piece), lying).tolist() == [2]
    assert counts(shelf(piece, directional=True), lying).tolist() == [0]
    assert counts(shelf(piece), lying, turning=False).tolist() == [0]


def test_turning_finds_what_rows_and_columns_alone_do_not() -> None:
    # 5 x 5 units hold four of 2 x 3 only as a pinwheel, which is not cut edge to edge; 5 x 6 hold
    # five: two rows of 2 x 3 upright (geometry: 30 square units, five times six).
    assert counts(shelf(size(5, 5)), size(2, 3)).tolist() == [3]
    assert counts(shelf(size(5, 6)), size(2, 3)).tolist() == [5]


@pytest.mark.parametrize("count", [0, -3])
def test_a_count_below_one_is_refused(count: int) -> None:
    with pytest.raises(BadCutError, match=r"^A cut was wanted .* times\."):
        find(shelf(size(18, 22)), size(4, 4), count)


def test_a_billion_cuts_are_found_nowhere() -> None:
    assert len(find(shelf(size(42, 7200)), size(6, 6), 10**9)) == 0


def test_a_cut_larger_than_everything_is_found_nowhere() -> None:
    assert len(find(shelf(size(18, 22), size(42, 36)), size(43, 100), 1)) == 0


def test_a_cut_whose_seams_would_meet_is_refused() -> None:
    with pytest.raises(BadCutError, match="under 1/4 in"):
        find(shelf(size(18, 22)), size("1/8", 4), 1)


def test_an_empty_shelf_holds_nothing() -> None:
    assert len(find(shelf(), size(2, 3), 1)) == 0


def test_a_bolt_of_200_yards_is_counted_exactly() -> None:
    # 42 in wide, 7200 in long, no waste: 21 columns of 2 in by 2400 rows of 3 in.
    assert counts(shelf(size(42, 7200)), size(2, 3)).tolist() == [21 * 2400]
