"""Finding pieces: every search word of `list`, and how the list looks."""

import pytest
from PIL import Image

from tests.cli.terminal import Terminal

SEARCHES = [
    ("", "A1 A2 A3 A4 A5"),
    ("navy", "A1"),
    ("NAVY", "A1"),
    ("moths", "A4"),
    ("a3", "A3"),
    ("dots stripe", ""),
    ("tag:autumn", "A2 A4"),
    ("at:Shelf", "A1 A2 A3"),
    ("at:'Shelf / Box'", "A3"),
    ("at:box", "A3"),
    ("value:light", "A2"),
    ("value:dark,medium", "A1 A3"),
    ("value:unknown", "A4 A5"),
    ("size:12x12", "A1 A2 A5"),
    ("size:20x17", "A1 A2 A5"),
    ("size:'30 cm x 30 cm'", "A1 A2 A5"),
    ("size:'half yard'", "A5"),
    ("washed:yes", "A2"),
    ("washed:no", "A1 A3 A4 A5"),
    ("code:A1,A4", "A1 A4"),
    ("-- -tag:autumn", "A1 A3 A5"),
    ("-tag:autumn", "A1 A3 A5"),
    ("-washed:yes -at:box", "A1 A4 A5"),
    ("tag:autumn washed:yes", "A2"),
    ("ended:no", "A1 A2 A3 A4 A5"),
    ("ended:yes", ""),
]


def test_what_a_search_finds(run: Terminal, subtests: pytest.Subtests) -> None:
    """The shelf.

    | name        | size        | lightness | tag         | at          | washed | note         |
    | Navy dots   | fat quarter | 20        | dots, blue  | Shelf       |        |              |
    | Cream       | fat quarter | 90        | autumn      | Shelf       | yes    |              |
    | Sage stripe | 10 x 10     | 55        | stripe      | Shelf / Box |        |              |
    | Plaid       | 9 x 12      |           | autumn      |             |        | moths got in |
    | Linen       | half yard   |           |             | Chest       |        |              |
    """
    for search, found in SEARCHES:
        with subtests.test(search):
            assert run.codes(search) == found.split()


@pytest.mark.parametrize(
    ("how", "search", "found"),
    [
        ("sold", "", "A2"),
        ("sold", "ended:yes", "A1"),
        ("sold", "ended:any", "A1 A2"),
        ("sold", "ended:sold", "A1"),
        ("sold", "ended:given", ""),
        ("all cut", "'ended:all cut'", "A1"),
        ("cut", "ended:cut", "A1"),
        ("given", "ended:given", "A1"),
        ("lost", "ended:lost,sold", "A1"),
        ("entered by mistake", "ended:any", "A2"),
        ("mistake", "ended:mistake", "A1"),
    ],
)
def test_pieces_that_ended_are_found_when_asked_for(
    run: Terminal, how: str, search: str, found: str
) -> None:
    """The shelf.

    | name |
    | Moss |
    | Fern |
    """
    run("end A1 --how", how)
    assert run.codes(search) == found.split()


def test_a_search_by_colour_uses_the_measured_colour(run: Terminal) -> None:
    # sRGB primaries and a grey; their hues are beyond dispute.
    colours = {"red": (200, 30, 40), "green": (40, 140, 60), "blue": (40, 70, 170)}
    for name, codes in {**colours, "grey": (128, 128, 128)}.items():
        Image.new("RGB", (60, 40), codes).save(f"{name}.png")
        run(f"add X{name} --size fq --photo {name}.png")
    assert run.codes("colour:red") == ["A1"]
    assert run.codes("color:green,blue") == ["A2", "A3"]
    assert run.codes("colour:gray") == ["A4"]


def test_the_list_is_a_table_for_people(run: Terminal) -> None:
    """The shelf.

    | name        | size        | lightness | at      |
    | Navy dots   | fat quarter | 20        | Shelf 2 |
    | 藍染めの布  | 9 7/8 x 10  | 54.6      |         |
    | Plaid       | 25 x 50 cm  |           |         |
    """
    assert run("list").splitlines() == [
        "code  name        size                 lightness  value   place",
        "A1    Navy dots   21 × 18 in, nominal         20  dark    Shelf 2",
        "A2    藍染めの布  9⅞ × 10 in                  55  medium",
        "A3    Plaid       9¾ × 19⅝ in",  # 25 × 50 cm is 9.84 × 19.69 in: never rounded up
        "3 pieces. Pieces on the shelf, every one.",
    ]


def test_the_list_speaks_in_centimetres_where_its_person_does(run: Terminal) -> None:
    """The shelf.

    | name  | size       |
    | Plaid | 25 x 50 cm |
    """
    run("settings measure centimetres")
    assert "25.0 × 50.0 cm" in run("list") or "25 × 50 cm" in run("list")
    assert run.codes("size:25x50") == ["A1"]
    assert run.codes("size:25.1x50") == []


def test_json_gives_every_piece_unrounded(run: Terminal) -> None:
    """The shelf.

    | name  | size       | lightness | tag    |
    | Plaid | 25 x 50 cm | 54.55     | autumn |
    """
    listing = run.json("list")
    (piece,) = listing["pieces"]
    assert piece["lightness"] == 54.55
    assert piece["size"]["width"]["millimetres"] == 250
    assert piece["value"] == "medium"
    assert piece["tags"] == ["autumn"]


def test_an_empty_stash_says_so(run: Terminal) -> None:
    assert (
        run("list") == "No piece is on the shelf. Add one: its size, and a photo if you have one.\n"
    )
    assert run.json("list")["pieces"] == []


def test_a_long_name_leaves_the_columns_in_place(run: Terminal) -> None:
    run("add --size fq --", "A very long name for a small print of berries and leaves")
    assert "A very long name for a small pri" not in run("list")
    assert "A very long name for a small pr…" in run("list")
    assert run("show A1").startswith("A1  A very long name for a small print of berries and leaves")
