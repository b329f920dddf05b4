"""Logging a piece: every word of `add`."""

from pathlib import Path

import pytest
from PIL import Image

from tests.cli.patches import crop_of, lightness_of, line_up, luminance_of, photo_of
from tests.cli.terminal import Terminal


def test_a_piece_needs_only_a_name_and_a_size(run: Terminal) -> None:
    said = run("add Navy dots --size '18 x 21'")
    assert said.splitlines() == [
        "Added A1 “Navy dots”.",
        "Size 18 × 21 in; usable: 17½ × 20½ in.",
        "Its lightness is not measured yet: add a photo, or type it.",
    ]
    piece = run.json("show A1")
    assert (piece["code"], piece["name"], piece["reading"]) == ("A1", "Navy dots", None)
    assert piece["size"]["width"] == {"inches": 18.0, "millimetres": 457.2}
    assert piece["size"]["length"] == {"inches": 21.0, "millimetres": 533.4}
    assert (piece["basis"], piece["squared"], piece["washed"]) == ("measured", False, False)


def test_json_is_the_piece_with_its_reading(run: Terminal) -> None:
    photo_of(Path("grey.png"), 55)
    added = run.json("add Fog --size 'fat quarter' --photo grey.png")
    assert {"code", "name", "reading"} <= set(added)
    assert {"lightness", "uncertainty", "method"} <= set(added["reading"])
    assert added["reading"]["method"] == "photo"
    assert added["reading"]["provisional"] is True
    # Unrounded: a photo is good to √(6.4² + 24.2²).
    assert added["reading"]["uncertainty"] == pytest.approx((6.4**2 + 24.2**2) ** 0.5, abs=1e-12)
    assert run.json("show A1") == added


def test_everything_said_of_a_piece_is_kept(run: Terminal) -> None:
    run(
        "add Sea glass --size '0.5 m' --at 'Shelf 2 / Blue box' -t sea -t 'hand dyed' --washed "
        "--squared --selvedges 2 --fibre linen --source 'Ottersound market' --cost '£ 12.50' "
        "--direction 'both ways' --repeat 9.5cm --note 'a little faded'"
    )
    piece = run.json("show A1")
    assert piece["place"] == "Shelf 2 / Blue box"
    assert piece["tags"] == ["sea", "hand dyed"]
    assert (piece["washed"], piece["squared"]) == (True, True)
    assert piece["selvedges"] == ["left", "right"]
    assert (piece["fibre"], piece["source"]) == ("linen", "Ottersound market")
    assert piece["cost"] == 12.5
    assert piece["direction"] == "both ways"
    assert piece["repeat"]["millimetres"] == 95
    assert piece["note"] == "a little faded"
    shown = run("show A1")
    for word in ("Blue box", "hand dyed", "linen", "Ottersound", "12.50", "both ways", "faded"):
        assert word in shown
    assert "repeat    3⅝ in" in shown  # 9.5 cm is 3.74 in; rulers are marked at every eighth


@pytest.mark.parametrize(
    ("typed", "option", "basis", "selvedges"),
    # A fat quarter is cut from half a yard, halved across: one edge is selvedge (common practice).
    [
        ("18 x 21", "", "measured", 0),
        ("18 x 21", "--about", "about", 0),
        ("18 x 21", "--nominal", "nominal", 0),
        ("about 18 x 21", "", "about", 0),
        ("fat quarter", "", "nominal", 1),
        ("fat quarter", "--about", "about", 1),
        ("half yard", "", "nominal", 2),
        ("fat quarter", "--selvedges 0", "nominal", 0),
    ],
)
def test_how_a_size_is_known(
    run: Terminal, typed: str, option: str, basis: str, selvedges: int
) -> None:
    piece = run.json(f"add Moss --size '{typed}' {option}")
    assert (piece["basis"], len(piece["selvedges"])) == (basis, selvedges)
    assert piece["certain"] is (basis == "measured")


def test_several_alike_get_a_code_each_and_share_the_fabric(run: Terminal) -> None:
    assert "Added A1 to A3 “Sage”." in run("add Sage --size fq --count 3 --lightness 60")
    assert run.json("show A2")["alike"] == ["A1", "A3"]
    run("change A3 --name 'Old sage'")
    assert [piece["name"] for piece in run.json("list")["pieces"]] == ["Old sage"] * 3


def test_another_piece_of_a_fabric_shares_its_reading(run: Terminal) -> None:
    """The shelf.

    | name | lightness |
    | Sage | 60        |
    """
    piece = run.json("add --fabric a1 --size '10 x 12' --at Basket --note 'from the bag'")
    assert (piece["code"], piece["name"]) == ("A2", "Sage")
    assert piece["reading"]["lightness"] == 60
    assert run.json("show A1")["note"] == ""


