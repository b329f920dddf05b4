"""What becomes of a layout in a project: kept and read back, turned, and as large as typed."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.actions.making import Making, Sash, Wish, arranged, methods_of
from stashkeeper.actions.need_words import read_need
from stashkeeper.cloth.value import Value
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.layout import patches
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.rearrange import mirrored, turned
from stashkeeper.quilts.sewing import Finish, Sewing

STRIP = Length.from_inches(40)
lengths = st.integers(1, 80_000).map(Length)
names = st.text("abcdefghij ", min_size=1, max_size=12)
wishes = st.builds(Wish, st.none() | st.sampled_from(Value), st.none() | st.integers(1, 99))
makings = st.builds(
    Making,
    unit=lengths,
    columns=st.none() | st.integers(1, 40),
    rows=st.none() | st.integers(1, 40),
    turned=st.integers(0, 3),
    mirrored=st.booleans(),
    exchanged=st.lists(st.tuples(names, names), max_size=2).map(tuple),
    sash=st.none() | st.builds(Sash, names, lengths, names, st.booleans()),
    on_point=st.none() | st.tuples(names, names),
    borders=st.lists(st.builds(Border, names, lengths, lengths), max_size=3).map(tuple),
    sewing=st.builds(Sewing, lengths, lengths, lengths, st.sampled_from(Finish)),
    methods=st.builds(methods_of, st.sampled_from([2, 4, 8]), st.sampled_from([1, 4])),
    wishes=st.dictionaries(names, wishes, max_size=3),
)


@settings(max_examples=60, deadline=None)
@given(makings)
def test_what_is_kept_is_read_back(making: Making) -> None:
    kept = json.loads(json.dumps(making.to_plain()))
    assert Making.from_plain(kept) == making


def test_a_mitred_border_is_read_back() -> None:
    border = Border("edge", STRIP, None, Corner.MITRED)
    making = Making(STRIP, borders=(border,))
    (read,) = Making.from_plain(making.to_plain()).borders
    assert (read.role, read.width, read.end_width, read.corner) == (
        "edge", STRIP, STRIP, Corner.MITRED,
    )  # fmt: skip


@pytest.mark.parametrize("name", layout_names())
def test_a_quilt_lies_as_it_was_typed_however_it_is_turned(name: str) -> None:
    block = traditional_layout(name)
    # Twice the block one way and four times the other is a size that every layout can have.
    columns, rows = block.columns * 4, block.rows * 2
    if block.columns != block.rows:
        columns = rows = block.columns * block.rows * 2
    for quarters in range(4):
        try:
            layout = arranged(
                block, Making(STRIP, columns=columns, rows=rows, turned=quarters, mirrored=True)
            )
        except StashkeeperError as error:
            assert block.growth == "enlarge", error
            continue
        assert (layout.columns, layout.rows) == (columns, rows)
        back = turned(mirrored(layout), -quarters % 4)
        grown = arranged(
            block,
            Making(STRIP, columns=back.columns, rows=back.rows),
        )
        assert sorted(map(str, patches(back))) == sorted(map(str, patches(grown)))


@pytest.mark.parametrize(
    ("typed", "role", "value", "fabrics", "each", "cuts"),
    [
        ("light: 4", "light", Value.LIGHT, 4, False, []),
        ("light: 4 fabrics", "light", Value.LIGHT, 4, False, []),
        ("light: 4, each 10 x 6 1/2 in square", "light", Value.LIGHT, 4, True, [(6.5, 6.5, 10)]),
        ("light: 4 each 10 x 6½ in square", "light", Value.LIGHT, 4, True, [(6.5, 6.5, 10)]),
        ("Dark: 20 x 4 1/2 in square", "dark", Value.DARK, None, False, [(4.5, 4.5, 20)]),
        ("sky light: giving 3 x 5 in square", "sky", Value.LIGHT, None, False, [(5, 5, 3)]),
        ("light sky: 2 fabrics giving 3 x 5 in square", "sky", Value.LIGHT, 2, False, [(5, 5, 3)]),
        ("edge: 4 x 2 1/2 in x 40 in", "edge", None, None, False, [(2.5, 40, 4)]),
        ("edge: 4 x 40 in x 2 1/2 in", "edge", None, None, False, [(2.5, 40, 4)]),
        (
            "dark: 1, each 4 x 5 in square and 2 x 3 in square",
            "dark", Value.DARK, 1, True, [(5, 5, 4), (3, 3, 2)],
        ),
    ],
)  # fmt: skip
def test_needs_as_people_type_them(
    typed: str,
    role: str,
    value: Value | None,
    fabrics: int | None,
    each: bool,
    cuts: list[tuple[float, float, int]],
) -> None:
    need = read_need(typed, Measure.INCHES, STRIP)
    assert (need.role, need.value, need.fabrics, need.each) == (role, value, fabrics, each)
    found = [
        (float(cut.key.width.inches), float(cut.key.length.inches), cut.count)
        for cut in need.cuts
        if isinstance(cut.key, Size)
    ]
    assert found == cuts
    assert (need.area > 0) == (len(cuts) > 1)


@settings(max_examples=200, deadline=None)
@given(st.text("light dark:,each 0123456789x½ in()=", max_size=40))
def test_whatever_is_typed_for_a_need_is_read_or_refused_in_words(text: str) -> None:
    try:
        read_need(text, Measure.INCHES, STRIP)
    except StashkeeperError as error:
        assert error.problem.endswith(".") and error.remedy
