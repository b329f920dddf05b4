"""What becomes of a piece: show, change, photo, lightness, end, history, undo."""

from pathlib import Path

import pytest

from tests.cli.patches import crop_of, line_up, photo_of
from tests.cli.terminal import Terminal


def test_show_tells_what_can_be_cut(run: Terminal) -> None:
    """The shelf.

    | name | size        | lightness | at      |
    | Moss | fat quarter | 50        | Shelf 1 |
    """
    assert run("show A1").splitlines() == [
        "A1  Moss",
        "  size      21 × 18 in, nominal, a selvedge edge",
        # ½ in off the selvedge edge, ½ in for squaring up (common practice).
        "  usable    probably 20½ × 17½ in",
        "            ½ in off the width: the selvedge is cut away.",
        "            ½ in off the length: it still has to be squared up.",
        "  place     Shelf 1",
        "  lightness 50 ±2, medium (typed)",
    ]


CHANGES: list[tuple[str, str, object]] = [
    ("--name 'Old moss'", "name", "Old moss"),
    ("--at 'Shelf 2 / Box'", "place", "Shelf 2 / Box"),
    ("--at ''", "place", ""),
    ("--tag new", "tags", ["green", "forest", "new"]),
    ("--tag GREEN", "tags", ["green", "forest"]),
    ("--untag Green", "tags", ["forest"]),
    ("--untag green --tag lime", "tags", ["forest", "lime"]),
    ("--squared", "squared", True),
    ("--washed", "washed", True),
    ("--selvedges 2", "selvedges", ["left", "right"]),
    ("--about", "basis", "about"),
    ("--size '17 x 20'", "basis", "measured"),
    ("--size '17 x 20' --about", "basis", "about"),
    ("--fibre linen", "fibre", "linen"),
    ("--fibre ''", "fibre", None),
    ("--source ''", "source", None),
    ("--cost 7,5", "cost", 7.5),
    ("--cost ''", "cost", None),
    ("--direction along", "direction", "along"),
    ("--direction none", "direction", None),
    ("--direction ''", "direction", None),
    ("--repeat ''", "repeat", None),
    ("--note 'a hole'", "note", "a hole"),
    ("--note ''", "note", ""),
]


def test_everything_can_be_changed_and_taken_back(run: Terminal, subtests: pytest.Subtests) -> None:
    """The shelf.

    | name | at      | tag           | fibre  | source | cost | direction | repeat | note |
    | Moss | Shelf 1 | green, forest | cotton | market | 12   | across    | 3 in   | old  |
    """
    before = run.json("show A1")
    for words, key, value in CHANGES:
        with subtests.test(words):
            after = run.json(f"change A1 {words}")
            assert after[key] == value
            same = set(before) - {key, "size", "basis", "usable", "certain", "version"}
            assert {one: after[one] for one in same} == {one: before[one] for one in same}
            if after[key] != before[key]:
                run("undo")
    assert {**run.json("show A1"), "version": 0} == {**before, "version": 0}


def test_the_name_belongs_to_the_fabric_and_the_place_to_the_piece(run: Terminal) -> None:
    run("add Moss --size fq --count 2")
    run("change A1 --name Fern --at Basket")
    assert [(piece["name"], piece["place"]) for piece in run.json("list")["pieces"]] == [
        ("Fern", "Basket"),
        ("Fern", ""),
    ]


def test_a_measured_size_makes_the_usable_one_certain(run: Terminal) -> None:
    """The shelf.

    | name | size        |
    | Moss | fat quarter |
    """
    assert run.json("show A1")["certain"] is False
    run("change A1 --size '20 3/4 x 17 1/2' --squared --selvedges 0")
    piece = run.json("show A1")
    assert piece["certain"] is True
    assert piece["usable"] == piece["size"]


@pytest.mark.parametrize(
    ("typed", "how"),
    [
        ("all cut", "all cut"),
        ("cut", "all cut"),
        ("GIVEN", "given"),
        ("sold", "sold"),
        ("lost", "lost"),
        ("entered by mistake", "entered by mistake"),
        ("mistake", "entered by mistake"),
    ],
)
def test_a_piece_ends_in_one_of_five_ways(run: Terminal, typed: str, how: str) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    assert run("end A1 --how", typed) == f"A1 “Moss” is off the shelf: {how}.\n"
    assert run.json("show A1")["ended"] == how
    assert run.codes() == []
    assert f"(ended: {how})" in run("show A1")


