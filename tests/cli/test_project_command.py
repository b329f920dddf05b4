"""`project` and `projects`: a quilt to be, its sizes, its parts, and what it reserves.

Sizes are checked by geometry: units times their side, a seam of ¼ in on each side (common
practice), and the trade's + 1 in for half-square triangles that are trimmed (common practice).
"""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.terminal import Terminal

HARBOUR = "project new Harbour --layout pinwheel --unit '4 in' --columns 6 --rows 8"
TWO_TONES = """layout: Two tones
roles:
  sand: light
  sea: dark
units:
  a = square: sand
  b = square: sea
grid:
  a b
"""


def asked(run: Terminal, line: str, *words: str | Path) -> Any:
    """Type a command that works, with --json, and return what it says, read."""
    return json.loads(run(f"{line} --json", *words))


def inches(size: dict[str, dict[str, float]]) -> tuple[float, float]:
    """Return width and length in inches."""
    return size["width"]["inches"], size["length"]["inches"]


def cuts_of(project: dict[str, Any]) -> dict[str, list[tuple[float, float, int]]]:
    """Return the cuts of each role: width, length, count."""
    return {
        role["role"]: [(*inches(cut["size"]), cut["count"]) for cut in role["cuts"]]
        for role in project["roles"]
    }


def test_a_project_from_a_traditional_layout(run: Terminal) -> None:
    made = asked(run, HARBOUR)["project"]
    assert inches(made["finished"]) == (24, 32)
    assert inches(made["unfinished"]) == (24.5, 32.5)
    # 48 half-square triangles, two at a time: 24 squares of 4 + 1 in of each fabric.
    assert [(one["use"], one["count"]) for one in made["units"]] == [("half-square triangles", 48)]
    assert cuts_of(made) == {"background": [(5, 5, 24)], "blade": [(5, 5, 24)]}
    # 24 squares of 5 in, 8 in a strip across 40 in: 3 strips of 5 in are 15 in, ½ yd by the eighth.
    assert [role["off_the_bolt"] for role in made["roles"]] == [0.5, 0.5]
    assert [(role["value"], role["fabrics"]) for role in made["roles"]] == [
        ("light", 1), ("dark", 1),
    ]  # fmt: skip


def test_borders_and_wishes(run: Terminal) -> None:
    made = asked(
        run, f"{HARBOUR} --border 'frame: 2 in' --border 'edge: 1 in' --role 'frame: dark'"
        " --role 'background: any number'"
    )["project"]  # fmt: skip
    assert inches(made["finished"]) == (24 + 2 * 3, 32 + 2 * 3)
    cuts = cuts_of(made)
    # Butted: sides as long as the quilt, ends across them; the outer one around the inner.
    assert cuts["frame"] == [(2.5, 32.5, 2), (2.5, 28.5, 2)]
    assert cuts["edge"] == [(1.5, 36.5, 2), (1.5, 30.5, 2)]
    wished = {role["role"]: (role["value"], role["fabrics"]) for role in made["roles"]}
    assert wished == {
        "background": ("light", None), "blade": ("dark", 1), "frame": ("dark", 1),
        "edge": (None, 1),
    }  # fmt: skip


