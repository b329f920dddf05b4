"""Labels by the command line: drawn to a file, and read back from a picture of it."""

from pathlib import Path

import pytest
import zxingcpp

from stashkeeper.pictures.canvas import page_images
from tests.cli.terminal import Terminal


def pictured(pdf: Path) -> Path:
    """Save a picture of the first page of a PDF beside it, and return its file."""
    out = pdf.with_suffix(".png")
    page_images(pdf.read_bytes())[0].save(out)
    return out


def test_labels_are_drawn_and_read(run: Terminal, tmp_path: Path) -> None:
    run('add "Night garden" --size "fat quarter" --lightness 40')
    run('add "Ink" --size "18 x 21" --lightness 12')
    said = run("labels labels.pdf ink --sheet 63.5x38.1 --start 3")
    assert said.splitlines() == [
        "1 label, A2, on 1 sheet (63.5 × 38.1 mm, 21 a sheet on A4): labels.pdf",
        "Print at full size (100 %), first on plain paper held against a sheet of labels.",
        "The next free label of the last sheet is number 4.",
    ]
    read = run("read-label", pictured(tmp_path / "labels.pdf"))
    assert read == run("show A2")


def test_the_address_is_in_the_code(run: Terminal, tmp_path: Path) -> None:
    run('add "Ink" --size "18 x 21" --lightness 12')
    run("labels labels.pdf --address http://localhost:8737/")
    (page,) = page_images((tmp_path / "labels.pdf").read_bytes())
    assert [one.text for one in zxingcpp.read_barcodes(page)] == ["http://localhost:8737/piece/A1"]


def test_json_tells_the_same(run: Terminal) -> None:
    run('add "Ink" --size "18 x 21" --lightness 12')
    told = run.json("labels labels.pdf")
    assert (told["codes"], told["sheets"], told["next_start"]) == (["A1"], 1, 2)


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        ("labels labels.png", "Labels are a PDF, and “labels.png” is none."),
        ("labels labels.pdf --sheet 1x1", "“1x1” is no sheet of labels known here."),
        ("labels labels.pdf --start 0", "There is no label 0 on this sheet: it has 30."),
        ("labels labels.pdf --address here", "“here” is no address of a page."),
        ("labels labels.pdf no-such-cloth", "No piece answers, so there is no label to draw."),
        ("read-label nowhere.jpg", "nowhere.jpg"),
    ],
)
def test_what_cannot_be_done_is_said(
    run: Terminal, tmp_path: Path, words: str, problem: str
) -> None:
    run('add "Ink" --size "18 x 21" --lightness 12')
    assert problem in run.refused(words)
    assert not list(tmp_path.glob("labels.*"))


def test_the_sheet_of_a_choice(run: Terminal, tmp_path: Path) -> None:
    run('add "Milk" --size "18 x 21" --lightness 92')
    run('add "Ink" --size "18 x 21" --lightness 12')
    said = run('contrast A1 "" A2 --sheet choice.pdf --title "Two"')
    assert said.splitlines()[-1] == "Drew 2 fabrics: choice.pdf"
    assert (tmp_path / "choice.pdf").read_bytes().startswith(b"%PDF")
