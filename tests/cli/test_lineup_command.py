"""A line-up on the command line: split, ranked, kept, tied, taken back; and what makes no sense.

Greys of a known L* on a dark table, with a weave: how the program behaves, nothing of real photos.
"""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.patches import light_of, lightness_of, luminance_of
from tests.cli.terminal import Terminal

HIGH, WIDE = 400, 600
LIGHT = [light_of(code) for code in range(256)]


def grey_code(lightness: float) -> float:
    """Return the sRGB code of a grey, between two whole ones."""
    return float(np.interp(luminance_of(lightness), LIGHT, range(256)))


def photo_of_strips(
    file: Path, *lightnesses: float, exposure: float = 1.0, lying: bool = False
) -> Path:
    """Write a photo of strips side by side, touching each other, on a table of L* 15."""
    picture = np.full((HIGH, WIDE), grey_code(15))
    edges = np.linspace(30, WIDE - 30, len(lightnesses) + 1).round().astype(int)
    for lightness, left, right in zip(lightnesses, edges[:-1], edges[1:], strict=True):
        picture[25:-25, left:right] = grey_code(lightness_of(luminance_of(lightness) * exposure))
    noise = np.random.default_rng(1).normal(0, 2, picture.shape)
    codes = np.clip(picture + noise, 0, 255).round().astype(np.uint8)
    Image.fromarray(codes.T if lying else codes).convert("RGB").save(file)
    return file


FIVE = (82.0, 30.0, 60.0, 45.0, 72.0)


@pytest.fixture
def shelf(run: Terminal) -> Terminal:
    for name in ("Chalk", "Slate", "Sand", "Moss", "Shell", "Plum"):
        run(f"add {name} --size '21 x 18'")
    return run


@pytest.mark.parametrize("lying", [False, True])
def test_a_line_up_is_split_and_ranked_and_nothing_kept(shelf: Terminal, lying: bool) -> None:
    photo_of_strips(Path("five.png"), *FIVE, lying=lying)
    said = shelf("lineup five.png A1 A2 A3 A4 A5")
    order = [line.split()[2] for line in said.splitlines() if line.startswith("    ")]
    assert order == ["A1", "A5", "A3", "A4", "A2"]
    assert ("lying" in said.splitlines()[0]) is lying
    assert "Nothing is on record yet: add --yes to keep it." in said
    assert "add the codes as the pieces lie, and --yes." in shelf("lineup five.png")
    assert shelf.json("show A1")["reading"] is None


def test_the_count_is_found_where_nobody_says_it(shelf: Terminal) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    seen = shelf.json("lineup five.png")
    assert [strip["number"] for strip in seen["strips"]] == [1, 2, 3, 4, 5]
    read = [strip["lightness"] for strip in seen["strips"]]
    assert read == pytest.approx(FIVE, abs=0.5)
    lines = [line["start"] for line in seen["split"]["lines"]]
    assert lines == pytest.approx(np.linspace(30, 570, 6) / 600, abs=0.01)


def test_pairs_closer_than_a_photo_can_tell_are_named(shelf: Terminal) -> None:
    """Inside one photo a difference is good to ±9."""
    photo_of_strips(Path("four.png"), 80, 30, 52, 45)
    said = shelf("lineup four.png A1 A2 A3 A4")
    assert "3 A3 “Sand” and 4 A4 “Moss” are 7 ±9 apart: one photo cannot tell" in said
    assert "1 A1 “Chalk” and" not in said


def test_a_kept_line_up_measures_every_fabric_and_is_taken_back_as_one(shelf: Terminal) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    said = shelf("lineup five.png A1 A2 A3 A4 A5 --yes")
    assert "Kept a line-up of 5 fabrics: A1, A2, A3, A4, A5." in said
    reading = shelf.json("show A3")["reading"]
    assert reading["lightness"] == pytest.approx(60, abs=0.5)
    assert reading["provisional"]
    judged = shelf.json("contrast A1 A3")["contrast"][0]
    assert judged["uncertainty"] == pytest.approx(9.05, abs=0.01)
    shelf("undo")
    assert shelf.json("show A3")["reading"] is None


