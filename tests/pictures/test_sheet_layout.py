"""Everything on a sheet has a place of its own, whatever there is to show."""

import itertools
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.value import Value
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.sheet import Group
from stashkeeper.pictures.sheet_layout import Grid, Room, SheetLayout, Tile, lay_out
from tests.pictures.made import entry

FIRST = Room(left=254.0, top=88.0, width=508.0, bottom=1000.0)
LATER = Room(left=254.0, top=88.0, width=508.0, bottom=1040.0)
MIDDLES = {Value.LIGHT: 120.0, Value.MEDIUM: 550.0, Value.DARK: 980.0}


def groups(*counts: int) -> list[Group]:
    numbers = itertools.count()
    return [
        Group(value, tuple(entry(next(numbers), 50.0) for _ in range(count)))
        for value, count in zip(Value, counts, strict=True)
    ]


def laid_out(*counts: int, lines: int = 3, first: Room = FIRST) -> SheetLayout:
    return lay_out(groups(*counts), lines, first, LATER, lambda group: MIDDLES[group.value])


def tiles(layout: SheetLayout) -> Iterator[tuple[int, Tile]]:
    for page, blocks in enumerate(layout.pages):
        for block in blocks:
            for tile in block.tiles:
                yield page, tile


def box(tile: Tile, grid: Grid) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a tile with its caption."""
    bottom = tile.y + 2 * grid.height + 2 + grid.caption
    return tile.x, tile.y, tile.x + grid.width, bottom


any_counts = st.tuples(*[st.integers(0, 60)] * 3)


@given(any_counts, st.integers(2, 4), st.sampled_from([FIRST, Room(254.0, 88.0, 508.0, 760.0)]))
@settings(deadline=None, max_examples=40)
def test_every_entry_is_shown_once_in_order_inside_the_room_and_nothing_overlaps(
    counts: tuple[int, int, int], lines: int, first: Room
) -> None:
    layout = laid_out(*counts, lines=lines, first=first)
    codes = [tile.entry.code for _, tile in tiles(layout)]
    assert codes == [one.code for group in groups(*counts) for one in group.entries]
    boxes = [(page, *box(tile, layout.grid)) for page, tile in tiles(layout)]
    for page, left, top, right, bottom in boxes:
        room = LATER if page else first
        assert room.left <= left
        assert right <= room.left + room.width + 1e-6
        assert room.top <= top
        assert bottom <= room.bottom + 1e-6
    for one, other in itertools.pairwise(sorted(boxes, key=lambda b: (b[0], b[2], b[1]))):
        beside = other[1] >= one[3]
        below = other[2] >= one[4]
        assert one[0] != other[0] or beside or below


def test_pictures_stand_on_whole_dots_so_that_nothing_resamples_them() -> None:
    layout = laid_out(11, 10, 9)
    for _, tile in tiles(layout):
        for place in (tile.x - FIRST.left, tile.y, layout.grid.width, layout.grid.height):
            assert place * DOTS_PER_PX == pytest.approx(round(place * DOTS_PER_PX))


@pytest.mark.parametrize("counts", [(1, 0, 0), (3, 3, 3), (8, 8, 8), (10, 10, 10), (12, 4, 14)])
def test_thirty_pieces_stand_on_one_page(counts: tuple[int, int, int]) -> None:
    assert len(laid_out(*counts).pages) == 1


def test_few_pieces_are_shown_large() -> None:
    assert laid_out(1, 0, 0).grid.width > 2 * laid_out(10, 10, 10).grid.width


def test_a_group_that_runs_over_says_that_it_goes_on() -> None:
    layout = laid_out(90, 2, 0)
    lights = [
        block for blocks in layout.pages for block in blocks if block.group.value is Value.LIGHT
    ]
    assert [block.continued for block in lights] == [False, *([True] * (len(lights) - 1))]
    assert len(lights) > 1


def test_a_group_stands_beside_its_stretch_of_the_rule_where_there_is_room() -> None:
    (blocks,) = laid_out(0, 1, 0, lines=2).pages
    medium = blocks[1]
    height = laid_out(0, 1, 0, lines=2).grid.block(1)
    assert medium.top + height / 2 == pytest.approx(550.0, abs=1)
