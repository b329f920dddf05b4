"""Size to fit on the command line: from the bed, from the cloth, and borders from off-cuts."""

import json
from typing import Any

import pytest

from tests.cli.terminal import Terminal


def told(run: Terminal, line: str) -> Any:
    """Type a command with --json behind it and return what it says, read."""
    return json.loads(run(f"{line} --json"))


def test_a_queen_from_six_inch_units(run: Terminal) -> None:
    """84 × 92 in (60 × 80 and 12 in on three sides, geometry): 14 × 16 units reach 84 × 96."""
    ways = {
        way["words"]: way["fit"] for way in told(run, "fit bed checkerboard queen --unit 6")["ways"]
    }
    bare = ways["whole blocks"]
    assert (bare["columns"], bare["rows"]) == (14, 16)
    assert bare["finished"]["length"]["inches"] == 96
    framed = ways["borders to measure"]
    assert (framed["columns"], framed["rows"]) == (14, 15)
    assert framed["end_border"]["inches"] == 1
    assert framed["finished"]["length"]["inches"] == 92


def test_blocks_stay_whole(run: Terminal) -> None:
    """A friendship star of 3 × 3 units of 4 in is 12 in; 60 / 12 = 5 blocks (geometry)."""
    said = run("fit bed 'friendship star' '60 x 70' --unit 4")
    assert "15 × 18 units of 4 in; finished 60 × 72 in" in said


def test_a_project_keeps_its_units_and_grows_them(run: Terminal) -> None:
    run("project new Quay --layout checkerboard --unit 3in --columns 10 --rows 12")
    said = run("fit bed Quay '45 x 54'")
    assert "units to measure: 10 × 12 units of 4½ in; finished 45 × 54 in" in said


@pytest.mark.parametrize(
    ("fitted", "finished"),
    [
        ("pinwheel queen --unit 6", "84 × 96 in"),
        ("'friendship star' '60 x 70' --unit 4 --border '3 1/8'", "66¼ × 78¼ in"),
        ("Quay '50 x 54'", "51 × 54 in"),
        ("Quay '50 x 54' --border 2", "52 × 55 in"),
    ],
)
def test_the_line_at_the_end_makes_that_quilt(run: Terminal, fitted: str, finished: str) -> None:
    # By geometry: 14 × 16 units of 6 in; 5 × 6 stars of 12 in and twice the border; of 3 in units
    # 17 × 18, or 16 × 17 and twice the border.
    run("project new Quay --layout checkerboard --unit 3in --columns 10 --rows 12 --border 'b: 1'")
    said = run(f"fit bed {fitted}")
    assert f"; finished {finished}" in said.splitlines()[1]
    _, _, line = said.partition("To take the first: stashkeeper ")
    name = "Quay" if "Quay" in fitted else "NAME"
    assert f"project {'change Quay' if name == 'Quay' else 'new NAME'}" in line
    run(line.strip())
    assert finished in run(f"project show {name}")


def test_borders_that_a_fit_leaves_out_are_told(run: Terminal) -> None:
    run("project new Quay --layout checkerboard --unit 3in --columns 10 --rows 12 --border 'b: 1'")
    assert "The borders it has now give way" in run("fit bed Quay queen")
    assert "give way" not in run("fit bed Quay queen --border 2")
    assert "give way" not in run("fit bed checkerboard queen")


def test_blocks_with_sashing_are_fitted_whole(run: Terminal) -> None:
    """Blocks of 6 in and sashing of 1 in all around: n blocks are 7n + 1 in wide (geometry).

    84 in take 12 blocks (85 in), 92 in take 13 (92 in); inside 84 in 11 blocks leave 6 in.
    """
    run(
        "project new Quay --layout 'ohio star' --unit 2in --columns 9 --rows 9 "
        "--sash 'sashing: 1 in' --cornerstones stone --frame"
    )
    said = run("fit bed Quay queen")
    assert "whole blocks: 36 × 39 units of 2 in; finished 85 × 92 in" in said
    assert "33 × 39 units of 2 in, borders: 3 in left and right, none top and bottom" in said
    assert "The borders leave no room" in run.refused("fit bed Quay '30 x 30' --border 15")


