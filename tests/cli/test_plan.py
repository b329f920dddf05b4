"""`plan`, `plans`, `show-plan`, `steps`: proven plans, two ways, and what hands do with them."""

import re
import signal
from pathlib import Path

import pytest

from stashkeeper.actions.cutting import plan_pieces
from stashkeeper.actions.stash import open_stash
from stashkeeper.cli.stopping import asked_to_stop
from stashkeeper.cutting.planner import Progress
from stashkeeper.errors import NoPlanError
from stashkeeper.settings.load import load_settings
from tests.cli.terminal import Terminal

QUICK = "--spare 0 --seconds 0.6"


def test_two_plans_side_by_side(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 40 x 18 | yes     |
    | Fern | 10 x 10 | yes     |
    | Sky  | 10 x 10 | yes     |
    """
    made = run.json(f"plan --cut '8 x 5 in square' {QUICK}")
    plans = {plan["goal"]: plan for plan in made["plans"]}
    # Two pieces of 10 × 10 in give four squares each, with nothing left over.
    first = plans["scraps first"]
    assert [piece["code"] for piece in first["pieces"]] == ["A2", "A3"]
    assert (first["cloth"], first["waste"], first["kept"]) == (200, 0, 0)
    assert first["pieces"][0]["gives"] == {"A": 4}
    told = run.type("show-plan 1").lines
    assert told[0] == "Plan 1, scraps first: 8 × 5 × 5 in."
    assert "A2 “Fern”, 10 × 10 in: 4 × A" in told


def test_cuts_come_from_the_cloth_that_was_named(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | lightness | tag  |
    | Moss | 12 x 12 | yes     | 20        | wood |
    | Fern | 12 x 12 | yes     | 90        | wood |
    | Sky  | 12 x 12 | yes     | 50        |      |
    """
    made = run.json(
        f"plan --cut 'sky: 2 x 5 in square from A3' --cut 'dark: 2 x 5 in square from value:dark'"
        f" --cut 'pale: 2 x 5 in square from light' --cut 'leaf: 2 x 6 in square from tag:wood'"
        f" {QUICK}"
    )
    gives = {piece["code"]: piece["gives"] for piece in made["plans"][0]["pieces"]}
    assert gives["A3"] == {"sky": 2}
    assert gives["A1"]["dark"] == 2
    assert gives["A2"]["pale"] == 2
    assert sum(gives[code].get("leaf", 0) for code in ("A1", "A2")) == 2


def test_search_words_narrow_the_shelf_of_a_plan(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | tag  |
    | Moss | 12 x 12 | yes     |      |
    | Fern | 40 x 40 | yes     | wood |
    """
    made = run.json(f"plan tag:wood --cut '2 x 5 in square' {QUICK}")
    assert [piece["code"] for piece in made["plans"][0]["pieces"]] == ["A2"]


def test_spares_are_one_in_twenty_begun_or_as_set(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 40 x 40 | yes     |
    """
    assert run.json("plan --cut '21 x 3 in square' --seconds 0.5")["spares"] == {"A": 2}
    run("settings spare 10")
    assert run.json("plan --cut '21 x 3 in square' --seconds 0.5")["spares"] == {"A": 3}
    assert run.json(f"plan --cut '21 x 3 in square' {QUICK}")["spares"] == {}


def test_spares_give_way_where_there_is_no_room(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 10 x 10 | yes     |
    """
    made = run("plan --cut '4 x 5 in square' --seconds 0.5")
    assert "There is no room for spares." in made


def test_short_cloth_tells_what_is_missing_and_what_would_fit(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 18 x 21 | yes     |
    """
    said = run.refused(f"plan --cut '30 x 4 1/2 in square' {QUICK}")
    # 4 × 4 squares of 4½ in lie on 18 × 21 in (common practice); 14 are missing.
    assert "no room for 14 × A (4½ × 4½ in)" in said
    # 30 squares of 3½ in lie on 18 × 21 in: 5 × 6.
    assert "the longest finished side 3 in instead of 4 in" in said
    assert "A 4½ × 4½ in becomes 3½ × 3½ in" in said
    typed = 'plan --cut "30 x 3 1/2 x 3 1/2 in" --spare 0'
    assert f"To plan that: stashkeeper {typed} --seconds 0.6" in said.splitlines()
    assert run.json(f"{typed} {QUICK}")["cuts"][0]["count"] == 30


def test_a_strip_across_the_fabric_stays_as_long_where_cloth_is_short(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 40 x 20 | yes     |
    """
    said = run.refused(f"plan moss --cut 'rail: 5 x 4 1/2 in strip directional' {QUICK}")
    # Five strips on 20 in are 4 in each (arithmetic); finished 3½ in.
    assert "the longest finished side 3½ in instead of 4 in" in said
    assert 'plan moss --cut "rail: 5 x WOF x 4 in directional"' in said


def test_cuts_from_a_file(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 40 x 40 | yes     |
    """
    Path("cuts.txt").write_text(
        "# Harbour\n\ncorner: 4 x 5 in square\n3 x 2 1/2 x 6 directional\n", encoding="utf-8"
    )
    made = run.json(f"plan --file cuts.txt {QUICK}")
    assert [(cut["name"], cut["count"], cut["directional"]) for cut in made["cuts"]] == [
        ("corner", 4, False),
        ("A", 3, True),
    ]


def test_all_mistakes_of_a_file_are_told_at_once(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    lines = (
        "4 x blue",
        "5 x 5",
        "0 x 3 in square",
        "3 x 5 from Z9",
        "3 x 5 from value:blue",
        "3 x 5 from moss",
    )
    Path("cuts.txt").write_text("\n".join(lines), encoding="utf-8")
    said = run.refused("plan --file cuts.txt")
    assert re.findall(r"line (\d+):", said) == ["1", "3", "4", "5"]
    assert "No piece has the code “Z9”." in said
    Path("picture.txt").write_bytes(b"\xff\xd8\xff\xe0")
    assert "not a text file" in run.refused("plan --file picture.txt")
    Path("none.txt").write_text("# nothing\n", encoding="utf-8")
    assert "It holds no cut." in run.refused("plan --file none.txt")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("plan", "No cut was given."),
        ("plan --cut '0 x 3 in square'", "is wanted 0 times"),
        ("plan --cut '2000000000 x 3 in square'", "is wanted 2000000000 times"),
        ("plan --cut '1000000000 x 3 in square'", "The cloth is short"),
        ("plan --cut '2 x 190 yd x 190 yd'", "The cloth is short"),
        ("plan --cut '2 x 9999999999 in square'", "200 yards"),
        ("plan --cut '2 x 3 in square from Z9'", "No piece has the code"),
        ("plan --cut '2 x 3 in square from value:blue'", "value"),
        ("plan --cut 'A: 2 x 3' --cut 'A: 2 x 4'", "Two cuts are called “A”."),
        ("plan --cut 'Strip 9: 2 x 3 in square'", "A cut cannot be called “Strip 9”"),
        ("plan --cut 'the rest: 2 x 3 in square'", "A cut cannot be called “the rest”"),
        ("plan --file nothing.txt", "“nothing.txt” cannot be read"),
        ("plan --cut '2 x 3 in square' tag:nothing", "The cloth is short"),
        ("show-plan 1", "There is no plan 1."),
        ("steps 99999999999999999999", "There is no plan"),
    ],
)
def test_what_cannot_be_planned_is_refused(run: Terminal, words: str, said: str) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    assert said in run.refused(words)


def test_a_cut_whose_name_begins_like_that_of_a_strip_is_cut_by_its_name(run: Terminal) -> None:
    """The shelf.

    | name | size   | squared |
    | Moss | 12 x 4 | yes     |
    """
    run(f"plan --cut 'strip red: 3 x 4 in square' {QUICK}")
    assert "Cut 3 × strip red at 4 in from the left edge of A1." in run("steps 1")


def test_the_steps_follow_hand_and_tools(run: Terminal) -> None:
    """The shelf.

    | name | size    | selvedges |
    | Moss | 21 x 18 | 1         |
    """
    run(f"plan --cut '8 x 4 1/2 in square' {QUICK}")
    right = run("steps 1")
    assert "trim ½ in with the selvedge off the left edge" in right
    assert right.count("Close the blade") == 1
    assert "Tell your ruler and your mat once" in right
    run("settings hand left")
    run("settings ruler '6 1/2 x 12 in'")
    run("settings mat '18 x 12 in'")
    left = run("steps 1 A1")
    assert "trim ½ in with the selvedge off the right edge" in left
    assert "Tell your" not in left
    assert "the ruler is shorter than the cut" in left
    assert "the piece is larger than the mat" in left


def test_a_changed_piece_makes_a_plan_stale_but_a_move_does_not(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 12 x 12 | yes     |
    """
    run(f"plan --cut '4 x 5 in square' {QUICK}")
    run("change A1 --at 'Shelf 2' --note soft")
    assert run.json("show-plan 1")["pieces"][0]["standing"] == "ready"
    run("change A1 --size '11 x 12'")
    assert run.json("show-plan 1")["pieces"][0]["standing"] == "changed"
    assert "plan again" in run("show-plan 1")
    run("undo")
    run("end A1 --how given")
    assert run.json("show-plan 1")["pieces"][0]["standing"] == "gone"


def test_a_plan_on_cloth_nobody_measured_says_so(run: Terminal) -> None:
    """The shelf.

    | name | size        |
    | Moss | fat quarter |
    """
    made = run.json(f"plan --cut '4 x 5 in square' {QUICK}")
    assert made["plans"][0]["certain"] is False
    assert "it must be at least 21 × 18 in" in run("steps 1")


def test_plans_are_listed_and_taken_back(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 12 x 12 | yes     |
    """
    assert run("plans") == "There is no plan yet.\n"
    run(f"plan --cut '4 x 5 in square' {QUICK}")
    (listed,) = run.json("plans")["plans"]
    assert (listed["number"], listed["pieces"], listed["cut"]) == (1, 1, 0)
    run("undo")
    assert run.json("plans")["plans"] == []


def test_a_search_that_is_stopped_gives_the_best_so_far_or_none(run: Terminal) -> None:
    """The shelf.

    | name | size    |
    | Moss | 40 x 36 |
    | Fern | 22 x 18 |
    """
    cuts = ["31 x 3 1/8 x 5", "17 x 2 3/8 x 7"]
    seen = list[Progress]()
    with open_stash(load_settings(run.home, {})) as stash:
        made = plan_pieces(stash, cuts=cuts, stop=lambda: bool(seen), progress=seen.append)
        assert made.stopped
        assert made.sentences[0] == "Stopped: these are the best plans so far."
        with pytest.raises(NoPlanError, match="stopped before a plan was found"):
            plan_pieces(stash, cuts=["90 x 5 in square"], stop=lambda: True)
    assert len(run.json("plans")["plans"]) == len(made.plans)


def test_ctrl_c_asks_first_and_ends_at_once_when_pressed_again() -> None:
    before = signal.getsignal(signal.SIGINT)
    with asked_to_stop() as stop:
        assert not stop()
        signal.raise_signal(signal.SIGINT)
        assert stop()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before