def test_a_known_fabric_pins_the_scale_of_all(shelf: Terminal) -> None:
    """The photo is half as bright as the truth; one fabric's lightness is typed."""
    photo_of_strips(Path("dim.png"), *FIVE, exposure=0.5)
    shelf("lightness A1 82")
    said = shelf("lineup dim.png A1 A2 A3 A4 A5 --yes")
    assert "1 of its fabrics is of known lightness" in said
    for code, lightness in (("A2", 30), ("A3", 60), ("A4", 45), ("A5", 72)):
        reading = shelf.json(f"show {code}")["reading"]
        assert reading["lightness"] == pytest.approx(lightness, abs=3)
        assert (reading["method"], reading["provisional"]) == ("line-up", False)
        assert reading["uncertainty"] < 12
    # What was typed is surer, and stays.
    assert shelf.json("show A1")["reading"]["method"] == "typed"


def test_a_shared_fabric_ties_two_photos(shelf: Terminal) -> None:
    """Sand lies in both photos, one of them half as bright; Chalk is known."""
    shelf("lightness A1 82")
    photo_of_strips(Path("one.png"), 82, 30, 60)
    photo_of_strips(Path("two.png"), 60, 45, 72, exposure=0.5)
    shelf("lineup one.png A1 A2 A3 --yes")
    said = shelf("lineup two.png A3 A4 A5 --yes")
    assert "It hangs together with 1 other photo" in said
    for code, lightness in (("A3", 60), ("A4", 45), ("A5", 72)):
        reading = shelf.json(f"show {code}")["reading"]
        assert reading["lightness"] == pytest.approx(lightness, abs=4)
        assert not reading["provisional"]
    apart = shelf.json("contrast A5 A2")["contrast"][0]["uncertainty"]
    alone = [shelf.json(f"show {code}")["reading"]["uncertainty"] for code in ("A5", "A2")]
    assert apart < np.hypot(*alone)
    # Sort and the shelf go by the surest reading.
    ranked = [piece["code"] for piece in shelf.json("sort")["pieces"]]
    assert ranked == ["A1", "A5", "A3", "A4", "A2"]


def test_where_it_cannot_tell_it_asks_and_keeps_nothing(shelf: Terminal) -> None:
    """Two rows of fabrics are no line-up."""
    grid = np.kron([[90, 180, 60], [200, 40, 140]], np.ones((200, 200))).astype(np.uint8)
    Image.fromarray(grid).convert("RGB").save("grid.png")
    assert "It cannot find the split surely" in shelf("lineup grid.png A1 A2 A3")
    assert "--lines" in shelf.refused("lineup grid.png A1 A2 A3 --yes")
    assert shelf.json("show A1")["reading"] is None


def test_a_later_photo_of_one_fabric_alone_does_not_tear_it_from_its_neighbours(
    shelf: Terminal,
) -> None:
    """Inside one photo a difference is good to ±9; of two photos taken at their word to ±35."""
    photo_of_strips(Path("five.png"), *FIVE)
    shelf("lineup five.png A1 A2 A3 A4 A5 --yes")
    photo_of_strips(Path("alone.png"), 66, 66)
    shelf("photo A3 alone.png")
    (_, medium_dark) = shelf.json("contrast A1 A3 A2")["contrast"]
    assert medium_dark["gap"] == pytest.approx(30, abs=1)
    assert medium_dark["uncertainty"] == pytest.approx(9, abs=0.1)


def test_lines_given_are_taken_as_they_are(shelf: Terminal) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    said = shelf(
        "lineup five.png A1 A2 --lines '0.06 0.22 0.40' --yes",
    )
    assert "Kept a line-up of 2 fabrics" in said
    assert shelf.json("show A2")["reading"]["lightness"] == pytest.approx(30, abs=0.5)


def test_a_strip_that_is_not_on_the_shelf_is_left_out(shelf: Terminal) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    assert "Kept a line-up of 4 fabrics: A1, A2, A3, A4." in shelf(
        "lineup five.png A1 A2 - A3 A4 --yes"
    )
    assert shelf.json("show A3")["reading"]["lightness"] == pytest.approx(45, abs=0.5)


def test_the_split_is_drawn_over_the_photo(shelf: Terminal) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    assert "Drew the split: split.png" in shelf("lineup five.png --picture split.png")
    drawn = np.asarray(Image.open("split.png").convert("RGB")).astype(int)
    # The accent (138, 0, 20) is the only red in a photo of greys.
    red = np.flatnonzero((drawn[200, :, 0] - drawn[200, :, 1]) > 60)
    for edge in np.linspace(30, 570, 6):
        assert np.abs(red - edge).min() <= 6


