"""Cutting diagrams and pages: to scale, complete, and as a person approved them."""

import io
import re
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from stashkeeper.cutting.plan import PiecePlan
from stashkeeper.cutting.planner import plan_cuts
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.cutting_diagram import FADED, Drawing, diagram_svg, faded
from stashkeeper.pictures.cutting_pages import CuttingPages, PieceSheet, draw_cutting_pages
from stashkeeper.pictures.paper import DOTS_PER_INCH
from tests.cutting.inches import cloth, cut, trims
from tests.pictures.test_gold import compare

SVG = "{http://www.w3.org/2000/svg}"


def piece_with(**more: object) -> PiecePlan:
    """Return how twelve squares and a few strips are cut from a fat quarter with one selvedge."""
    fat_quarter = cloth(
        "A7", 20.5, 17.5, trims=trims("0.5", 0, "0.5", 0), selvedges=frozenset({Edge.LEFT}), **more
    )
    cuts = [cut("A", 4.5, 4.5, 9), cut("strip", 1.5, 17.5, 2)]
    (piece,) = plan_cuts([fat_quarter], cuts, seconds=1.0).scraps_first.pieces
    return piece


@pytest.fixture(scope="module")
def piece() -> PiecePlan:
    return piece_with()


def check_cloth() -> Image.Image:
    """Return a look at a checked fabric."""
    rows, columns = np.indices((240, 240)) // 30
    checks = ((rows + columns) % 2).astype(np.uint8)
    return Image.fromarray(np.stack([checks * 120, checks * 60 + 40, checks * 90 + 60], axis=-1))


def sheet_of(piece: PiecePlan, **more: object) -> PieceSheet:
    drawing = Drawing(piece, "harbour check", "along", cloth=check_cloth(), **more)  # type: ignore[arg-type]
    steps = [(1, "Press A7 flat."), (2, "Square up A7: trim ½ in off the left edge.")]
    return PieceSheet(drawing, "Shelf 2 / Blue box", "9 × A, 2 × strip", (), steps)


def pages_of(piece: PiecePlan, paper: Paper = Paper.LETTER) -> bytes:
    return draw_cutting_pages(
        CuttingPages(
            "Plan 3, scraps first",
            [("A", "9 × 4½ × 4½ in"), ("strip", "2 × 1½ × 17½ in")],
            [("cloth used", "378 sq in")],
            ["Close the blade every time you put the cutter down."],
            [sheet_of(piece)],
            paper,
        )
    )


