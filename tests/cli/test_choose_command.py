"""`choose`, `seams`, `replace` and `plan --project`: fabrics for a quilt, from needs to a plan.

The gaps are worked out by hand from typed lightnesses; how many squares a piece gives, by geometry
(squared pieces lose nothing). That the largest gap is found is checked by brute force and a second
solver in tests/choosing; CIEDE2000 against its published pairs there, too.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from stashkeeper.actions.choose import keep_choice
from stashkeeper.actions.projects import chosen_rows, project_quilt
from stashkeeper.actions.stash import open_stash
from stashkeeper.settings.load import load_settings
from tests.cli.terminal import Terminal

SMALL = "project new Small --layout 'friendship star' --unit '2 in'"


def picked(choice: dict[str, Any]) -> dict[str, list[str]]:
    """Return the codes of each role of a choice."""
    found: dict[str, list[str]] = {}
    for one in choice["chosen"]:
        found.setdefault(one["role"], []).extend(one["codes"])
    return found


def chosen(run: Terminal, name: str) -> dict[str, list[str]]:
    """Return what a project has, by role."""
    shown = json.loads(run(f"project show {name} --json"))
    return {role["role"]: role["chosen"] for role in shown["roles"]}


def test_needs_typed_without_a_project(run: Terminal) -> None:
    """The shelf; each 10 in square gives four squares of 5 in, a 5 in square one.

    | name | size    | squared | lightness |
    | Snow | 5 x 5   | yes     | 95        |
    | Milk | 10 x 10 | yes     | 85        |
    | Sage | 10 x 10 | yes     | 60        |
    | Moss | 10 x 10 | yes     | 50        |
    | Tar  | 10 x 10 | yes     | 15        |
    """
    found = run.json("choose --need 'light: 1, each 4 x 5 in square' --need 'medium: 1' "
                     "--need 'dark: 4 x 5 in square'")  # fmt: skip
    best = found["best"]
    # Milk, for Snow is too small; Moss leaves 35 and 35, Sage 25 and 45.
    assert picked(best) == {"light": ["A2"], "medium": ["A4"], "dark": ["A5"]}
    assert (best["gap"], best["bound"], best["proven"]) == (35.0, 35.0, True)
    told = {one["codes"][0]: one["reason"] for one in found["left_out"]}
    assert told == {"A1": "too small", "A3": "between two groups"}
    # One fabric more can widen one of two equal gaps only.
    assert found["missing"] is None


def test_the_missing_fabric_is_named_with_lightness_and_size(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | lightness |
    | Milk | 10 x 10 | yes     | 70        |
    | Tar  | 10 x 10 | yes     | 20        |
    """
    found = run.json("choose --need 'light: 1, each 4 x 5 in square' --need 'dark: 1'")
    # No cloth is lighter than 95 or darker than 15 (ours): 95 − 20 = 75 is more than 70 − 15 = 55.
    missing = found["missing"]
    assert (missing["role"], missing["gap"], missing["gained"]) == ("light", 75.0, 25.0)
    assert (missing["darkest"], missing["cuts"][0][0]) == (95.0, 4)
    assert "large enough for 4 cuts 5 × 5 in," in missing["told"]


