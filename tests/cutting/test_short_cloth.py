"""When cloth is short: nearest miss, several pieces together, smaller sizes, what is missing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cutting.check import prove
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.find_set import find_set
from stashkeeper.cutting.fit import counts, find
from stashkeeper.cutting.near_miss import largest_that_fits, nearest_miss, together
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.cutting.shortage import missing_cuts, resized, shrink_to_fit
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size
from tests.cutting.inches import cloth, cut, length, size

MARK = length("1/8")
THREE = [cloth("F1", 18, 21), cloth("F2", 9, 21), cloth("F3", 10, 10)]


def test_together_opens_as_few_pieces_as_hold_the_cuts() -> None:
    # 18 x 21 in holds twelve 5 in squares, 9 x 21 four, 10 x 10 four (geometry).
    shelf = Shelf.of(THREE)
    assert [held.holds for held in together(shelf, size(5, 5), 12)] == [12]
    # Thirteen need one more piece: of two that hold four, the smaller one is opened.
    assert [held.position for held in together(shelf, size(5, 5), 13)] == [0, 2]
    assert [held.position for held in together(shelf, size(5, 5), 20)] == [0, 2, 1]
    assert together(shelf, size(5, 5), 21) == ()


def test_the_nearest_miss_is_the_piece_that_holds_most() -> None:
    miss = nearest_miss(Shelf.of(THREE), size(5, 5))
    assert miss is not None
    assert (miss.position, miss.holds) == (0, 12)
    assert nearest_miss(Shelf.of(THREE), size(22, 22)) is None
    assert nearest_miss(Shelf.of([]), size(5, 5)) is None


def test_the_largest_square_that_fits_16_times() -> None:
    # Four by four squares of 18 x 21 in are 4 1/2 in wide (the printed chart has the same 16).
    assert largest_that_fits(Shelf.of(THREE), size(5, 5), 16, MARK) == size("4 1/2", "4 1/2")


def test_no_size_fits_a_billion_times() -> None:
    assert largest_that_fits(Shelf.of(THREE), size(5, 5), 10**9, MARK) is None


eighths = st.integers(8, 120).map(lambda n: Length(n * TICKS_PER_INCH // 8))


@settings(deadline=None, max_examples=60)
@given(st.lists(st.builds(Size, eighths, eighths), min_size=1, max_size=8),
       st.builds(Size, eighths, eighths), st.integers(1, 30))  # fmt: skip
def test_the_largest_size_fits_and_the_next_mark_does_not(
    rooms: list[Size], wanted: Size, count: int
) -> None:
    shelf = Shelf.from_ticks(
        [room.width.ticks for room in rooms],
        [room.length.ticks for room in rooms],
        [False for _ in rooms],
    )
    best = largest_that_fits(shelf, wanted, count, MARK)
    if best is None:
        return
    assert len(find(shelf, best, count))
    assert best.width <= wanted.width
    assert best.length <= wanted.length
    if best.width == best.length and wanted.width == wanted.length and best != wanted:
        larger = Size(best.width + MARK, best.length + MARK)
        assert not len(find(shelf, larger, count))


@settings(deadline=None, max_examples=60)
@given(st.lists(st.builds(Size, eighths, eighths), min_size=1, max_size=8),
       st.builds(Size, eighths, eighths), st.integers(1, 60))  # fmt: skip
def test_together_holds_the_count_or_the_whole_shelf_does_not(
    rooms: list[Size], wanted: Size, count: int
) -> None:
    shelf = Shelf.from_ticks(
        [room.width.ticks for room in rooms],
        [room.length.ticks for room in rooms],
        [False for _ in rooms],
    )
    chosen = together(shelf, wanted, count)
    held = counts(shelf, wanted)
    assert len({one.position for one in chosen}) == len(chosen)
    if chosen:
        assert sum(one.holds for one in chosen) >= count
        assert sum(one.holds for one in chosen) - min(one.holds for one in chosen) < count
    else:
        assert held.sum() < count


def test_smaller_cuts_keep_their_seams_and_proportions() -> None:
    # Finished 6 and 3 x 6 in become finished 5 1/2 and 2 3/4 x 5 1/2 in; seams of 1/4 in stay.
    cuts = [cut("block", 6.5, 6.5), cut("rail", 3.5, 6.5)]
    block, rail, _ = resized([*cuts, cut("sliver", "1/2", 6.5)], length(5.5))
    assert block.size == size(6, 6)
    assert rail.size == size("3 1/4", 6)


def test_a_smaller_block_is_found_in_half_inches_of_finished_size(engine: Engine) -> None:
    # 18 x 21 in gives six 6 1/2 in squares and nine of 6 in: finished 5 1/2 in (geometry).
    pieces = THREE[:1]
    shrunk = shrink_to_fit(pieces, [cut("block", 6.5, 6.5, 9)], engine=engine, seconds=1)
    assert shrunk is not None
    assert (shrunk.before, shrunk.after) == (length(6), length(5.5))
    assert [(one.name, one.after) for one in shrunk.changes] == [("block", size(6, 6))]
    prove(shrunk.plans.scraps_first, pieces, shrunk.cuts)


def test_no_smaller_size_is_promised_where_none_fits(engine: Engine) -> None:
    assert shrink_to_fit(THREE, [cut("block", 6.5, 6.5, 10**6)], engine=engine) is None


def test_exactly_the_missing_cuts_are_named(engine: Engine) -> None:
    missing = missing_cuts(THREE[:1], [cut("block", 6.5, 6.5, 9)], engine=engine)
    assert [(one.name, one.count) for one in missing] == [("block", 3)]
    assert missing_cuts(THREE[:1], [cut("block", 6.5, 6.5, 6)], engine=engine) == ()


def test_a_billion_cuts_are_answered_at_once(engine: Engine) -> None:
    (missing,) = missing_cuts(THREE, [cut("A", 5, 5, 10**9)], engine=engine)
    assert missing.count == 10**9 - 20


def test_cuts_of_different_sizes_say_what_is_missing(engine: Engine) -> None:
    cuts = [cut("large", 17, 20), cut("small", 4, 4, 4), cut("giant", 40, 40)]
    missing = missing_cuts(THREE, cuts, engine=engine, seconds=0.2)
    assert [(one.name, one.count) for one in missing] == [("giant", 1)]


def test_a_set_of_sizes_is_found_on_the_pieces_that_give_all_of_it(engine: Engine) -> None:
    # Three 6 1/2 in squares and five strips 1 1/2 in wide and 10 in long: F1 holds them, the
    # smaller pieces lack the area (geometry).
    cuts = [cut("square", 6.5, 6.5, 3), cut("strip", 1.5, 10, 5)]
    found = find_set(THREE, cuts, engine=engine)
    assert [one.position for one in found] == [0]
    assert found[0].largest_left.area > 0


@pytest.mark.parametrize("count", [0, -1, 10**9 + 1])
def test_absurd_counts_are_refused(engine: Engine, count: int) -> None:
    with pytest.raises(BadCutError, match=r"^The cut “A” is wanted .* times\."):
        find_set(THREE, [cut("A", 5, 5, count)], engine=engine)


def test_more_cuts_than_one_plan_can_tell_are_refused(engine: Engine) -> None:
    bolt = [cloth("B", 42, 7200)]
    with pytest.raises(BadCutError, match=r"^A plan for 30000 cuts was asked for\."):
        missing_cuts(bolt, [cut("A", 2, 3, 30_000)], engine=engine)
    with pytest.raises(BadCutError, match=r"^A plan for 1000000007 cuts was asked for\."):
        missing_cuts(bolt, [cut("A", 2, 3, 10**9), cut("B", 2, 2, 7)], engine=engine)


def test_a_cut_whose_seams_would_meet_is_refused(engine: Engine) -> None:
    with pytest.raises(BadCutError, match=r"^The cut “A” is narrower than 1/4 in"):
        missing_cuts(THREE, [cut("A", "3/16", 3)], engine=engine)


def test_an_empty_shelf_misses_everything(engine: Engine) -> None:
    missing = missing_cuts([], [cut("A", 2, 3, 2), cut("B", 4, 4)], engine=engine)
    assert [(one.name, one.count) for one in missing] == [("A", 2), ("B", 1)]


def test_two_cuts_of_one_name_are_refused(engine: Engine) -> None:
    with pytest.raises(BadCutError, match=r"^Two cuts are called “A”\."):
        missing_cuts(THREE, [cut("A", 5, 5), cut("A", 4, 4)], engine=engine)


def test_no_cut_at_all_is_refused(engine: Engine) -> None:
    with pytest.raises(BadCutError, match="There is no cut to plan"):
        missing_cuts(THREE, [], engine=engine)
