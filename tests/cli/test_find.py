"""`find`: which pieces are big enough, on the usable size, exactly."""

import csv
import re
from pathlib import Path

import pytest

from tests.cli.terminal import Terminal

PRINTED = Path(__file__).parents[1] / "cutting" / "printed_counts.csv"
"""Counts that quilters have printed, each with its source."""


def printed_counts() -> list[tuple[str, str, int]]:
    """Return piece, square and count of each printed row."""
    found = []
    with PRINTED.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            piece, square = re.split(r", no allowance; ", row["given"])
            found.append((piece, square.removesuffix("s"), int(row["expect"].split(";")[0])))
    return found


def found(run: Terminal, line: str) -> dict[str, int]:
    """Return how many each piece holds, in the order they were told."""
    return {piece["code"]: piece["holds"] for piece in run.json(line)["pieces"]}


@pytest.mark.parametrize(("piece", "square", "count"), printed_counts())
def test_a_piece_holds_what_is_printed(run: Terminal, piece: str, square: str, count: int) -> None:
    run("add Moss --size", piece)
    for turned in (piece, " x ".join(reversed(piece.removesuffix(" in").split(" x ")))):
        run("change A1 --size", turned)
        assert found(run, f"find --allowance 0 --count {count} '{square}'") == {"A1": count}
        assert found(run, f"find --allowance 0 --count {count + 1} '{square}'") == {}


def test_the_usable_size_counts_unless_the_allowance_is_given(run: Terminal) -> None:
    """The shelf.

    | name | size    | selvedges |
    | Moss | 21 x 18 | 1         |
    """
    # ½ in off the selvedge edge, ½ in for squaring up the length (common practice).
    assert found(run, "find '20 1/2 x 17 1/2'") == {"A1": 1}
    assert found(run, "find '20 5/8 x 17 1/2'") == {}
    assert found(run, "find '21 x 18' --allowance 0") == {"A1": 1}
    assert found(run, "find '20 x 17' --allowance '1 in'") == {"A1": 1}
    assert found(run, "find '20 1/8 x 17' --allowance '1 in'") == {}


def test_the_smallest_comes_first_with_what_would_be_left(run: Terminal) -> None:
    """The shelf.

    | name | size    | at      |
    | Moss | 40 x 36 | Shelf 1 |
    | Fern | 10 x 10 | Box     |
    | Sky  | 20 x 10 | Shelf 1 |
    """
    answer = run.json("find '10 x 10' --allowance 0")
    assert [piece["code"] for piece in answer["pieces"]] == ["A2", "A3", "A1"]
    assert answer["cut"]["width"]["inches"] == 10
    assert answer["count"] == 1
    left = [piece["largest_left"] for piece in answer["pieces"]]
    assert left[0] is None
    assert (left[1]["width"]["inches"], left[1]["length"]["inches"]) == (10, 10)
    assert (left[2]["width"]["inches"], left[2]["length"]["inches"]) == (30, 36)
    told = run.type("find '10 x 10' --allowance 0").lines
    assert "Box: A2" in told
    assert "Shelf 1: A3, A1" in told


def test_a_size_nobody_measured_holds_probably(run: Terminal) -> None:
    """The shelf.

    | name | size           |
    | Moss | fat quarter    |
    | Fern | about 18 x 21  |
    | Sky  | 18 x 21        |
    """
    certain = {one["code"]: one["certain"] for one in run.json("find '10 x 10'")["pieces"]}
    assert certain == {"A1": False, "A2": False, "A3": True}
    said = run("find '10 x 10'")
    assert "probably 2" in said
    assert "measure before you cut" in said


def test_nothing_is_turned_on_a_print_with_a_direction(run: Terminal) -> None:
    """The shelf.

    | name | size    | direction |
    | Moss | 18 x 22 | along     |
    | Fern | 18 x 22 | both ways |
    | Sky  | 18 x 22 |           |
    """
    assert found(run, "find '22 x 6' --allowance 0") == {"A2": 3, "A3": 3}
    assert found(run, "find '22 x 6' --allowance 0 --directional") == {}
    assert found(run, "find '6 x 22' --allowance 0") == {"A1": 3, "A2": 3, "A3": 3}


def test_search_words_narrow_the_shelf(run: Terminal) -> None:
    """The shelf.

    | name | size    | tag  | lightness |
    | Moss | 18 x 22 | wood | 30        |
    | Fern | 18 x 22 |      | 80        |
    """
    assert list(found(run, "find '5 x 5' tag:wood")) == ["A1"]
    assert list(found(run, "find '5 x 5' value:light")) == ["A2"]
    assert list(found(run, "find '5 x 5' -tag:wood")) == ["A2"]


