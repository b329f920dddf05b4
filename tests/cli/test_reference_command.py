"""The reference card on the command line: drawn, known, and cloth measured beside it."""

from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from stashkeeper.luminance.card_layout import NOMINAL
from tests.cli.terminal import Terminal
from tests.luminance.made import cie_lightness, srgb_light
from tests.simulated_phone.posed import PIECE, PIECE_AT, Pose, seen, table

POSE = Pose(80, turn=4, tilt=6)
KNOWN = "known 7F3K 100 " + " ".join(f"{lightness:g}" for lightness in NOMINAL)
"""A perfect printer: the card comes out with the codes it was drawn with, its paper code 255."""


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a photo of cloth beside a perfectly printed card, a little under-exposed."""
    file = tmp_path_factory.mktemp("photos") / "beside.jpg"
    picture = seen(POSE, seed=3).image
    picture.point([round(0.9 * code) for code in range(256)] * 3).save(file, quality=92)
    return file


def true_lightness() -> float:
    """Return L* of the cloth on the table: of its sRGB codes (IEC 61966-2-1, CIE 15)."""
    x, y = (round((edge + PIECE / 2) / 25.4 * 100) for edge in PIECE_AT)
    codes = table(100, seed=3).getpixel((x, y))
    assert isinstance(codes, tuple)
    light = [srgb_light(code) for code in codes]
    return cie_lightness(float(np.array([0.2126, 0.7152, 0.0722]) @ light))


def test_a_card_is_drawn_on_the_paper_wanted(run: Terminal) -> None:
    said = run("card card.pdf --paper letter --name 7f3k")
    assert "Drew reference card 7F3K for letter: card.pdf" in said
    (page,) = pypdfium2.PdfDocument("card.pdf")
    assert page.get_size() == pytest.approx((612, 792), abs=1)


def test_every_card_has_a_name_of_its_own(run: Terminal) -> None:
    names = {run.json(f"card {number}.pdf")["card_id"] for number in range(3)}
    assert len(names) == 3


def test_cloth_beside_a_card_of_known_greys_is_measured(run: Terminal, photo: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    run(f"card {KNOWN}")
    said = run(f"reference A1 {photo}")
    assert "reference card in the photo" in said
    reading = run.json("show A1")["reading"]
    assert reading["lightness"] == pytest.approx(true_lightness(), abs=2.0)
    assert (reading["method"], reading["provisional"]) == ("card", False)
    assert reading["uncertainty"] < 10


def test_without_known_greys_it_says_that_the_scale_is_wider(run: Terminal, photo: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    | Moss | 21 x 18 |
    """
    said = run(f"reference A1 {photo}")
    assert "never measured" in said
    wide = run.json("show A1")["reading"]["uncertainty"]
    run(f"card {KNOWN}")
    run(f"reference A2 {photo} --crop 0.55,0.4,0.65,0.55")
    assert run.json("show A2")["reading"]["uncertainty"] < wide


