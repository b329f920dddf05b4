"""Layout files: what is written reads back the same; every mistake is told, with its place."""

import pytest
from hypothesis import given, settings

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadFileError, BadRequestError
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Growth, Layout, Role, unit_counts
from stashkeeper.quilts.layout_file import read_layout, write_layout
from stashkeeper.quilts.layout_library import traditional_layout
from stashkeeper.quilts.set_blocks import sashed
from stashkeeper.quilts.shapes import UnitKind
from tests.quilts.drawn import layouts, traditional

laws = settings(deadline=None, max_examples=60)

STAR = """\
layout: Evening star
-- A note: two hyphens, and the program looks away.
Grow:   repeat
roles:
  star: dark
  night sky: light
  moon
units:
  . = square: night sky
  # = square 2 x 2: star
  u = flying geese: night sky pointing down, star bottom left and bottom right
  d = Flying Geese 2×1: night sky pointing up, star (set 2) top left, star top right
  l = flying geese: night sky pointing right, star top right and bottom right
  r = flying geese: night sky pointing left, star top left and bottom left
  m = Half-Square Triangles: moon top left, star (own set) bottom right
grid:
  .uu.
  l##r
  l # # r

  . d d m
"""


def mistakes_of(text: str) -> list[tuple[int, str]]:
    """Return the line and sentence of each mistake in the text of a layout file."""
    with pytest.raises(BadFileError) as caught:
        read_layout(text)
    return [(mistake.line, mistake.text) for mistake in caught.value.mistakes]


def changed(old: str, new: str) -> str:
    """Return the evening star with one thing changed."""
    assert STAR.count(old) == 1
    return STAR.replace(old, new)


@laws
@given(layouts() | traditional())
def test_what_is_written_reads_back_the_same(layout: Layout) -> None:
    assert read_layout(write_layout(layout)) == layout


def test_a_file_as_a_quilter_writes_it() -> None:
    star = read_layout(STAR)
    assert (star.name, star.columns, star.rows) == ("Evening star", 4, 4)
    assert star.values == (("star", Value.DARK), ("night sky", Value.LIGHT), ("moon", None))
    assert unit_counts(star) == {
        UnitKind.SQUARE: 4,
        UnitKind.FLYING_GEESE: 4,
        UnitKind.HALF_SQUARE: 1,
    }
    used = {role for placed in star.placed for role in placed.unit.roles}
    assert Role("star", 2) in used
    assert star.growth is Growth.REPEAT