@pytest.mark.parametrize(
    ("codes", "name"),
    [((250, 250, 250), "white"), ((120, 120, 120), "grey"), ((12, 12, 12), "black")],
)
def test_a_name_is_proposed_from_the_colour(
    run: Terminal, codes: tuple[int, int, int], name: str
) -> None:
    Image.new("RGB", (80, 60), codes).save("IMG_0001.jpg")
    assert name in run.json("add --size fq --photo IMG_0001.jpg")["name"]


def test_a_print_is_named_as_one(run: Terminal) -> None:
    cloth = Image.new("RGB", (400, 300), (20, 40, 120))
    for x in range(0, 400, 40):
        cloth.paste((240, 240, 250), (x, 0, x + 20, 300))
    cloth.save("stripe.png")
    assert run.json("add --size fq --photo stripe.png")["name"] == "blue print"


def test_several_photos_in_one_go(run: Terminal) -> None:
    photo_of(Path("one.png"), 40)
    photo_of(Path("two.png"), 50)
    piece = run.json("add Fog --size fq --photo one.png --photo two.png")
    assert sorted(photo["file_name"] for photo in piece["photos"]) == ["one.png", "two.png"]
    assert len(piece["readings"]) == 2
    assert [each["counts"] for each in piece["readings"]].count(True) == 1


def test_a_crop_is_the_part_that_is_measured(run: Terminal) -> None:
    line_up(Path("both.png"), 80, 30)
    left = run.json(f"add Light --size fq --photo both.png --crop {crop_of(0, 2)}")
    right = run.json("add Dark --size fq --photo both.png --crop 0.5,0,1,1")
    whole = run.json("add Both --size fq --photo both.png --crop 0,0,1,1")
    assert left["reading"]["lightness"] == pytest.approx(80, abs=0.05)
    assert right["reading"]["lightness"] == pytest.approx(30, abs=0.05)
    # The mean light of two greys (closed form): Y = (Y80 + Y30) / 2.
    mean = lightness_of((luminance_of(80) + luminance_of(30)) / 2)
    assert whole["reading"]["lightness"] == pytest.approx(mean, abs=0.05)
    assert left["photos"][0]["corners"] == [[0, 0], [0.5, 0], [0.5, 1], [0, 1]]


def test_without_a_crop_a_tenth_is_left_off_each_edge(run: Terminal) -> None:
    cloth = Image.new("RGB", (200, 100), (255, 0, 0))
    cloth.paste((119, 119, 119), (20, 10, 180, 90))
    cloth.save("framed.png")
    reading = run.json("add Fog --size fq --photo framed.png")["reading"]
    # sRGB code 119 is L* 50.034 (IEC 61966-2-1, CIE 15).
    assert reading["lightness"] == pytest.approx(50.034, abs=0.001)


@pytest.mark.parametrize("typed", ["54.3", "54,3", " 54.3 "])
def test_a_lightness_typed_is_taken_as_it_is(run: Terminal, typed: str) -> None:
    reading = run.json("add Fog --size fq --lightness", typed)["reading"]
    assert (reading["lightness"], reading["method"]) == (54.3, "typed")
    assert reading["uncertainty"] == 2
    assert reading["provisional"] is False


def test_a_typed_lightness_goes_before_a_photo(run: Terminal) -> None:
    photo_of(Path("grey.png"), 80)
    piece = run.json("add Fog --size fq --photo grey.png --lightness 55")
    assert piece["reading"]["lightness"] == 55
    assert len(piece["readings"]) == 2


@pytest.mark.parametrize(
    "name",
    [
        'It\'s "quoted" — “twice”',
        "Sea 🌊 & 🧵",
        "قماش أزرق",
        "בד כחול",
        "Čeština ß ĳ ﬁ",
        "藍染めの布",
        "-- odd; DROP TABLE piece; --",
        "50% cotton_100",
        "x" * 200,
    ],
)
def test_a_name_may_hold_any_sign_that_shows(run: Terminal, name: str) -> None:
    code = run.json("add --size fq --", name)["code"]
    assert run.json(f"show {code}")["name"] == name
    assert run.codes() == [code]


def test_codes_are_given_in_order_and_found_however_typed(run: Terminal) -> None:
    run("add Moss --size fq --count 101")
    assert run.json("show B2")["code"] == "B2"  # A1 to A99, then B1
    for typed in ("b02", " b 2 ", "Ｂ２"):
        assert run.json("show", typed)["code"] == "B2"