def test_several_together_where_none_is_enough(run: Terminal) -> None:
    """The shelf.

    | name | size    |
    | Moss | 10 x 10 |
    | Fern | 20 x 10 |
    | Sky  | 5 x 20  |
    """
    answer = run.json("find '5 in square' --count 14 --allowance 0")
    assert answer["pieces"] == []
    assert sum(piece["holds"] for piece in answer["together"]) >= 14
    assert answer["nearest"]["code"] == "A2"
    assert answer["nearest"]["holds"] == 8
    # Fourteen squares on 20 × 10: 3 rows of at least 5 need 10 ÷ 3, so 3⅜ is too much.
    assert answer["largest"]["width"]["inches"] == 3.25
    assert "Together they are: A2 (8)" in run("find '5 in square' --count 14 --allowance 0")


def test_the_nearest_miss_where_nothing_fits(run: Terminal) -> None:
    """The shelf.

    | name | size    | at  |
    | Moss | 18 x 22 | Box |
    """
    answer = run.json("find '20 x 20' --allowance 0")
    assert answer["nearest"]["short"]["inches"] == 2
    assert answer["largest"]["length"]["inches"] == 18
    assert run("find '20 x 20' --allowance 0").splitlines() == [
        "No piece alone is enough for one 20 × 20 in.",
        "Nearest: A1 “Moss” (Box), 18 × 22 in usable, is 2 in short.",
        "The largest that fits on one piece is 18 × 18 in.",
    ]


SET = "three 6½ in squares and five 1½ in strips"


def test_a_set_of_sizes_in_words_or_as_cuts(run: Terminal) -> None:
    """The shelf.

    | name | size    |
    | Moss | 40 x 14 |
    | Fern | 40 x 13 |
    """
    # Three squares take a row of 6½ in, five strips 7½ in: 14 in, one row less is not enough.
    for words in (
        f"find '{SET}'",
        "find --cut '3 x 6 1/2 in square' --cut '5 x 1 1/2 in strip'",
        "find '3 6.5 in squares, 5 x WOF x 1 1/2'",
        "find '6 1/2 in square x3 and 1 1/2 in strip x 5'",
        "find '3 of 6.5 in square, 5 @ 1 1/2 in strip'",
    ):
        answer = run.json(f"{words} --allowance 0")
        assert [piece["code"] for piece in answer["pieces"]] == ["A1"], words
        assert answer["cut"] is None
        assert [cut["count"] for cut in answer["cuts"]] == [3, 5]


@pytest.mark.parametrize("words", ["4 x 2.5 x 6.5", "2.5 x 6.5 x 4", "four 2 1/2 x 6 1/2"])
def test_a_count_stands_before_a_size_or_after_it(run: Terminal, words: str) -> None:
    answer = run.json(f"find '{words}'")
    assert answer["count"] == 4
    assert [answer["cut"][side]["inches"] for side in ("width", "length")] == [2.5, 6.5]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("find", "No cut was given."),
        ("find 18", "“18” is one measurement"),
        ("find 'three 6½ in squares and five blue'", "“three 6½ in squares and five blue”"),
        ("find '4 x 4' --count 0", "A cut was wanted 0 times."),
        ("find '4 x 4' --count -3", "A cut was wanted -3 times."),
        ("find '1/8 x 4'", "A cut under 1/4 in"),
        ("find '4 x 4' --allowance blue", "“blue” is not a length."),
        ("find '4 x 4' --allowance='-1 in'", "“-1 in” is less than nothing."),
        ("find --cut '0 x 4 in square'", "is wanted 0 times."),
        ("find --cut '2 x 4 in square' --count 3", "A count goes with one size"),
        ("find '999999999 x 4'", "is longer than 200 yards"),
        ("find '4 x 4' value:blue", "value"),
    ],
)
def test_what_cannot_be_found_is_refused(run: Terminal, words: str, said: str) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    assert said in run.refused(words)


def test_a_count_beyond_all_cloth_is_answered(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    answer = run.json("find '200 yd x 200 yd' --count 1000000000")
    assert answer["pieces"] == []
    assert run.json("find '4 x 4' --count 1000000000")["nearest"]["code"] == "A1"


def test_an_empty_shelf_says_so(run: Terminal) -> None:
    assert "There is no cloth to cut from" in run("find '4 x 4'")


def test_a_size_without_its_quotation_marks_is_told_to_need_them(run: Terminal) -> None:
    for typed in ("4 1/2 in square", "4 x 6", "three 4 in squares and five 1 1/2 in strips"):
        said = run.refused(f"find {typed} blue")
        assert said.endswith(
            f'Put quotation marks around a size of several words, as in find "{typed}".\n'
        )
    assert "quotation marks" not in run.refused("find 4 blue")
