"""The sheet on the command line: real files that open, with every fabric on them."""

from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal


def words_of(file: Path) -> str:
    """Return the words on all pages of a PDF."""
    document = pypdfium2.PdfDocument(file)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


def test_a_pdf_opens_and_names_every_fabric(run: Terminal) -> None:
    """The shelf.

    | name      | lightness |
    | Cream     | 90        |
    | Navy dots | 18        |
    | Plaid     |           |
    """
    photo_of(Path("sage.png"), 55)
    run("add 'Sage stripe' --size fq --photo sage.png")
    assert run("sheet shelf.pdf --title 'Autumn shelf'") == "Drew 4 fabrics: shelf.pdf\n"
    words = words_of(Path("shelf.pdf"))
    for word in ("Autumn shelf", "A1", "Cream", "A2", "Navy dots", "A3", "Plaid", "A4", "Sage"):
        assert word in words


@pytest.mark.parametrize(
    ("paper", "millimetres"),
    [("letter", (215.9, 279.4)), ("a4", (210, 297))],  # ANSI/ASME Y14.1 size A, ISO 216
)
def test_the_paper_is_the_one_asked_for(
    run: Terminal, paper: str, millimetres: tuple[float, float]
) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 90        |
    """
    run(f"sheet shelf.pdf --paper {paper.upper()}")
    document = pypdfium2.PdfDocument("shelf.pdf")
    assert document[0].get_size() == pytest.approx([size / 25.4 * 72 for size in millimetres], 1e-3)
    document.close()


def test_a_png_opens_and_shows_the_cloth(run: Terminal) -> None:
    Image.new("RGB", (80, 60), (180, 30, 40)).save("red.png")
    run("add Red --size fq --photo red.png")
    assert run.json("sheet shelf.png")["files"] == ["shelf.png"]
    with Image.open("shelf.png") as sheet:
        assert sheet.format == "PNG"
        pixels = np.asarray(sheet.convert("RGB")).astype(int)
    # In its own colour, as nearly as the sheet's JPEG keeps it; its grey twin is as large.
    assert (abs(pixels - (180, 30, 40)).max(axis=2) <= 4).sum() > 1000
    # sRGB (180, 30, 40) has L* 39.2, as has grey 92 (IEC 61966-2-1, CIE 15).
    assert (abs(pixels - 92).max(axis=2) <= 4).sum() > 1000


def test_many_fabrics_take_several_pages(run: Terminal) -> None:
    for number in range(32):
        run(f"add 'Fabric {number}' --size fq --lightness {2 * number + 20}")
    files = run.json("sheet shelf.png")["files"]
    assert files == [f"shelf-{number}.png" for number in range(1, len(files) + 1)]
    assert len(files) > 1 and all(Path(file).stat().st_size > 10_000 for file in files)
    run("sheet shelf.pdf")
    words = words_of(Path("shelf.pdf"))
    assert all(f"Fabric {number}" in words for number in range(32))


def test_pieces_of_one_fabric_share_a_swatch(run: Terminal) -> None:
    run("add Sage --size fq --lightness 50 --count 3")
    assert run("sheet shelf.pdf") == "Drew 1 fabric: shelf.pdf\n"


def test_only_what_was_searched_for_is_drawn(run: Terminal) -> None:
    """The shelf.

    | name  | lightness | tag    |
    | Cream | 90        | autumn |
    | Navy  | 18        |        |
    """
    run("sheet shelf.pdf tag:autumn --by split")
    words = words_of(Path("shelf.pdf"))
    assert "Cream" in words and "Navy" not in words


def test_weak_pairs_are_told_on_the_sheet(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 67        |
    | Sage  | 63        |
    """
    run("sheet shelf.pdf")
    assert "weak" in words_of(Path("shelf.pdf")).lower()


def test_a_sheet_replaces_the_one_before_as_a_whole(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 67        |
    """
    Path("shelf.pdf").write_text("old")
    run("sheet shelf.pdf")
    assert "Cream" in words_of(Path("shelf.pdf"))
    assert [path.name for path in Path().iterdir() if "part" in path.name] == []


def test_a_name_in_any_script_can_be_drawn(run: Terminal) -> None:
    for name in ("藍染めの布", "قماش أزرق", "Sea 🌊 & 🧵", "Čeština ½"):
        run("add --size fq --lightness 50 --", name)
    assert run("sheet shelf.pdf").startswith("Drew 4 fabrics")
    assert run("sheet shelf.png").startswith("Drew 4 fabrics")


def test_a_photo_gone_from_the_stash_spoils_no_sheet(run: Terminal) -> None:
    photo_of(Path("sage.png"), 55)
    run("add Sage --size fq --photo sage.png")
    for photo in (run.home / "photos").rglob("*.png"):
        photo.unlink()
    answer = run.type("sheet shelf.pdf")
    assert answer.status == 0, answer
    assert "Sage" in words_of(Path("shelf.pdf"))