def test_a_choice_is_kept_in_a_project_and_taken_back(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | lightness |
    | Snow | 10 x 10 | yes     | 90        |
    | Milk | 10 x 10 | yes     | 80        |
    | Tar  | 10 x 10 | yes     | 15        |
    | Ink  | 10 x 10 | yes     | 25        |
    """
    run(SMALL)
    found = run.json("choose --project small --take 1")
    assert found["kept"] == 1
    assert chosen(run, "Small") == {"background": ["A1"], "star": ["A3"]}
    assert "reserved: Small" in run("list A1")
    assert "Chose A1, A3 for project “Small”." in run("history A1")
    assert "Chose" not in run("history A2")
    assert "reserved  by Small" in run("show A3")
    assert run.json("find '5 in square'")["reserved"] == {"A1": ["Small"], "A3": ["Small"]}
    assert "A3 (Small)" in run("find '5 in square'")
    assert "Reserved by a project: A1 (Small)." in run(
        "plan --cut '4 x 5 in square from light' code:A1 --spare 0 --seconds 0.3"
    )
    other = run.json("choose --need 'light: 1' --need 'dark: 1'")["best"]
    assert [one["elsewhere"] for one in other["chosen"]] == [["Small"], ["Small"]]
    free = run.json("choose --free --need 'light: 1' --need 'dark: 1'")["best"]
    assert picked(free) == {"light": ["A2"], "dark": ["A4"]}
    run("project end Small")
    assert "reserved" not in run("list A1")
    for words in ("choose --project small --take 1", "replace Small A1 A2 --yes"):
        assert "has ended, and reserves no pieces." in run.refused(words)
    for _ in range(3):  # that it ended, the plan, the choice
        run("undo")
    assert chosen(run, "Small") == {"background": [], "star": []}


def test_keep_leave_out_and_search_words(run: Terminal) -> None:
    """The shelf.

    | name | size    | lightness | tag  |
    | Snow | 18 x 21 | 90        | wood |
    | Milk | 18 x 21 | 80        | wood |
    | Tar  | 18 x 21 | 15        | wood |
    | Ink  | 18 x 21 | 25        | sea  |
    """
    ask = "choose --need 'light: 1' --need 'dark: 1'"
    assert picked(run.json(f"{ask} --keep A2")["best"])["light"] == ["A2"]
    assert picked(run.json(f"{ask} --keep 'A4 for dark'")["best"])["dark"] == ["A4"]
    assert picked(run.json(f"{ask} --leave-out A1,a3")["best"]) == {"light": ["A2"], "dark": ["A4"]}
    # What is kept need not answer to the search; what is left out may lie outside it.
    found = run.json(f"{ask} --keep A4 --leave-out A1 tag:wood")["best"]
    assert picked(found) == {"light": ["A2"], "dark": ["A4"]}


def test_several_sizes_from_one_fabric_are_proven_by_a_plan(run: Terminal) -> None:
    """A 12 in square has the area of 10 x 10 and 6 x 6 (144 against 136), but not the room.

    | name | size    | squared | lightness |
    | Snow | 12 x 12 | yes     | 95        |
    | Milk | 10 x 16 | yes     | 85        |
    | Tar  | 10 x 16 | yes     | 15        |
    """
    sizes = "1 fabric giving 1 x 10 in square and 1 x 6 in square"
    found = run.json(f"choose --need 'light: {sizes}' --need 'dark: {sizes}'")
    assert picked(found["best"]) == {"light": ["A2"], "dark": ["A3"]}
    assert found["best"]["cuts_proven"]
    assert found["best"]["gap"] == 70.0


def cloth(file: Path, red: int, green: int, blue: int) -> Path:
    """Write a photo of plain cloth."""
    Image.fromarray(np.full((60, 80, 3), (red, green, blue), dtype=np.uint8)).save(file)
    return file


def test_sets_share_a_colour_family(run: Terminal, tmp_path: Path) -> None:
    colours = {
        "Rose": (240, 170, 170), "Brick": (150, 30, 30), "Sky": (170, 200, 245),
        "Navy": (20, 40, 110), "Leaf": (60, 140, 60),
    }  # fmt: skip
    for name, rgb in colours.items():
        run(f"add {name} --size '18 x 21' --photo", cloth(tmp_path / f"{name}.png", *rgb))
    found = run.json("choose --sets 1 --need 'light: 1' --need 'dark: 1'")
    families = {one["family"] for one in found["best"]["chosen"]}
    assert len(families) == 1
    assert picked(found["best"]) == {"light (set 1)": ["A3"], "dark (set 1)": ["A4"]}
    said = run.refused("choose --sets 4 --need 'light: 1' --need 'dark: 1'")
    assert said.startswith("4 sets are asked for, and the shelf has ")
    assert "Every lightness here is provisional" in run(
        "choose --sets 1 --need 'light: 1' --need 'dark: 1'"
    )


FOUR = """The shelf.

    | name | size    | squared | lightness |
    | Snow | 10 x 10 | yes     | 90        |
    | Milk | 10 x 10 | yes     | 80        |
    | Tar  | 10 x 10 | yes     | 15        |
    | Ink  | 4 x 4   | yes     | 25        |
    """


def test_seams_and_a_fabric_replaced(run: Terminal) -> None:
    run.fill(FOUR)
    run(f"{SMALL} --border 'edge: 1 in'")
    assert run.json("seams Small")["seams"][0]["verdict"] == "no pieces"
    with open_stash(load_settings(run.home, {})) as stash:
        keep_choice(
            stash, "Small", [("background", None, "A1"), ("star", None, "A2"), ("edge", None, "A3")]
        )
        assert set(chosen_rows(stash, "small")) == {"background", "star", "edge"}
        assert project_quilt(stash, "small").borders[0].role == "edge"
    seams = {(one["one"], one["other"]): one for one in run.json("seams Small")["seams"]}
    star = seams["background", "star"]
    # Snow and Milk lie 10 ± √(2² + 2²) apart; 10 − 2.8 = 7.2 is fair.
    assert (star["gap"], round(star["uncertainty"], 1), star["verdict"]) == (10.0, 2.8, "fair")
    assert seams["background", "edge"]["gap"] == 75.0
    told = run("replace Small A2 A4")
    assert "background / star: gap 10.0 ±3, fair → gap 65.0 ±3, strong (better)" in told
    assert "Not enough cloth for star: 1 of 2 cuts 3 × 3 in." in told
    assert "Nothing is kept yet" in told
    assert chosen(run, "Small")["star"] == ["A2"]
    assert "Replaced A2 by A4" in run("replace Small A2 A4 --yes")
    assert chosen(run, "Small")["star"] == ["A4"]
    run("undo")
    assert chosen(run, "Small")["star"] == ["A2"]


def test_a_weak_seam_is_marked_and_cured(run: Terminal) -> None:
    run.fill(FOUR.replace("| 80 ", "| 88 "))
    run(SMALL)
    with open_stash(load_settings(run.home, {})) as stash:
        keep_choice(stash, "Small", [("background", None, "A1"), ("star", None, "A2")])
    found = run.json("seams Small")["seams"][0]
    assert (found["verdict"], found["holds"]) == ("weak", "nothing")
    # The star is to be dark, and takes two squares of 3 in and one of 2½ in: Tar is large enough,
    # Ink is not.
    assert [(one["role"], one["instead"], one["gap"]) for one in found["cures"]] == [
        ("star", "A3", 75.0)
    ]
    told = run("seams Small")
    assert "! background / star" in told
    assert "1 seam is weak in grey (marked !)." in told
    assert "Take A3 “Tar” instead of A2 “Milk” for star" in told


def test_fabrics_to_leave_out_are_named_where_the_rest_is_enough(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | lightness |
    | Snow | 10 x 10 | yes     | 90        |
    | Dove | 10 x 10 | yes     | 33        |
    | Tar  | 10 x 10 | yes     | 15        |
    | Slate| 10 x 10 | yes     | 30        |
    """
    run(f"{SMALL} --role 'star: any number' --role 'background: any number'")
    with open_stash(load_settings(run.home, {})) as stash:
        keep_choice(
            stash, "Small",
            [("background", None, "A1"), ("background", None, "A2"),
             ("star", None, "A3"), ("star", None, "A4")],
        )  # fmt: skip
    seam = run.json("seams Small")["seams"][0]
    # Dove and Slate are 3 apart. Without Slate the gap is 33 − 15 = 18, without Dove 90 − 30 = 60;
    # Snow alone gives four squares of 2½ in and two of 3 in, as Tar gives the three of the star.
    assert (seam["gap"], seam["verdict"]) == (3.0, "weak")
    assert (seam["clearing"]["leave_out"], seam["clearing"]["gap"]) == (["A2"], 60.0)
    assert "Leave out A2 “Dove”: the gap becomes 60.0 ±3, strong" in run("seams Small")


def test_a_project_is_planned_from_its_own_pieces(run: Terminal) -> None:
    run.fill(FOUR)
    run(f"{SMALL} --border 'edge: 1 in'")
    assert "Choose first" in run.refused("plan --project Small")
    with open_stash(load_settings(run.home, {})) as stash:
        keep_choice(stash, "Small", [("background", None, "A1"), ("star", None, "A3")])
    made = run.json("plan --project Small --spare 0 --seconds 0.6")
    gives = {one["code"]: one["gives"] for one in made["plans"][0]["pieces"]}
    # A friendship star: four corners and four half-square triangles, two of them from each pair.
    assert gives == {
        "A1": {"background: squares": 4, "background: half-square triangles": 2},
        "A3": {"star: squares": 1, "star: half-square triangles": 2},
    }
    assert made["plans"][0]["asked"] == "project “Small”"
    told = run("plan --project Small --spare 0 --seconds 0.6")
    assert "Nothing is chosen yet for edge" in told
    assert "Reserved" not in told


REFUSED = [
    ("choose", "Nothing was asked for", "--need"),
    ("choose --need light", "“light” does not say", "light: 4, each"),
    ("choose --need 'light: each 4 x 5 in'", "how many fabrics", "light: 4, each"),
    ("choose --need 'light: 2' --need 'light: 3'", "“light” is there twice", "name of its own"),
    ("choose --need 'light: 1' --take 1", "kept in a project", "--project"),
    ("choose --project Small --take 9", "no choice 9", "from 1 to"),
    ("choose --need 'light: 1' --keep Q9", "Q9", "list"),
    ("choose --need 'light: 1' --keep blue", "“blue” is no code", "A7"),
    ("choose --need 'light: 1, each 2 x 9 in square' --keep A1", "A1 is kept", "larger piece"),
    ("choose --need 'light: 1' --keep 'A1 for dark'", "is no role", "The roles are: light"),
    ("choose --need 'light: 1' --keep A1 --leave-out A1", "to be left out", "Choose one"),
    ("choose --need 'light: 40'", "4 of 40 fabrics", "fewer"),
    ("choose --need 'light: 0' --need 'dark: 1'", "“light: 0” asks for nothing", "light: 4, each"),
    ("choose --need 'light: 0, each 4 x 5 in'", "asks for nothing", "light: 4, each"),
    ("choose --need 'light: 4 x 0 in' --need 'dark: 1'", "is nothing", "light: 4, each"),
    ("choose --need 'light: 1' --sets 2000", "2000 sets", "1,000"),
    ("choose --need 'light: 1' tag:none", "no piece to choose from", "Widen the search"),
    ("seams Nowhere", "no project “Nowhere”", "stashkeeper projects"),
    ("replace Small A1 A2", "Project “Small” has no fabrics yet", "Choose them first"),
    ("replace Small A1 Q9", "Q9", "list"),
    ("plan --project Nowhere", "no project “Nowhere”", "stashkeeper projects"),
]
"""What is typed, what is said to be wrong, what is offered next."""


def test_what_is_refused_is_told_and_nothing_is_lost(run: Terminal) -> None:
    run.fill(FOUR)
    run(SMALL)
    for line, wrong, next_step in REFUSED:
        said = run.refused(line).splitlines()
        assert wrong in said[0], (line, said)
        assert next_step in said[-1], (line, said)


def test_an_empty_shelf_and_one_lightness(run: Terminal) -> None:
    said = run.refused("choose --need 'light: 1'")
    assert said.splitlines()[0] == "There is no piece to choose from."
    run.fill(FOUR.replace("| 90 ", "| 50 ").replace("| 80 ", "| 50 ").replace("| 15 ", "| 50 ")
             .replace("| 25 ", "| 50 "))  # fmt: skip
    said = run.refused("choose --need 'light: 1' --need 'dark: 1'")
    assert "All pieces have the same lightness, 50.0" in said


@pytest.mark.parametrize("measure", ["inches", "centimetres"])
def test_it_speaks_in_the_measure_of_its_person(run: Terminal, measure: str) -> None:
    run.fill(FOUR)
    run(f"settings measure {measure}")
    told = run("choose --need 'light: 2 fabrics giving 4 x 12 cm square' --need 'dark: 1'")
    assert ("cuts 12 × 12 cm" if measure == "centimetres" else "cuts 4¾ × 4¾ in") in told
