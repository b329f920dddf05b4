"""Laws of the arithmetic: what is cut, less what the seams take, is what is finished."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.diagonals import over_root_two, times_root_two
from stashkeeper.quilts.setting import corner_square, on_point, side_square
from stashkeeper.quilts.sewing import LARGEST_FINISHED, Finish, Sewing
from stashkeeper.quilts.strips import strip_set, strips_needed
from stashkeeper.quilts.units import (
    batches,
    flying_geese,
    four_patch,
    half_square,
    quarter_square,
)

ROOT_TWO = math.sqrt(2)
INCH = Length.from_inches(1)
finished = st.integers(1, 60 * 8128).map(Length)
sewings = st.builds(Sewing.in_measure, st.sampled_from(Measure), st.sampled_from(Finish))
laws = settings(deadline=None, max_examples=60)


@laws
@given(finished)
def test_diagonals_are_the_next_tick_up(length: Length) -> None:
    assert (times_root_two(length).ticks - 1) ** 2 < 2 * length.ticks**2
    assert times_root_two(length).ticks ** 2 >= 2 * length.ticks**2
    assert 2 * over_root_two(length).ticks ** 2 >= length.ticks**2
    assert 2 * (over_root_two(length).ticks - 1) ** 2 < length.ticks**2


@laws
@given(finished, sewings)
def test_sewn_half_square_triangles_are_large_enough(side: Length, sewing: Sewing) -> None:
    """Sewn up and cut apart, every method leaves at least the unfinished unit.

    Two: a seam beside the diagonal takes s√2 off the side. Four: a quarter of the sewn square has
    the side (cut − 2s) / √2. Eight: four squares of the two-at-a-time kind.
    """
    seam = sewing.seam.ticks
    unfinished = side.ticks + 2 * seam
    two = half_square(side, sewing, 2).cut.ticks - seam * ROOT_TWO
    four = (half_square(side, sewing, 4).cut.ticks - 2 * seam) / ROOT_TWO
    eight = half_square(side, sewing, 8).cut.ticks / 2 - seam * ROOT_TWO
    more = 0.0 if sewing.finish is Finish.EXACT else sewing.trim.ticks - seam * (2 + ROOT_TWO)
    spare = sewing.mark.ticks * 1.001 + 3
    for left in (two, four, eight):
        assert unfinished + more - 0.01 <= left + 2 <= unfinished + more + spare + 2


@laws
@given(finished, sewings)
def test_triangle_areas_less_their_seams_are_the_finished_area(
    side: Length, sewing: Sewing
) -> None:
    """A right triangle with legs f has the area f²/2; its seam takes the rest of the cut one.

    The cut triangle is half (a quarter) of the square; moved in by the seam on all sides its legs
    lose s(2 + √2) (its long side 2s(1 + √2)).
    """
    exact = Sewing(sewing.seam, sewing.mark, sewing.trim, Finish.EXACT)
    leg = half_square(side, exact).exact.ticks - sewing.seam.ticks * (2 + ROOT_TWO)
    assert leg**2 / 2 == pytest.approx(side.ticks**2 / 2, rel=1e-3, abs=side.ticks * 3)
    long_side = quarter_square(side, exact).exact.ticks - sewing.seam.ticks * 2 * (1 + ROOT_TWO)
    assert long_side == pytest.approx(side.ticks, abs=3)


@laws
@given(finished, sewings)
def test_what_is_needed_rounds_up_to_a_ruler_mark_and_no_further(
    side: Length, sewing: Sewing
) -> None:
    exact = Sewing(sewing.seam, sewing.mark, sewing.trim, Finish.EXACT)
    for found in (
        half_square(side, exact, 2),
        half_square(side, exact, 4),
        half_square(side, exact, 8),
        quarter_square(side, exact),
        side_square(side, exact),
        corner_square(side, exact),
    ):
        assert found.cut.ticks % exact.mark.ticks == 0
        assert found.exact <= found.cut < found.exact + exact.mark


@laws
@given(finished, st.sampled_from([1, 4]), sewings)
def test_geese_are_never_short(width: Length, at_once: int, sewing: Sewing) -> None:
    cuts = flying_geese(width, sewing, 4 if at_once == 4 else 1)
    height = -(-width.ticks // 2)
    seam = sewing.seam.ticks
    if at_once == 1:
        assert cuts.goose.width.ticks >= width.ticks + 2 * seam
        assert cuts.sky.ticks >= height + 2 * seam
    else:
        assert cuts.goose.width.ticks >= width.ticks + 2 * seam * (1 + ROOT_TWO) - 0.01
        assert cuts.sky.ticks >= height + seam * (2 + ROOT_TWO) - 0.01


@laws
@given(st.integers(0, 10_000), st.sampled_from([1, 2, 4, 8]))
def test_batches_make_enough_and_none_too_many(units: int, at_once: int) -> None:
    done = batches(units, at_once)
    assert units <= done * at_once < units + at_once


@laws
@given(
    st.lists(st.integers(1, 8).map(lambda n: INCH * n), min_size=1, max_size=6),
    st.integers(1, 8).map(lambda n: INCH * n),
    st.integers(0, 500),
)
def test_strip_sets_give_every_segment(
    strips: list[Length], segment: Length, segments: int
) -> None:
    made = strip_set(strips, segment, segments, INCH * 40, Sewing())
    assert made.sets * made.per_set >= segments
    assert made.segment * made.per_set <= INCH * 40
    cloth = sum(strip.ticks for strip in made.strips)
    assert cloth - (len(strips) - 1) * Sewing().both_seams.ticks == made.width.ticks


def test_a_four_patch_and_a_nine_patch_from_strip_sets() -> None:
    """A 6 in four-patch: 3½ in squares, eleven 3½ in segments from 40 in (common practice)."""
    assert four_patch(INCH * 6, Sewing()) == Length.from_inches("7/2")
    made = strip_set([INCH * 3, INCH * 3], INCH * 3, 24, INCH * 40, Sewing())
    assert (made.per_set, made.sets, made.width) == (11, 3, Length.from_inches("13/2"))
    assert strips_needed(Length.from_inches("7/2"), 24, INCH * 40) == 3


@laws
@given(st.integers(1, 30), st.integers(1, 30), finished)
def test_a_setting_on_point_fills_its_rectangle(across: int, down: int, block: Length) -> None:
    """Blocks, triangles of half a block and corners of a quarter make up width × length."""
    made = on_point(across, down, block)
    blocks = made.blocks + made.between + made.side_triangles / 2 + 4 / 4
    assert blocks == 2 * across * down
    rounded_up = made.finished.width.ticks + made.finished.length.ticks
    assert blocks * block.ticks**2 <= made.finished.area
    assert made.finished.area <= blocks * block.ticks**2 + rounded_up


@pytest.mark.parametrize(
    "wrong", [Length(0), Length(-1), LARGEST_FINISHED + Length(1), INCH * 10**12]
)
def test_sizes_that_no_quilt_has_get_a_sentence(wrong: Length) -> None:
    for ask in (
        lambda: half_square(wrong, Sewing()),
        lambda: quarter_square(wrong, Sewing()),
        lambda: flying_geese(wrong, Sewing(), 1),
        lambda: side_square(wrong, Sewing()),
        lambda: Sewing().cut_size(Size(INCH, wrong)),
    ):
        with pytest.raises(BadSizeError, match=r"not more than nothing|too long"):
            ask()


def test_impossible_sewing_and_counts_get_a_sentence() -> None:
    with pytest.raises(BadSizeError, match="less than nothing"):
        Sewing(seam=-INCH)
    with pytest.raises(BadSizeError, match="less than the seams take"):
        half_square(INCH, Sewing(trim=Length.from_inches("1/2")))
    with pytest.raises(BadSizeError, match="-3 is no possible number of units"):
        batches(-3, 2)
    with pytest.raises(BadSizeError, match="too short for one cut"):
        strips_needed(INCH * 41, 3, INCH * 40)
    with pytest.raises(BadSizeError, match="no strips"):
        strip_set([], INCH, 3, INCH * 40, Sewing())