def test_a_size_is_offered_and_only_kept_on_a_yes(run: Terminal, photo: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    said = run(f"reference A1 {photo}")
    assert "It seems to be about 5⅞ × 5⅞ in; add --keep-size" in said
    assert run.json("show A1")["size"]["width"]["inches"] == 21
    run("undo")
    run(f"reference A1 {photo} --keep-size")
    shown = run.json("show A1")
    # The piece is 6 in square; a size rounds down and is at most 2 % off.
    assert 5.75 <= shown["size"]["width"]["inches"] <= 6
    assert shown["basis"] == "about"


def test_beside_plain_paper_a_reading_is_weak(run: Terminal, tmp_path: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    picture = Image.new("RGB", (400, 300), (90, 120, 60))
    picture.paste((120, 120, 120), (250, 0, 400, 300))
    picture.save(tmp_path / "grey.png")
    beside = f"reference A1 {tmp_path / 'grey.png'} --crop 0.1,0.1,0.5,0.9"
    said = run(f"{beside} --paper 0.7,0.1,0.95,0.9 --paper-lightness 50")
    assert "Paper alone is weak" in said
    reading = run.json("show A1")["reading"]
    assert (reading["method"], reading["provisional"]) == ("paper", True)
    assert "Where the cloth is" in run.refused(
        f"reference A1 {tmp_path / 'grey.png'} --paper 0.7,0.1,0.95,0.9"
    )


def test_nothing_is_kept_where_there_is_no_card(run: Terminal, tmp_path: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    Image.new("RGB", (400, 300), (90, 120, 60)).save(tmp_path / "plain.jpg")
    said = run.refused(f"reference A1 {tmp_path / 'plain.jpg'}")
    assert "No reference card can be found in plain.jpg" in said
    assert run.json("show A1")["reading"] is None


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("card known 7F3K 94 83 72", "3 numbers were given"),
        ("card known 7F3K 94 83 72 60 49 50 27", "get darker one by one"),
        ("card known 7F3K 94 83 72 60 49 x 27", "get darker one by one"),
        ("card known 7F 94 83 72 60 49 37 27", "no card's name"),
        ("card known", "card's name is missing"),
        ("card card.png", "does not end in .pdf"),
        ("card card.pdf --paper napkin", "is no paper"),
    ],
)
def test_what_makes_no_sense_is_told(run: Terminal, words: str, told: str) -> None:
    assert told in run.refused(words)


def test_once_its_greys_are_known_the_photos_of_a_card_are_read_anew(
    run: Terminal, photo: Path
) -> None:
    """The same photo says more then; the readings of before stay on record.

    | name | size    |
    | Moss | 21 x 18 |
    """
    run(f"reference A1 {photo}")
    before = run.json("show A1")["reading"]
    assert "on record for “Moss” already" in run.refused(f"reference A1 {photo}")
    run(f"card {KNOWN}")
    run(f"reference A1 {photo}")
    after = run.json("show A1")["reading"]
    assert after["uncertainty"] < before["uncertainty"]
    assert abs(after["lightness"] - true_lightness()) < 2.0
    assert "on record for “Moss” already" in run.refused(f"reference A1 {photo}")
    run("undo")
    assert run.json("show A1")["reading"] == before


def test_where_another_reading_counts_both_are_told(run: Terminal, photo: Path) -> None:
    """Typed from an instrument (±2) the cloth is known better, but may be another cloth.

    | name | size    |
    | Moss | 21 x 18 |
    """
    run(f"lightness A1 {true_lightness() + 3:.0f}")
    said = run(f"reference A1 {photo}")
    assert "another reading is surer, so that one counts" in said
    assert "apart" not in said
    run("undo")
    run("lightness A1 20")
    said = run(f"reference A1 {photo}")
    assert "apart, more than they should be: is this the right cloth" in said
    assert "Lightness 20 ±2" in said


def test_beside_a_chart_it_must_be_said_where_the_cloth_is(run: Terminal, photo: Path) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    said = run.refused(f"reference A1 {photo} --chart '0,0 1,0 1,1 0,1'")
    assert "--crop" in said
    said = run.refused(f"reference A1 {photo} --chart '0,0 1,0 1,1' --crop 0,0,1,1")
    assert "is not four corners" in said


@pytest.mark.parametrize(
    "options",
    ["--chart '0,0 1,0 1,1 0,1' --paper 0,0,1,1", "--paper-lightness 50"],
)
def test_one_thing_of_known_lightness_is_given_not_two_or_half_a_one(
    run: Terminal, photo: Path, options: str
) -> None:
    """The shelf.

    | name | size    |
    | Moss | 21 x 18 |
    """
    said = run.refused(f"reference A1 {photo} --crop 0.6,0.3,0.8,0.5 {options}")
    assert "not clear what of known lightness" in said
    assert run.json("show A1")["reading"] is None