def test_blocks_on_point_are_fitted_by_their_diagonals(run: Terminal) -> None:
    """Blocks of 9 in on point are 12.728 in wide (geometry): 7 of them reach 84 in, 8 reach 92."""
    run("project new Quay --layout 'friendship star' --unit 3in --on-point around")
    ways = {way["words"]: way["fit"] for way in told(run, "fit bed Quay queen")["ways"]}
    assert (ways["whole blocks"]["columns"], ways["whole blocks"]["rows"]) == (21, 24)
    for fit in ways.values():
        assert fit["finished"]["width"]["inches"] >= 84
        assert fit["finished"]["length"]["inches"] >= 92


def test_the_largest_unit_that_the_cloth_gives(run: Terminal) -> None:
    """Cloth of 21 × 21 in, squared: 4 × 4 squares cut 5 in, so finished 4½ (geometry).

    | name  | size    | squared | lightness |
    | Cream | 21 x 21 | yes     | 90        |
    | Navy  | 21 x 21 | yes     | 18        |
    """
    words = "fit cloth checkerboard --columns 6 --rows 5 --fabric light=A1 --fabric dark=A2"
    seen = told(run, words)
    assert seen["unit"]["inches"] == 4.5 and seen["proven"]
    assert seen["finished"]["width"]["inches"] == 27
    assert "Units of 5 in do not come out: light gives 9 of 15 squares (5½ × 5½ in)" in run(words)


def test_parts_that_come_out_alone_but_not_together_are_not_promised(run: Terminal) -> None:
    """One fabric of 21 × 21 for both roles: 15 + 15 squares of 5 in are more than its 16.

    | name  | size    | squared | lightness |
    | Cream | 21 x 21 | yes     | 90        |
    """
    words = "fit cloth checkerboard --columns 6 --rows 5 --fabric light=A1 --fabric dark=A1"
    seen = told(run, words)
    assert seen["unit"]["inches"] <= 3 and seen["proven"]
    assert "no plan was found for all parts together" in run(words)


def test_a_border_pieced_from_off_cuts(run: Terminal) -> None:
    """No more cloth than there is, and enough strip for all four sides (geometry).

    | name  | size   | squared | lightness |
    | Cream | 9 x 21 | yes     | 90        |
    | Navy  | 9 x 21 | yes     | 18        |
    """
    seen = told(run, "fit border '20 x 20' code:A1,A2")["border"]
    width = seen["width"]["inches"]
    strips = [(one["count"], one["strip"]["length"]["inches"]) for one in seen["strips"]]
    assert sum(count * (width + 0.5) * long for count, long in strips) <= 2 * 9 * 21
    assert sum(count * (long - 0.5) for count, long in strips) >= 4 * (20 + width) + 1
    assert seen["made"]["inches"] >= seen["needed"]["inches"]
    assert seen["cuts"]["finished"]["width"]["inches"] == 20 + 2 * width
    assert "can finish" in run("fit border '20 x 20' code:A1,A2 --widest 1")


def test_off_cuts_are_meant_where_nothing_is_said(run: Terminal) -> None:
    """The shelf.

    | name  | size    | squared | lightness |
    | Cream | 20 x 42 | yes     | 90        |
    """
    assert "no off-cut on the shelf to make a border of" in run.refused("fit border 20")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("bed pinwheel quen", "Did you mean “queen”?"),
        ("bed nothing queen", "No project or layout"),
        ("bed pinwheel queen --unit 0", "“0” is nothing"),
        ("bed checkerboard '10 x 10' --border 6", "The borders leave no room for units."),
        ("cloth pinwheel", "No piece was chosen for blade, background."),
        ("cloth pinwheel --fabric blade=Z9 --fabric background=Z8", "No piece has the code"),
        ("border nothing", "No project or layout is called “nothing”."),
        ("border 40 tag:none", "no piece to make a border of"),
        ("border '60 x 0'", "“60 x 0” is nothing"),
        ("border 'nine lives'", "No project or layout is called “nine lives”."),
        ("bed pinwheel '0 x 90'", "“0 x 90” is nothing"),
        ("border 40 --widest 0", "“0” is nothing"),
    ],
)
def test_what_cannot_be_fitted_is_refused(run: Terminal, words: str, said: str) -> None:
    assert said in run.refused(f"fit {words}")


def test_too_little_cloth_is_told(run: Terminal) -> None:
    """The shelf.

    | name  | size  | squared | lightness |
    | Cream | 3 x 3 | yes     | 90        |
    """
    said = run.refused(
        "fit cloth checkerboard --columns 9 --rows 9 --fabric light=A1 --fabric dark=A1"
    )
    assert "Choose more pieces, or make fewer units." in said
    assert "however narrow" in run.refused("fit border 400 code:A1")