def test_a_project_from_a_file_turned_and_mirrored(run: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "two.txt"
    file.write_text(TWO_TONES, encoding="utf-8")
    made = asked(
        run, "project new Two --unit '3 in' --columns 3 --rows 4 --turn 1", "--layout", file
    )
    # The file is 2 × 1; turned it is 1 × 2, and as the quilt lies it has 3 × 4 units.
    assert (made["project"]["columns"], made["project"]["rows"]) == (3, 4)
    assert cuts_of(made["project"]) == {"sand": [(3.5, 3.5, 6)], "sea": [(3.5, 3.5, 6)]}
    file.unlink()
    assert asked(run, "project show two")["layout"] == "Two tones"


def test_sashing_and_blocks_on_point(run: Terminal) -> None:
    sashed = asked(
        run, "project new A --layout 'nine patch' --unit '2 in' --columns 6 --rows 6"
        " --sash 'lane: 1 in' --cornerstones post --frame"
    )["project"]  # fmt: skip
    # Two blocks of 6 in, three lanes of 1 in.
    assert inches(sashed["finished"]) == (15, 15)
    assert cuts_of(sashed)["post"] == [(1.5, 1.5, 9)]
    point = asked(
        run, "project new B --layout 'nine patch' --unit '2 in' --columns 6 --rows 6"
        " --on-point ground"
    )["project"]  # fmt: skip
    # Two blocks of 6 in on point: 2 × 6√2 = 16.97 in.
    assert inches(point["finished"]) == pytest.approx((16.9706, 16.9706), abs=1e-3)


def test_changing_keeps_what_is_not_typed(run: Terminal) -> None:
    run(f"{HARBOUR} --border 'frame: 2 in' --role 'frame: dark'")
    run("project change Harbour --unit '3 in' --name Haven --role 'blade: 3 fabrics'")
    made = asked(run, "project show haven")
    assert inches(made["finished"]) == (6 * 3 + 4, 8 * 3 + 4)
    wished = {role["role"]: (role["value"], role["fabrics"]) for role in made["roles"]}
    assert wished == {"background": ("light", 1), "blade": ("dark", 3), "frame": ("dark", 1)}
    run("project change Haven --border none")
    assert list(cuts_of(asked(run, "project show Haven"))) == ["background", "blade"]
    run("undo")
    run("undo")
    assert inches(asked(run, "project show Harbour")["finished"]) == (28, 36)


def test_the_list_of_projects(run: Terminal) -> None:
    assert run("projects") == "There is no project yet.\n"
    run(HARBOUR)
    run("project new Sunrise --layout 'ohio star' --unit '3 in'")
    run("project end Harbour")
    assert run.type("projects").lines == [
        "project  layout     finished    pieces  standing",
        "Sunrise  Ohio star  9 × 9 in         0  under way",
        "Harbour  Pinwheel   24 × 32 in       0  ended",
    ]


X = "project new X --layout pinwheel --unit '4 in'"


def test_a_quilt_is_told_by_the_units_that_were_typed(run: Terminal) -> None:
    """Sashing and triangles are no units: 3 × 4 blocks of 3 units are 9 × 12 (by hand)."""
    sized = "--unit '3 in' --columns 9 --rows 12"
    for name, setting in (("A", "--sash 's: 1 in' --frame"), ("B", "--on-point t"), ("C", "")):
        said = run(f"project new {name} --layout 'churn dash' {sized} {setting}")
        assert f"{name}: Churn dash, 9 × 12 units of 3 in" in said
        assert ("4 corner triangles for blocks of 9 × 9 in" in said) == (name == "B")
    assert "D: Flying geese, 1 × 2 units of 3 in" in run(
        "project new D --layout 'flying geese' --unit 3 --turn 1"
    )


REFUSED = [
    ("project new X --unit '4 in'", "Which layout", "--layout pinwheel"),
    ("project new X --layout pinwheel", "How large a unit", '--unit "4 in"'),
    ("project new X --layout pinweel --unit '4 in'", "“pinweel”", "“pinwheel”"),
    ("project new X --layout no.txt --unit '4 in'", "“no.txt” cannot be read", "pinwheel"),
    ("project new X --layout pinwheel --unit 0", "more than zero", "9 7/8"),
    ("project new X --layout pinwheel --unit much", "“much”", "9 7/8"),
    (f"{X} --columns 5", "5 × 2", "go by 2"),
    (f"{X} --columns 5000", "too long", "40 yards"),
    (f"{X} --rows 0", "not more than nothing", "40"),
    (f"{X} --border '2 in'", "made of", "frame: 2 in"),
    (f"{X} --border 'a: -2 in'", "-2", "2"),
    (f"{X} --role 'star: dark'", "no role", "blade"),
    (f"{X} --role 'blade: pale'", "no wish", "light"),
    (f"{X} --role 'blade: 0'", "no wish", "light"),
    (f"{X} --half-squares 3", "3 at a time", "2, 4"),
    (f"{X} --geese 2", "2 at a time", "1 or 4"),
    (f"{X} --exchange a", "two roles", "star,back"),
    (f"{X} --exchange a,b", "no role", "blade"),
    (f"{X} --frame", "sashing", "--sash"),
    ("project new '' --layout pinwheel --unit '4 in'", "empty", "letter"),
    ("project new 'harbour' --layout pinwheel --unit '4 in'", "“Harbour” already", "another"),
    ("project show Harbur", "“Harbur”", "“Harbour”"),
    ("project end Nowhere", "“Nowhere”", "stashkeeper projects"),
    ("project change Harbour", "Nothing was given", "--unit"),
    ("project change Harbour --columns 7", "7 × 8", "go by 2"),
]  # fmt: skip
"""What is typed, what is said to be wrong, what is offered next."""


def test_what_is_refused_is_told_and_nothing_is_lost(run: Terminal) -> None:
    run(HARBOUR)
    for line, wrong, next_step in REFUSED:
        said = run.refused(line).splitlines()
        assert wrong in said[0], (line, said)
        assert next_step in said[-1], (line, said)


def test_a_layout_file_with_mistakes_tells_line_and_column(run: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "ragged.txt"
    file.write_text(TWO_TONES.replace("square: sea", "squere: sea") + "  a b a\n  a x\n", "utf-8")
    said = run.refused("project new X --unit '4 in'", "--layout", file).splitlines()
    assert said[0] == "The layout holds 3 mistakes."
    assert [line.strip().split(":")[:2] for line in said[1:-1]] == [
        ["line 7", " column 7"], ["line 10", " column 7"], ["line 11", " column 5"],
    ]  # fmt: skip
