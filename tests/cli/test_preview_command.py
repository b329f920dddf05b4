"""A quilt seen first, on the command line: files that open, fabrics, scale of print, weak seams."""

import shutil
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from stashkeeper.actions.preview_fabrics import region_width
from stashkeeper.actions.stash import open_stash
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.print_scales import print_scales
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.lengths.length import Measure
from stashkeeper.settings.load import load_settings
from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal
from tests.simulated_phone.posed import Pose, seen

STAR = "preview 'friendship star' star.pdf --columns 6 --rows 6"


def words_of(file: Path) -> str:
    """Return the words on all pages of a PDF."""
    document = pypdfium2.PdfDocument(file)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


@pytest.fixture(scope="module")
def stocked(empty_stash: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a stash with four fabrics, two of them with photos; to copy it is quicker."""
    folder = tmp_path_factory.mktemp("stocked")
    shutil.copytree(empty_stash, folder / "stash")
    fill = Terminal(folder / "stash")
    at = f"--stash {folder / 'stash'}"
    fill(f"add Cream --size fq {at} --photo", photo_of(folder / "cream.png", 85))
    fill(f"add Moss --size 'half yard' {at} --photo", photo_of(folder / "moss.png", 40))
    fill(f"add Navy --size fq --lightness 20 {at}")
    fill(f"add Fern --size fq --lightness 38 {at}")
    return folder / "stash"


@pytest.fixture
def shelf(run: Terminal, stocked: Path) -> Terminal:
    """Return a terminal with four fabrics, two of them with photos."""
    shutil.rmtree(run.home)
    shutil.copytree(stocked, run.home)
    return run


def test_a_layout_is_drawn_with_fabrics(shelf: Terminal) -> None:
    said = shelf(f"{STAR} --fabric star=A3 --fabric background=A1")
    assert said.startswith("Drew star.pdf\n")
    words = words_of(Path("star.pdf"))
    for word in ("Friendship star", "24 × 24 in finished · units of 4 in", "star", "A3", "A1"):
        assert word in words


@pytest.mark.parametrize(
    ("kind", "head"), [("png", b"\x89PNG"), ("svg", b"<svg"), ("pdf", b"%PDF")]
)
def test_every_kind_of_file(shelf: Terminal, kind: str, head: bytes) -> None:
    shelf(f"preview pinwheel out.{kind} --fabric blade=A2 --fabric background=A1")
    assert Path(f"out.{kind}").read_bytes().startswith(head)


def test_a_png_shows_the_cloth_in_its_own_colour(run: Terminal) -> None:
    Image.new("RGB", (80, 60), (180, 30, 40)).save("red.png")
    run("add Red --size fq --photo red.png")
    run("preview checkerboard out.png --columns 2 --rows 2 --fabric light=A1 --fabric dark=A1")
    with Image.open("out.png") as picture:
        pixels = np.asarray(picture.convert("RGB")).astype(int)
    assert (abs(pixels - (180, 30, 40)).max(axis=2) <= 5).mean() > 0.1


def test_a_project_shows_the_pieces_chosen_for_it(shelf: Terminal) -> None:
    shelf("project new Quay --layout pinwheel --unit 3in --columns 6 --rows 6")
    shelf("preview Quay quay.pdf")
    assert "no fabric yet" in words_of(Path("quay.pdf"))
    shelf("preview Quay quay.pdf --fabric blade=A3")
    words = words_of(Path("quay.pdf"))
    assert "Quay" in words and "18 × 18 in finished · units of 3 in" in words and "A3" in words
    assert "has its own layout" in shelf.refused("preview Quay quay.pdf --unit 5")


def test_a_quilt_on_point_is_told_the_same_size_everywhere(shelf: Terminal) -> None:
    """A block of 9 in on point is 9 × √2 = 12.73 in across, so 12¾ at the next ruler mark."""
    shelf("project new Tip --layout 'churn dash' --unit 3in --columns 3 --rows 3 --on-point t")
    shelf("preview Tip tip.pdf")
    assert "12¾ × 12¾ in finished" in words_of(Path("tip.pdf"))
    assert "12¾ × 12¾ in" in shelf("project show Tip")


def test_other_fabrics_stand_beside_the_first(shelf: Terminal) -> None:
    shelf(
        f"{STAR} --fabric star=A3 --fabric background=A1 --instead star=A2 "
        "--instead 'star=A4; background=A2'"
    )
    words = words_of(Path("star.pdf"))
    assert "In these fabrics" in words and "star: A2" in words
    assert "star: A4, background: A2" in words


def test_weak_seams_are_told_and_those_of_one_fabric(shelf: Terminal) -> None:
    """Typed lightnesses of 20 and 22 are 2 apart: below 5, so weak."""
    shelf("add Ink --size fq --lightness 22")
    said = shelf(f"{STAR} --fabric star=A3 --fabric background=A5")
    assert "a: background – star weak where they meet, 2.0 ±" in said
    assert "they run together" in said
    assert "are the same fabric, A3." in shelf(f"{STAR} --fabric star=A3 --fabric background=A3")


def test_roles_that_are_meant_alike_may_be_weak(shelf: Terminal) -> None:
    Path("mine.txt").write_text(
        "roles:\n  sea: dark\n  sky: dark\nunits:\n  a = square: sea\n  b = square: sky\n"
        "grid:\n  a b\n  b a\n"
    )
    said = shelf("preview mine.txt out.pdf --fabric sea=A3 --fabric sky=A3")
    assert "weak" not in said and "same fabric" not in said
    assert "both meant alike" in words_of(Path("out.pdf"))


def test_the_scale_of_print_is_told_or_said_to_be_assumed(shelf: Terminal) -> None:
    said = shelf(f"{STAR} --fabric star=A2 --fabric background=A1")
    assert "Scale of print assumed for A1: as if its photo shows the whole piece." in said
    assert "Scale of print assumed for A2: as if its photo shows 10 in of it." in said
    assert "as if its photo shows" in words_of(Path("star.pdf"))


def row_and_width(run: Terminal) -> tuple[PieceRow, float, str]:
    """Return the only piece, how wide its region is said to be, and what that is taken from."""
    with open_stash(load_settings(run.home, {})) as stash, stash.reading() as session:
        (row,) = select_pieces(session, Search(), Thresholds())
        scale = print_scales(session, [row.fabric_id])[row.fabric_id]
    width = region_width(row, scale, Measure.INCHES)
    return row, width.inches, width.assumed


def test_the_card_tells_the_scale(run: Terminal, tmp_path: Path) -> None:
    """A simulated photo at 80 pixels to the inch: a region as wide as the photo is width / 80."""
    picture = seen(Pose(80, turn=4, tilt=6), seed=3).image
    picture.save("beside.jpg", quality=92)
    run("add Moss --size fq")
    run("reference A1 beside.jpg")
    row, inches, assumed = row_and_width(run)
    assert not assumed and row.corners is not None
    across = max(x for x, _ in row.corners) - min(x for x, _ in row.corners)
    assert inches == pytest.approx(across * picture.width / 80, rel=0.05)
    said = run("preview checkerboard out.pdf --fabric light=A1 --fabric dark=A1")
    assert "Prints at true scale: A1, by the card in the photo." in said


def test_without_a_card_the_photo_is_taken_to_show_the_whole_piece(run: Terminal) -> None:
    """A photo 240 × 200 of a piece 18 × 21: its longer side is 21, and 0.8 of it is the region."""
    photo_of(Path("moss.png"), 40)
    run("add Moss --size '18 x 21' --photo moss.png")
    _, inches, assumed = row_and_width(run)
    assert inches == pytest.approx(0.8 * 21) and assumed == "the whole piece"


def test_an_outline_to_colour_by_hand(run: Terminal) -> None:
    run("preview 'churn dash' out.svg --outline --columns 6 --rows 6 --border 'frame: 2 in'")
    picture = Path("out.svg").read_text(encoding="utf-8")
    assert "<image" not in picture and picture.count("<line") > 20 and ">frame<" in picture
    run("settings measure centimetres")
    run("preview 'churn dash' out.pdf --outline")
    assert "30 × 30 cm finished · units of 10 cm" in words_of(Path("out.pdf"))


def test_a_photo_gone_from_the_stash_spoils_no_preview(shelf: Terminal) -> None:
    for photo in (shelf.home / "photos").rglob("*.png"):
        photo.unlink()
    said = shelf(f"{STAR} --fabric star=A2 --fabric background=A1")
    assert said == "Drew star.pdf\n"


def test_a_large_grid_is_drawn_and_no_outline_of_it(run: Terminal) -> None:
    run("preview checkerboard out.pdf --columns 50 --rows 50 --unit 1")
    said = run.refused("preview checkerboard out.svg --columns 200 --rows 200 --unit 1 --outline")
    assert "too small to colour by hand" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("nothing out.pdf", "No project or layout is called “nothing”."),
        ("pinwhel out.pdf", "Did you mean “pinwheel”?"),
        ("pinwheel out.gif", "A preview is a PDF, PNG or SVG"),
        ("pinwheel out.pdf --fabric star=A1", "The quilt has no role “star”."),
        ("pinwheel out.pdf --fabric blade", "does not say which fabric plays which role"),
        ("pinwheel out.pdf --fabric blade=", "does not say which fabric plays which role"),
        ("pinwheel out.pdf --fabric blade=Z99", "No piece has the code “Z99”."),
        ("pinwheel out.pdf --fabric 'blade=?!'", "is no code of a piece"),
        ("pinwheel out.pdf --instead ''", "No other fabric was named."),
        ("pinwheel out.pdf" + " --instead blade=A1" * 4, "Look at 3 at a time at most."),
        ("pinwheel out.pdf --paper a5", "“a5” is no paper."),
        ("pinwheel out.pdf --unit 0", "“0” is nothing"),
        ("pinwheel out.pdf --rows 0", "0 is no possible number of rows."),
        ("pinwheel out.pdf --columns 5 --rows 4", "4 × 4 would do"),
        ("pinwheel out.pdf --border 2in", "does not say what it is made of"),
        ("checkerboard out.pdf --columns 900 --rows 900 --unit 3", "is too long"),
    ],
)
def test_what_cannot_be_drawn_is_refused(run: Terminal, words: str, said: str) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 90        |
    """
    assert said in run.refused(f"preview {words}")
    assert not Path("out.pdf").exists()