NO_SENSE = [
    ("five.png A1 A2 A3 A4 A1", "A1 stands in the line-up twice"),
    ("five.png A1 A2 A3 A4 A5 A6", "6 codes were given, but the photo shows 5 strips"),
    ("five.png A1 A2 A3 A4", "4 codes were given, but the photo shows 5 strips"),
    ("five.png A1 A2 A3 A4 Z9", "No piece has the code “Z9”"),
    ("five.png A1", "A line-up has 2 to 16 fabrics, not 1"),
    ("five.png --count 1", "A line-up has 2 to 16 fabrics, not 1"),
    ("five.png --count 40", "A line-up has 2 to 16 fabrics, not 40"),
    ("five.png A1 A2 A3 A4 A5 --count 4", "4 fabrics were said to lie side by side, but 5"),
    ("five.png --lines '0.1 0.5 0.9' --count 3", "but 2 strips come of the lines"),
    ("five.png --yes", "Nobody said which fabrics these strips are"),
    ("five.png A1 A2 --lines '0.1 0.5'", "are not the lines of a line-up"),
    ("five.png A1 A2 --lines '0.1 0.9 0.5'", "are not the lines of a line-up"),
    ("five.png A1 A2 A3 --lines '0.1 0.5 0.9'", "3 codes were given, but the lines make 2"),
    ("none.png A1 A2", "There is no file none.png"),
    ("words.txt A1 A2", "is not a photo"),
    ("five.png --picture split.pdf", "does not end in .png or .jpg"),
]


def test_what_makes_no_sense_is_told_in_two_sentences(
    shelf: Terminal, subtests: pytest.Subtests
) -> None:
    photo_of_strips(Path("five.png"), *FIVE)
    Path("words.txt").write_text("no photo at all")
    for words, told in NO_SENSE:
        with subtests.test(words=words):
            said = shelf.refused(f"lineup {words}")
            assert told in said
            assert len(said.strip().splitlines()) == 2


def test_two_pieces_of_one_fabric_are_told_apart_from_two_fabrics(shelf: Terminal) -> None:
    shelf("add --fabric A1 --size '10 x 10'")
    photo_of_strips(Path("five.png"), *FIVE)
    said = shelf.refused("lineup five.png A1 A2 A7 A4 A5")
    assert "A1 and A7 are pieces of one fabric, “Chalk”" in said


def test_one_photo_more_is_advised_only_where_it_would_tell(shelf: Terminal) -> None:
    """Lone photos are ±35 apart; in one photo it is ±9: a gap of 30 can be told, one of 8 not."""
    for name, lightness in (("far", 80), ("near", 58), ("dark", 50)):
        photo_of_strips(Path(f"{name}.png"), lightness)
    for code, name in (("A1", "far"), ("A2", "near"), ("A3", "dark")):
        shelf(f"photo {code} {name}.png")
    said = shelf("contrast A1 A3")
    assert "One line-up photo of A1 “Chalk” and A3 “Sand” side by side should tell" in said
    assert "in one photo ±9 instead of ±35" in said
    near = shelf("contrast A2 A3")
    assert "too close for one photo more to tell" in near
    assert "One line-up photo" not in near


def test_what_photos_alone_show_to_be_weak_is_not_said_to_be_sure(shelf: Terminal) -> None:
    """A gap of 2 ±35 may be one of 30 (a clear one begins at 10); one of 2 ±3 may not."""
    for name, lightness in (("one", 52), ("other", 50)):
        photo_of_strips(Path(f"{name}.png"), lightness)
    shelf("photo A1 one.png")
    shelf("photo A2 other.png")
    assert "weak: the two groups seem to run together, but that is not sure." in shelf(
        "contrast A1 A2"
    )
    shelf("lightness A1 52")
    shelf("lightness A2 50")
    assert "gap 2.0 ±3, weak: the two groups will run together." in shelf("contrast A1 A2")


def test_what_one_photo_shows_is_marked_as_provisional(shelf: Terminal) -> None:
    """As everywhere: ~ before a lightness that nothing known speaks for."""
    photo_of_strips(Path("five.png"), *FIVE)
    said = shelf("lineup five.png A1 A2 A3 A4 A5")
    assert "~82  1 A1 “Chalk”" in said
    assert "each by itself ±25" in said