def test_a_piece_ends_once(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    run("end A1 --how sold")
    assert "A1 has ended already: sold." in run.refused("end A1 --how given")
    run("end A1 --how sold")
    assert len(run.json("history A1")["deeds"]) == 2


def test_more_photos_of_a_piece(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    photo_of(Path("one.png"), 40)
    photo_of(Path("two.png"), 50)
    said = run("photo A1 one.png two.png").splitlines()
    assert said[0] == "Added 2 photos to A1 “Moss”."
    assert said[1].startswith("Lightness ~50 ±25, medium, grey")
    piece = run.json("show A1")
    assert len(piece["photos"]) == len(piece["readings"]) == 2
    # Equally sure, so the newest counts.
    assert piece["reading"]["lightness"] == pytest.approx(50, abs=0.02)


def test_the_back_of_a_print_says_nothing_of_its_value(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    photo_of(Path("face.png"), 40)
    photo_of(Path("back.png"), 70)
    run("photo A1 back.png --back")
    assert run.json("show A1")["reading"] is None
    run("photo A1 face.png")
    piece = run.json("show A1")
    assert piece["reading"]["lightness"] == pytest.approx(40, abs=0.02)
    assert sorted(photo["side"] for photo in piece["photos"]) == ["back", "face"]


def test_one_line_up_serves_many_pieces(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    | Fern |
    """
    line_up(Path("both.png"), 30, 60)
    run(f"photo A1 both.png --crop {crop_of(0, 2)}")
    run(f"photo A2 both.png --crop {crop_of(1, 2)}")
    kept = [path for path in (run.home / "photos").rglob("*") if path.is_file()]
    assert len(kept) == 1
    assert kept[0].read_bytes() == Path("both.png").read_bytes()
    assert [piece["value"] for piece in run.json("list")["pieces"]] == ["dark", "medium"]


def test_the_same_part_of_a_photo_is_taken_once(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    | Fern |
    """
    photo_of(Path("one.png"), 40)
    Path("copy.png").write_bytes(Path("one.png").read_bytes())
    assert "“copy.png” is the same photo as “one.png”." in run.refused("photo A1 one.png copy.png")
    run("photo A1 one.png")
    for words in ("photo A1 one.png", "photo A1 copy.png"):
        assert "on record for “Moss” already" in run.refused(words)
    for words in ("photo A2 one.png", "add New --size fq --photo copy.png"):
        assert "is on record already, for A1." in run.refused(words)
    run("photo A1 one.png --crop 0,0,0.5,1")
    assert len(run.json("show A1")["photos"]) == 2


def test_one_bad_photo_of_several_keeps_none(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    photo_of(Path("one.png"), 40)
    Path("two.jpg").write_text("not a photo")
    assert "two.jpg is not a photo" in run.refused("photo A1 one.png two.jpg")


def test_history_tells_every_deed_in_order(run: Terminal) -> None:
    """The shelf.

    | name | size        |
    | Moss | fat quarter |
    """
    run("change A1 --at 'Shelf 2'")
    run("lightness A1 44")
    run("undo")
    run("end A1 --how given")
    told = run("history A1").splitlines()
    assert [line.split(", ", 1)[1][7:] for line in told] == [
        "Added A1 “Moss”.",
        "Changed A1 “Moss”.",
        "A1 “Moss” has lightness 44.  (taken back)",
        "Took back: A1 “Moss” has lightness 44.",
        "A1 “Moss” is off the shelf: given.",
    ]
    deeds = run.json("history A1")["deeds"]
    assert [deed["deed"] for deed in deeds] == ["add", "change", "lightness", "undo", "end"]
    assert [deed["undone"] for deed in deeds] == [False, False, True, False, False]


def test_deeds_are_taken_back_one_by_one(run: Terminal) -> None:
    """The shelf.

    | name | size        |
    | Moss | fat quarter |
    """
    run("change A1 --note one")
    run("change A1 --note two")
    assert run("undo") == "Took back: Changed A1 “Moss”.\n"
    assert run.json("show A1")["note"] == "one"
    undone = run.json("undo")
    assert undone["deed"]["undone"] is True
    assert run.json("show A1")["note"] == ""
    run("undo")
    assert run.codes() == []
    assert "There is nothing to undo." in run.refused("undo")


def test_a_code_is_never_given_twice(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    run("undo")
    assert run.json("add Fern --size fq")["code"] == "A2"


def test_undo_refuses_what_later_deeds_build_on(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    photo_of(Path("one.png"), 40)
    run("add Fern --size fq --photo one.png")
    run("undo")
    # The photo may be used again, for it is free.
    assert run.json("add Fern --size fq --photo one.png")["code"] == "A3"


def test_a_typed_lightness_may_be_corrected(run: Terminal) -> None:
    """The shelf.

    | name | lightness |
    | Moss | 80        |
    """
    assert run("lightness A1 30") == "A1 “Moss” has lightness 30.\n"
    assert run.json("show A1")["reading"]["value"] == "dark"
    run("undo")
    assert run.json("show A1")["reading"]["value"] == "light"