def words_of(pdf: bytes) -> list[str]:
    """Return the text of every page, read by a library of its own."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_range() for page in document]


def test_the_pages_name_everything(piece: PiecePlan) -> None:
    overview, drawn = words_of(pages_of(piece))
    for words in ("Plan 3, scraps first", "9 × 4½ × 4½ in", "Close the blade", "Shelf 2"):
        assert words in overview
    for words in ("A7", "harbour check", "selvedge", "print along", "1 in", "keep", "Scale 1 :"):
        assert words in drawn
    # Every piece that comes off has its name.
    assert len(re.findall(r"\bA\b", drawn)) >= 9
    assert len(re.findall(r"\bstrip\b", drawn)) >= 3


def test_every_cut_has_its_number(piece: PiecePlan) -> None:
    root = ElementTree.fromstring(diagram_svg(Drawing(piece, "check")))
    numbers = [text.text for text in root.iter(f"{SVG}text") if (text.text or "").isdecimal()]
    assert numbers == [f"{number}" for number in range(1, len(piece.lines) + 1)]
    assert len(list(root.iter(f"{SVG}circle"))) == len(piece.lines)


@pytest.mark.parametrize("paper", list(Paper))
def test_the_inch_square_measures_an_inch(piece: PiecePlan, paper: Paper) -> None:
    page = page_images(pages_of(piece, paper))[1]
    foot = np.asarray(page.convert("L"))[-int(1.6 * DOTS_PER_INCH) :, -int(2 * DOTS_PER_INCH) :]
    dark = foot < 128
    rows = np.flatnonzero(dark.sum(axis=1) > 0.9 * DOTS_PER_INCH)
    columns = np.flatnonzero(dark.sum(axis=0) > 0.9 * DOTS_PER_INCH)
    assert rows[-1] - rows[0] + 1 == pytest.approx(DOTS_PER_INCH, abs=3)
    assert columns[-1] - columns[0] + 1 == pytest.approx(DOTS_PER_INCH, abs=3)


def lines_of(svg: str) -> list[tuple[float, ...]]:
    root = ElementTree.fromstring(svg)
    return [
        tuple(float(line.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
        for line in root.iter(f"{SVG}line")
    ]


def test_a_cut_is_drawn_to_scale(piece: PiecePlan) -> None:
    svg = diagram_svg(Drawing(piece, "harbour check"))
    match = re.search(r"1 to (\d+)</title>", svg)
    assert match
    px_per_inch = 96 / int(match[1])
    first = piece.lines[0]
    x, y = 34.0, 34.0
    width, length = piece.cloth.whole.width, piece.cloth.whole.length
    assert (float(width.inches), float(length.inches)) == (21.0, 18.0)
    # The first cut, from the corner at the lower left.
    if first.direction.value == "along the length":
        at = x + float((first.box.left + first.setting).inches) * px_per_inch
        assert any(abs(line[0] - at) < 0.02 and abs(line[2] - at) < 0.02 for line in lines_of(svg))
    else:
        at = y + float((length - first.box.near - first.setting).inches) * px_per_inch
        assert any(abs(line[1] - at) < 0.02 and abs(line[3] - at) < 0.02 for line in lines_of(svg))


def test_a_left_handed_diagram_is_turned_half_way_round(piece: PiecePlan) -> None:
    right = lines_of(diagram_svg(Drawing(piece, "check")))
    left = lines_of(diagram_svg(Drawing(piece, "check", left_handed=True)))
    root = ElementTree.fromstring(diagram_svg(Drawing(piece, "check")))
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    cuts = [
        line for line in right if (abs(line[0] - line[2]) > 60) != (abs(line[1] - line[3]) > 60)
    ]
    cuts = [line for line in cuts if line[0] == line[2] or line[1] == line[3]]
    turned = {
        (round(width - x2, 1), round(height - y2, 1), round(width - x1, 1), round(height - y1, 1))
        for x1, y1, x2, y2 in cuts
    }
    assert turned <= {tuple(round(end, 1) for end in line) for line in left} | {
        (x2, y2, x1, y1) for x1, y1, x2, y2 in (tuple(round(e, 1) for e in one) for one in left)
    }


def test_an_svg_is_one_file_that_says_what_it_is(piece: PiecePlan) -> None:
    svg = diagram_svg(Drawing(piece, "harbour <check> & dots", cloth=check_cloth()))
    root = ElementTree.fromstring(svg)
    (title,) = root.iter(f"{SVG}title")
    assert title.text is not None
    assert "harbour <check> & dots" in title.text
    (picture,) = root.iter(f"{SVG}image")
    assert picture.attrib["href"].startswith("data:image/jpeg;base64,")
    # It fetches nothing: the only address is the name of the language itself.
    assert svg.count("http") == 1


def test_the_cloth_beneath_is_faint() -> None:
    look = check_cloth()
    faint = np.asarray(faded(look, 1.0), dtype=float)
    # Black becomes so light that print on it is read easily: FADED of white.
    assert faint.min() >= 255 * FADED - 1
    assert faded(look, 2.0).size == (240, 120)


def test_the_same_pages_are_the_same_bytes(piece: PiecePlan) -> None:
    assert pages_of(piece) == pages_of(piece)


@pytest.mark.campaign
def test_a_plan_with_hundreds_of_cuts_is_drawn() -> None:
    (many,) = plan_cuts(
        [cloth("B2", 40, 36)], [cut("A", 1.5, 1.5, 600)], seconds=0.5
    ).scraps_first.pieces
    drawing = Drawing(many, "tiny")
    assert diagram_svg(drawing).count("<circle") == len(many.lines)
    steps = [(number, "Cut it on and on. " * 9) for number in range(1, 60)]
    sheet = PieceSheet(drawing, "", "600 × A", (), steps)
    pdf = draw_cutting_pages(CuttingPages("Plan", (), (), (), [sheet]))
    assert len(words_of(pdf)) > 2
    assert io.BytesIO(pdf).read(5) == b"%PDF-"


def test_the_page_is_as_a_person_approved_it(piece: PiecePlan) -> None:
    compare("cutting-page-letter", page_images(pages_of(piece))[1])
