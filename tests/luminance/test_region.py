"""Crops: fractions of the upright photo, and sentences for those that leave nothing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadCropError
from stashkeeper.luminance.region import (
    WHOLE_FRAME,
    WHOLE_LESS_MARGIN,
    Box,
    Crop,
    parse_crop,
)


def test_a_crop_is_read_as_left_top_right_bottom() -> None:
    assert parse_crop(" 0.1, .2,0.9,1 ") == Crop(0.1, 0.2, 0.9, 1.0)


def test_the_whole_frame_is_zero_to_one() -> None:
    assert parse_crop("0,0,1,1") == WHOLE_FRAME
    assert WHOLE_FRAME.pixels(400, 300) == Box(0, 0, 400, 300)


def test_the_default_leaves_a_margin_on_every_side() -> None:
    assert WHOLE_LESS_MARGIN.pixels(400, 300) == Box(40, 30, 360, 270)


@pytest.mark.parametrize(
    "text",
    [
        "", "0.1", "0.1,0.2,0.9", "0,0,1,1,1", "a,b,c,d", "0.9,0.1,0.1,0.9", "0.5,0,0.5,1",
        "-0.1,0,1,1", "0,0,1.01,1", "nan,0,1,1", "0,0,inf,1", "10,10,90,90", "½,0,1,1",
    ],
)  # fmt: skip
def test_an_impossible_crop_gets_its_sentence(text: str) -> None:
    with pytest.raises(BadCropError) as told:
        parse_crop(text)
    assert "0.1,0.1,0.9,0.9" in told.value.remedy


def test_a_crop_that_is_no_crop_is_quoted() -> None:
    with pytest.raises(BadCropError, match='"centre" is not a crop'):
        parse_crop("centre")


@given(
    st.lists(st.floats(0, 1), min_size=4, max_size=4), st.integers(1, 9000), st.integers(1, 9000)
)
@settings(deadline=None, max_examples=200)
def test_a_crop_always_leaves_pixels_inside_the_photo(
    edges: list[float], width: int, height: int
) -> None:
    (left, right), (top, bottom) = sorted(edges[:2]), sorted(edges[2:])
    if left == right or top == bottom:
        return
    box = Crop(left, top, right, bottom).pixels(width, height)
    assert 0 <= box.left < box.right <= width
    assert 0 <= box.top < box.bottom <= height


@given(st.lists(st.decimals(0, 1, places=6), min_size=4, max_size=4, unique=True))
@settings(deadline=None, max_examples=100)
def test_what_a_crop_says_of_itself_can_be_typed_again(edges: list[object]) -> None:
    numbers = [float(edge) for edge in edges]  # type: ignore[arg-type]
    (left, right), (top, bottom) = sorted(numbers[:2]), sorted(numbers[2:])
    crop = Crop(left, top, right, bottom)
    assert parse_crop(str(crop)) == crop
