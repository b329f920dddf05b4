"""Places, settings and the other commands about the house."""

import tomllib
from pathlib import Path

import pytest

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal


def test_places_are_listed_with_what_lies_in_them(run: Terminal) -> None:
    """The shelf.

    | name | at                   |
    | Moss | Sewing room / Shelf  |
    | Fern | sewing ROOM / shelf  |
    | Sage | Sewing room          |
    | Plum | Attic                |
    """
    assert run("places").splitlines() == [
        "Attic: 1 piece",
        "Sewing room: 3 pieces",
        "Sewing room / Shelf: 2 pieces",
    ]
    places = run.json("places 'sewing room'")["places"]
    assert [(one["path"], one["pieces"], one["pieces_inside"]) for one in places] == [
        ("Sewing room", 1, 3),
        ("Sewing room / Shelf", 2, 2),
    ]


def test_ended_pieces_lie_nowhere(run: Terminal) -> None:
    """The shelf.

    | name | at    |
    | Moss | Attic |
    """
    run("end A1 --how sold")
    assert run("places") == "Attic: 0 pieces\n"


def test_a_place_gets_another_name_with_all_in_it(run: Terminal) -> None:
    """The shelf.

    | name | at          |
    | Moss | Room / Box  |
    """
    assert run("places Room --rename Studio").splitlines()[0] == "It is “Studio” now."
    assert run.json("show A1")["place"] == "Studio / Box"
    run("undo")
    assert run.json("show A1")["place"] == "Room / Box"


def test_a_place_moves_into_another_one_and_out_again(run: Terminal) -> None:
    """The shelf.

    | name | at    |
    | Moss | Box   |
    | Fern | Attic |
    """
    run("places Box --into 'Attic / Corner'")
    assert run.json("show A1")["place"] == "Attic / Corner / Box"
    assert run.codes("at:attic") == ["A1", "A2"]
    run("places Box --into ''")
    assert run.json("show A1")["place"] == "Box"
    run("places Box --rename Tin --into Attic")
    assert run.json("show A1")["place"] == "Attic / Tin"
    run("undo")
    assert run.json("show A1")["place"] == "Box"


def test_a_place_cannot_be_put_where_it_cannot_be(run: Terminal) -> None:
    """The shelf.

    | name | at         |
    | Moss | Room / Box |
    | Fern | Attic      |
    """
    assert "cannot be put inside itself" in run.refused("places Room --into 'Room / Box'")
    assert "already" in run.refused("places Attic --rename room")
    assert "names places inside one another" in run.refused("places Attic --rename 'a/b'")


def test_no_places_yet(run: Terminal) -> None:
    assert run("places").startswith("No places yet")
    assert run.json("places") == {"places": []}


def test_settings_are_shown_with_their_meaning(run: Terminal) -> None:
    settings = run.json("settings")
    assert settings["stash"] == str(run.home)
    names = [one["name"] for one in settings["settings"]]
    assert names[:3] == ["measure", "paper", "database"]
    assert all(one["value"] and one["explanation"] for one in settings["settings"])
    assert run("settings measure").splitlines()[1] == "measure = inches"


def test_a_setting_is_kept_with_its_unit(run: Terminal) -> None:
    run("settings selvedge 2cm")
    run("settings measure centimetres")
    kept = tomllib.loads((run.home / "settings.toml").read_text())
    assert kept == {"selvedge": "2 cm", "measure": "centimetres"}
    run("add Moss --size '100 x 50' --selvedges 2 --squared")
    # 100 cm less two selvedges of 2 cm; squared up, so that nothing else comes off.
    assert run.json("show A1")["usable"]["width"]["millimetres"] == 960
    run("settings selvedge --reset")
    run("settings --reset")
    assert tomllib.loads((run.home / "settings.toml").read_text()) == {}


def test_bare_numbers_follow_the_measure(run: Terminal) -> None:
    run("add Inches --size '10 x 20'")
    run("settings measure cm")
    run("add Metric --size '10 x 20'")
    widths = [piece["size"]["width"]["millimetres"] for piece in run.json("list")["pieces"]]
    assert widths == [254, 100]


def test_a_settings_file_with_mistakes_tells_them_all(run: Terminal) -> None:
    file = run.home / "settings.toml"
    file.write_text('measure = "ells"\n\npaper = "a5"\ncolour = "blue"\n')
    said = run.refused("list")
    for line, name in ((1, "measure"), (3, "paper"), (4, "colour")):
        assert f"line {line}: {name}:" in said
    assert file.read_text().startswith('measure = "ells"')


def test_migrate_says_that_nothing_is_left_to_do(run: Terminal) -> None:
    assert run("migrate") == "The database is up to date.\n"
    assert run.json("migrate") == {"copy": None}


@pytest.mark.parametrize(
    "words",
    [
        "--stash '{other}' list",
        "list --stash '{other}'",
        "--stash '{home}' list --stash '{other}'",
    ],
)
def test_another_stash_is_named_before_or_after_the_command(
    run: Terminal, tmp_path: Path, words: str
) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    other = tmp_path / "my other stash é 藍"
    assert "No piece" in run(words.format(other=other, home=run.home))
    assert (other / "stash.db").is_file()
    run("add Fern --size fq --stash", other)
    assert "Fern" in run("list --stash", other)
    assert run.codes() == ["A1"]


def test_the_stash_is_the_environments_or_ones_own(
    run: Terminal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("STASHKEEPER_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    told = Path(run.json("settings")["stash"])
    assert tmp_path in told.parents and told.name == "stashkeeper"


def test_a_moved_stash_opens_with_its_photos(run: Terminal, tmp_path: Path) -> None:
    photo_of(Path("sage.png"), 55)
    run("add Sage --size fq --photo sage.png")
    before = run.json("show A1")
    moved = tmp_path / "elsewhere" / "the stash"
    moved.parent.mkdir()
    run.home.rename(moved)
    there = Terminal(moved)
    assert there.json("show A1 --stash", moved) == before
    assert there.json("sheet shelf.png --stash", moved)["fabrics"] == 1
    # The very same photo is known there.
    assert there.type(f"add New --size fq --photo sage.png --stash '{moved}'").status == 1
