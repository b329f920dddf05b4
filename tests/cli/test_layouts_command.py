"""Layouts on the command line: listed, looked at, checked, changed, copied."""

from pathlib import Path

import pytest

from stashkeeper.actions.layouts import look
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.quilts.layout_file import read_layout
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from tests.cli.terminal import Terminal


def test_every_traditional_layout_is_listed(run: Terminal) -> None:
    listed = run.json("layouts")["layouts"]
    assert [one["name"] for one in listed] == list(layout_names())
    assert "friendship star" in run("layouts") and "star (dark), background (light)" in run(
        "layouts"
    )


def test_a_layout_tells_its_units_by_kind_and_its_roles(run: Terminal) -> None:
    """A friendship star has a square in the middle, four in the corners, four triangles (geometry).

    Four blocks have four times as many.
    """
    seen = run.json("layout 'friendship star' --columns 6 --rows 6")
    assert seen["units"] == {"square": 20, "half-square triangle": 16}
    assert seen["roles"] == {"star": "dark", "background": "light"}
    assert (seen["columns"], seen["rows"]) == (6, 6)


def test_a_copy_is_a_layout_file_that_reads_the_same(run: Terminal) -> None:
    run("layout 'sawtooth star' --exchange star,background --copy-to mine.txt")
    written = read_layout(Path("mine.txt").read_text(encoding="utf-8"))
    assert written.columns == written.rows == 4
    assert run.json("layout mine.txt")["units"] == run.json("layout 'sawtooth star'")["units"]
    back = run("layout mine.txt --exchange star,background")
    assert back == run("layout 'sawtooth star'")


def test_four_quarter_turns_are_none(run: Terminal) -> None:
    as_it_is = run("layout 'streak of lightning' --columns 4 --rows 6")
    assert run("layout 'streak of lightning' --columns 4 --rows 6 --turn 4") == as_it_is
    turned = run.json("layout 'streak of lightning' --columns 4 --rows 6 --turn 1")
    assert (turned["columns"], turned["rows"]) == (4, 6), "as the quilt lies"
    assert turned["text"] != run.json("layout 'streak of lightning' --columns 4 --rows 6")["text"]


def test_two_exchanges_are_none(run: Terminal) -> None:
    once = run("layout pinwheel --exchange blade,background")
    assert once != run("layout pinwheel")
    again = run("layout pinwheel --exchange blade,background --exchange background,blade")
    assert again == run("layout pinwheel")


def test_a_grid_of_500_by_500_is_counted(run: Terminal) -> None:
    said = run("layout checkerboard --columns 500 --rows 500")
    assert "250,000 × square" in said and "grid:" not in said, "too large to print"


def test_all_mistakes_of_a_file_are_told_with_line_and_column(run: Terminal) -> None:
    Path("mine.txt").write_text(
        "layout: Mine\nroles:\n  star: drak\n  sky: light\nunits:\n"
        "  a = half-squar triangle: star top left, sky bottom right\n"
        "  b = square: sta\ngrid:\n  a b\n  a c b\n"
    )
    said = run.refused("layout mine.txt")
    assert "  line 3: column 9: “drak” is no value. Did you mean “dark”?" in said
    assert "line 6: column 7:" in said and "Did you mean “half-square triangle”?" in said
    assert "line 7: column 15: There is no role “sta”." in said
    assert "line 10: column 5: The sign “c” stands for no unit." in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("pinwhel", "Did you mean “pinwheel”?"),
        ("mine.txt", "“mine.txt” cannot be read"),
        ("pinwheel --columns 3", "4 × 2 would do"),
        ("pinwheel --columns 0 --rows 2", "0 is no possible number of columns."),
        ("pinwheel --columns 2000 --rows 2", "2000 is no possible number of columns."),
        ("pinwheel --exchange blade", "does not name two roles"),
        ("pinwheel --exchange blade,star", "The layout has no role “star”."),
        ("pinwheel --copy-to there.txt", "is there already"),
        ("''", "No layout is called"),
    ],
)
def test_what_is_no_layout_is_refused(run: Terminal, words: str, said: str) -> None:
    Path("there.txt").write_text("mine")
    assert said in run.refused(f"layout {words}")
    assert Path("there.txt").read_text() == "mine"


def test_a_photo_is_no_layout(run: Terminal) -> None:
    Path("photo.jpg").write_bytes(b"\xff\xd8\xff\xe0 not text \x00")
    assert "it is not a text file" in run.refused("layout photo.jpg")


def test_every_layout_grows_to_ten_or_twelve_units() -> None:
    for name in layout_names():
        layout = traditional_layout(name)
        size = 12 if 12 % layout.columns == 0 else 10
        seen = look(name, ProjectWords(columns=size, rows=size))
        assert (seen.columns, seen.rows) == (size, size) and sum(seen.units.values()) > 0