def test_windows_line_ends_and_a_byte_order_mark_change_nothing() -> None:
    assert read_layout("\ufeff" + STAR.replace("\n", "\r\n")) == read_layout(STAR)


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("m = Half-", "m = Hlaf-", 15, "column 7: There is no unit called “Hlaf-Square Trian"),
        ("m = Half-", "m = Hlaf-", 15, "Did you mean “half-square triangle”?"),
        ("moon top left,", "mono top left,", 15,
         "column 30: There is no role “mono”. Did you mean “moon”?"),
        ("moon top left,", "moon,", 15, "column 30: “moon” has no place."),
        ("moon top left,", "moon top right,", 15, "column 29: These places do not make up"),
        ("moon top left,", "moon bottom right,", 15, "column 49: Two roles are bottom right."),
        ("moon top left,", "moon top left,,", 15, "A role is missing here"),
        ("square 2 x 2", "square 2 x 3", 10, "column 14: This square is as long as wide"),
        ("square 2 x 2", "rectangle", 10, "A rectangle needs a size"),
        ("square 2 x 2", "square 0 x 0", 10, "from 1 to 100 columns and rows"),
        ("square 2 x 2", "square 999999999999999 x 2", 10, "from 1 to 100 columns and rows"),
        ("square 2 x 2: star", "square 2 x 2: star, moon", 10, "A square has one role"),
        ("square 2 x 2: star", "bars down: star", 10, "Bars are 2, 3, 4 or 6 roles"),
        ("square 2 x 2: star", "star", 10, "column 6: A unit is a kind, a colon and its roles"),
        ("# = square", "## = square", 10, "column 3: A unit begins with one sign and ="),
        ("l = flying", ". = flying", 13, "column 3: The sign “.” has a unit already"),
        ("  moon\n", "  moon: brihgt\n", 7, "column 9: “brihgt” is no value."),
        ("  moon\n", "  star\n", 7, "column 3: The role “star” is there already"),
        ("  moon\n", "  moon (big)\n", 7, "A role is a word or two without brackets"),
        ("repeat", "sideways", 3, "column 9: No layout grows so."),
        ("layout: Evening", "layuot: Evening", 1, "Did you mean “layout”?"),
        ("Grow:   repeat", "around: fog", 3, "column 9: There is no role “fog”."),
        ("  .uu.\n", "  .ux.\n", 17, "column 5: The sign “x” stands for no unit."),
        ("  .uu.\n", "  .uu\n", 18, "column 6: This row has 4 signs, but the first row has 3."),
        ("  l # # r\n", "  l # . r\n", 18, "column 4: “#” covers 2 x 2 cells from here"),
        ("  . d d m\n", "  . . d m\n", 21, "“d” covers 2 x 1 cells from here"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_line_and_column(
    old: str, new: str, line: int, says: str
) -> None:
    told = mistakes_of(changed(old, new))
    assert any(at == line and says in sentence for at, sentence in told), told


def test_all_mistakes_are_told_at_once_in_order() -> None:
    text = STAR.replace("star: dark", "star: drak").replace("= square: night", "= sqare: nihgt")
    text = text.replace("l##r", "l#?r")
    lines = [line for line, _ in mistakes_of(text)]
    assert lines == sorted(lines)
    assert {5, 9, 18} <= set(lines)


def test_ten_thousand_mistakes_are_told_in_a_hundred_lines() -> None:
    told = mistakes_of(STAR.replace("grid:\n", "  many\n" * 10_000 + "grid:\n"))
    assert len(told) == 101
    assert told[-1][1] == "and 9900 more mistakes like these."


@pytest.mark.parametrize("text", ["", "\n\n", "-- nothing\n", "layout: Empty\nroles:\n a\ngrid:\n"])
def test_a_file_without_a_grid_says_so(text: str) -> None:
    assert mistakes_of(text) == [(0, "The file draws no grid.")]


def test_a_mistake_is_told_once_and_not_wherever_it_shows() -> None:
    told = mistakes_of(STAR.replace("star: dark", "star: drak"))
    assert told == [(5, "column 9: “drak” is no value. Did you mean “dark”?")]
    told = mistakes_of(STAR.replace("# = square 2 x 2", "# square 2 x 2"))
    assert told == [(10, "column 3: A unit begins with one sign and =, such as “a = square: …”.")]
    told = mistakes_of(STAR.replace("# = square 2 x 2", "? = square 2 x 2"))
    assert told == [(18, "column 4: The sign “#” stands for no unit. It is drawn 4 times.")]


@pytest.mark.parametrize(
    ("typed", "meant", "line"),
    [("roles", "roles:", 1), ("unit:", "units:", 3), ("units", "units:", 3), ("gird:", "grid:", 5)],
)
def test_a_part_that_begins_wrongly_is_told_once(typed: str, meant: str, line: int) -> None:
    right = "roles:\n  star: dark\nunits:\n  # = square: star\ngrid:\n  # #\n"
    told = mistakes_of(right.replace(meant, typed))
    assert told == [(line, f"column 1: “{typed}” begins no part. Did you mean “{meant}”?")]


def test_a_role_or_a_row_may_look_like_the_name_of_a_part() -> None:
    text = "roles:\nrose:\nunits:\ng = square: rose\nr = square: rose\ngrid:\ngr\nrg\n"
    assert read_layout(text).columns == 2


def test_a_unit_of_a_role_where_none_is_named() -> None:
    assert mistakes_of("units:\n  # = square: star\ngrid:\n  #\n") == [
        (2, "column 15: There is no role “star”. None is named before this line.")
    ]


def test_a_file_that_is_no_layout_at_all() -> None:
    told = mistakes_of("code,width,length\nF1,18,21\n")
    assert [line for line, _ in told] == [1, 2]
    assert "means nothing here" in told[0][1]


def test_a_grid_of_500_by_500_reads_back_and_a_larger_one_than_allowed_is_refused() -> None:
    large = grown(traditional_layout("barn raising"), 500, 500)
    assert read_layout(write_layout(large)).placed == large.placed
    row = "." * 1001 + "\n"
    told = mistakes_of(STAR[: STAR.index("  .uu.")] + row)
    assert told == [(17, "column 1: A grid has at most 1000 columns and rows.")]


def test_sashing_is_no_part_of_a_file() -> None:
    with pytest.raises(BadRequestError, match="already has sashing"):
        write_layout(sashed(read_layout(STAR), 2, 2, Role("sash")))
