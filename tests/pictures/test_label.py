"""Labels: in their place to a tenth of a millimetre, and read by a decoder that is not ours."""

import io
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from numpy.typing import NDArray
from PIL import Image

from sample_photos.phone import develop, expose
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import page_count, page_image, page_images
from stashkeeper.pictures.greys import encoded
from stashkeeper.pictures.label import Label, code_modules, draw_labels
from stashkeeper.pictures.label_reading import read_codes
from stashkeeper.pictures.label_sheets import (
    LABEL_SHEETS,
    LabelSheet,
    millimetres_of,
    parse_label_sheet,
    usual_sheet,
)

MILLIMETRES_PER_POINT = 25.4 / 72
DOTS_PER_MILLIMETRE = 240 / 25.4
ADDRESS = "http://localhost:8737/piece/"
USUAL = {"45.7x21.2", "66.7x25.4", "101.6x50.8"}
OFTEN = [
    pytest.param(sheet, marks=() if sheet.key in USUAL else pytest.mark.campaign)
    for sheet in LABEL_SHEETS
]
"""Every sheet; those with small, middling and large labels are tried every time."""


def some(count: int, place: str = "Shelf 2 / Blue box") -> list[Label]:
    """Return labels with a long and a short name by turns."""
    names = ("Night garden", "Chandler's pinstripe on a ground of harbour blue")
    return [
        Label(f"A{n}", names[n % 2], "42⅛ × 109⅞ in", place, f"{ADDRESS}A{n}")
        for n in range(1, count + 1)
    ]


def pages_of(pdf: bytes) -> list[NDArray[np.uint8]]:
    """Return the pages in grey, 240 dots to the inch, as PDFium shows them."""
    return [np.asarray(page.convert("L")) for page in page_images(pdf)]


def words_by_page(pdf: bytes) -> list[str]:
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_range() for page in document]


def codes_in(page: NDArray[np.uint8]) -> Sequence[zxingcpp.Barcode]:
    """Return the codes that ZXing finds on a page, from the top left one on."""
    found = zxingcpp.read_barcodes(np.ascontiguousarray(page))
    return sorted(found, key=lambda one: (one.position.top_left.y // 60, one.position.top_left.x))


@pytest.mark.parametrize("sheet", OFTEN, ids=lambda sheet: sheet.key)
def test_every_label_can_be_scanned(sheet: LabelSheet) -> None:
    """ZXing is a decoder of its own (C++); the codes are made by segno."""
    (page,) = pages_of(draw_labels(some(sheet.count), sheet))
    found = codes_in(page)
    assert {one.text for one in found} == {f"{ADDRESS}A{n}" for n in range(1, sheet.count + 1)}


@pytest.mark.parametrize("sheet", OFTEN, ids=lambda sheet: sheet.key)
def test_ink_stays_inside_its_own_label(sheet: LabelSheet) -> None:
    """Measured in the rendered page, in millimetres: 1 mm stays free along every edge."""
    (page,) = pages_of(draw_labels(some(sheet.count), sheet))
    inked = page < 128
    for place in range(sheet.count):
        x, y = sheet.corner(place)
        left, right = x * DOTS_PER_MILLIMETRE, (x + sheet.width) * DOTS_PER_MILLIMETRE
        top, bottom = y * DOTS_PER_MILLIMETRE, (y + sheet.height) * DOTS_PER_MILLIMETRE
        rim = 1.0 * DOTS_PER_MILLIMETRE
        own = inked[round(top) : round(bottom), round(left) : round(right)]
        inside = inked[
            round(top + rim) : round(bottom - rim), round(left + rim) : round(right - rim)
        ]
        assert inside.sum() > 1_000  # something is printed on it
        assert own.sum() == inside.sum()
        inked[round(top) : round(bottom), round(left) : round(right)] = False
    # What is left of the page is at most the line of 100 mm.
    assert inked[: round(sheet.margins[1] * DOTS_PER_MILLIMETRE)].sum() == 0


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_outlines_are_where_the_labels_are(sheet: LabelSheet) -> None:
    """Each edge is found in the rendered page within 0.15 mm (a dot and a half) of its place."""
    (page,) = pages_of(draw_labels(some(1), sheet, start=sheet.count, outline=True))
    for place in range(sheet.count):
        x, y = sheet.corner(place)
        middle = round((y + 0.85 * sheet.height) * DOTS_PER_MILLIMETRE)
        across = round((x + sheet.width / 2) * DOTS_PER_MILLIMETRE)
        for edge, line in ((x, page[middle]), (x + sheet.width, page[middle])):
            assert nearest_ink(line, edge) <= 0.15, (place, "across")
        for edge in (y, y + sheet.height):
            assert nearest_ink(page[:, across], edge) <= 0.15, (place, "down")


def nearest_ink(line: NDArray[np.uint8], wanted: float) -> float:
    """Return how far from `wanted` (mm) the nearest dot of ink on a line of dots is, in mm."""
    inked = (np.flatnonzero(line < 200) + 0.5) / DOTS_PER_MILLIMETRE
    return float(np.abs(inked - wanted).min())


def test_one_thread_renders_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """PDFium is not made for two threads; a lock of ours sees to it that they take turns."""
    inside, most = [0], [0]
    real = pypdfium2.PdfDocument

    class Watched(real):  # type: ignore[misc, valid-type]
        def __enter__(self) -> Any:
            inside[0] += 1
            most[0] = max(most[0], inside[0])
            time.sleep(0.02)
            return self

        def __exit__(self, *failure: object) -> None:
            inside[0] -= 1
            self.close()

    monkeypatch.setattr(pypdfium2, "PdfDocument", Watched)
    pdf = draw_labels(some(1), usual_sheet(Paper.A4))
    renders = (page_images, page_count, lambda pdf: page_image(pdf, 1, 24))
    with ThreadPoolExecutor(6) as threads:
        list(threads.map(lambda number: renders[number % 3](pdf), range(12)))
    assert most[0] == 1


def test_the_scale_line_is_100_millimetres_long() -> None:
    sheet = usual_sheet(Paper.A4)
    (page,) = pages_of(draw_labels(some(1), sheet))
    below = page[round((297 - sheet.margins[1]) * DOTS_PER_MILLIMETRE) + 2 :]
    row = max(range(len(below)), key=lambda index: int((below[index] < 128).sum()))
    inked = np.flatnonzero(below[row] < 128)
    line = inked[: np.argmax(np.diff(inked, append=inked[-1] + 99) > 5) + 1]
    tick = 0.75 * 25.4 / 96  # each end is marked by the middle of a tick
    assert (line[-1] - line[0]) / DOTS_PER_MILLIMETRE - tick == pytest.approx(100.0, abs=0.15)
    assert "100 mm" in words_by_page(draw_labels(some(1), sheet))[0]


def test_codes_have_their_quiet_zone() -> None:
    """Four modules, by ISO/IEC 18004; in the smallest label too."""
    sheet = parse_label_sheet("38.1x21.2", Paper.A4)
    (page,) = pages_of(draw_labels(some(1), sheet))
    position = codes_in(page)[0].position
    modules = len(code_modules(f"{ADDRESS}A1"))
    side = position.top_right.x - position.top_left.x
    quiet = 4 * side / modules
    left, top = position.top_left.x, position.top_left.y
    right, bottom = position.bottom_right.x, position.bottom_right.y
    inked = page < 128
    around = inked[
        int(top - quiet + 2) : int(bottom + quiet - 2),
        int(left - quiet + 2) : int(right + quiet - 2),
    ]
    assert around.sum() == inked[top - 1 : bottom + 2, left - 1 : right + 2].sum()
    assert left - sheet.corner(0)[0] * DOTS_PER_MILLIMETRE >= quiet


@pytest.mark.parametrize("text", ["A7\nNachtgärten ✿\n18 × 21⅜ in", "A7\n夜の庭", ADDRESS + "AA99"])
def test_words_in_a_code_come_back(tmp_path: Path, text: str) -> None:
    label = Label("A7", "name", "", "", text)
    page_images(draw_labels([label], usual_sheet(Paper.A4)))[0].save(tmp_path / "page.png")
    assert read_codes(tmp_path / "page.png") == (text,)


@pytest.mark.parametrize(
    ("start", "count", "by_page"), [(1, 21, [21]), (1, 22, [21, 1]), (20, 4, [2, 2]), (21, 1, [1])]
)
def test_labels_begin_where_the_sheet_is_still_whole(
    start: int, count: int, by_page: list[int]
) -> None:
    sheet = usual_sheet(Paper.A4)
    pages = pages_of(draw_labels(some(count), sheet, start=start))
    assert [len(codes_in(page)) for page in pages] == by_page
    first = codes_in(pages[0])[0]
    x, y = sheet.corner(start - 1)
    assert first.text == f"{ADDRESS}A1"
    assert x < first.position.top_left.x / DOTS_PER_MILLIMETRE < x + sheet.width / 2
    assert y < first.position.top_left.y / DOTS_PER_MILLIMETRE < y + sheet.height / 2


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_code_size_and_place_can_be_read(sheet: LabelSheet) -> None:
    (words,) = words_by_page(draw_labels(some(2), sheet))
    for said in ("A1", "A2", "Night garden", "42⅛ × 109⅞ in", "Shelf 2"):
        assert said in words


def tilted(label: Image.Image, rng: np.random.Generator) -> bytes:
    """Return a phone's photo of a label held at a slant: perspective, lens, noise, JPEG.

    The phone is the simulated one of the sample photos.
    """
    width, height = 1200, 900
    side = max(label.size) + 40
    ground = Image.new("RGB", (side, side), (120, 120, 120))
    ground.paste(label, ((side - label.width) // 2, (side - label.height) // 2))
    corners = [(260, 60), (930, 120), (1010, 860), (190, 780)]
    source = [(0, 0), (side, 0), (side, side), (0, side)]
    rows = []
    for (x, y), (u, v) in zip(corners, source, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    mapping = np.linalg.solve(np.array(rows, float), np.array(source, float).ravel())
    seen = ground.transform(
        (width, height), Image.Transform.PERSPECTIVE, list(mapping),
        Image.Resampling.BICUBIC, fillcolor=(120, 120, 120),
    )  # fmt: skip
    scene = np.float32(0.8) * np.power(
        np.asarray(seen, np.float32) / np.float32(255), np.float32(2.2)
    )
    pixels = develop(scene, expose(scene), rng)
    packed = io.BytesIO()
    Image.fromarray(pixels).save(packed, "JPEG", quality=80)
    return packed.getvalue()


@pytest.mark.parametrize(
    "key",
    [
        "63.5x38.1",
        "45.7x21.2",
        pytest.param("66.7x25.4", marks=pytest.mark.campaign),
    ],
)
def test_a_label_is_read_from_a_tilted_photo(tmp_path: Path, key: str) -> None:
    sheet = parse_label_sheet(key, Paper.A4)
    (page,) = page_images(draw_labels(some(1), sheet))
    x, y = (edge * DOTS_PER_MILLIMETRE for edge in sheet.corner(0))
    reach = x + sheet.width * DOTS_PER_MILLIMETRE, y + sheet.height * DOTS_PER_MILLIMETRE
    photo = tmp_path / "label.jpg"
    label = page.crop((int(x), int(y), int(reach[0]), int(reach[1])))
    for turn in (0, 90, 180):
        photo.write_bytes(tilted(label.rotate(turn, expand=True), np.random.default_rng(7)))
        assert read_codes(photo) == (f"{ADDRESS}A1",)


def test_a_photo_without_a_code_reads_nothing(tmp_path: Path) -> None:
    noise = np.random.default_rng(3).random((300, 400, 3))
    Image.fromarray(encoded(noise)).save(tmp_path / "cloth.png")
    assert read_codes(tmp_path / "cloth.png") == ()


def test_the_largest_code_of_a_photo_comes_first(tmp_path: Path) -> None:
    def code(text: str, module: int) -> Image.Image:
        cells = np.pad(np.array(code_modules(text)), 4)
        pixels = np.kron(cells, np.ones((module, module)))
        return Image.fromarray(np.uint8(255 * (1 - pixels)))

    photo = Image.new("L", (900, 500), 255)
    photo.paste(code("B2", 4), (20, 20))
    photo.paste(code("A1", 9), (400, 40))
    photo.save(tmp_path / "two.png")
    assert read_codes(tmp_path / "two.png") == ("A1", "B2")


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_sheets_fit_their_paper(sheet: LabelSheet) -> None:
    """Papers: A4 by ISO 216; Letter is 8½ × 11 in."""
    x, y = sheet.corner(sheet.count - 1)
    width, height = millimetres_of(sheet.paper)
    left, top = sheet.margins
    assert x + sheet.width + left == pytest.approx(width)
    assert y + sheet.height + top == pytest.approx(height)
    assert min(left, top) >= 0
    assert parse_label_sheet(sheet.key, Paper.A4) is sheet


@pytest.mark.parametrize(
    ("typed", "size", "count", "corner"),
    [
        ("63.5 x 38.1", (63.5, 38.1), 21, (7.2, 15.2)),
        ("63.5×38.1 mm", (63.5, 38.1), 21, (7.2, 15.2)),
        ("70x42.3 3x7 a4", (70.0, 42.3), 21, (0.0, 0.45)),
        ("50x50 3x5 a4 gap 5x2", (50.0, 50.0), 15, (25.0, 19.5)),
        ("101.6X50.8 2x5 LETTER gap 4.8x0", (101.6, 50.8), 10, (4.0, 12.7)),
    ],
)
def test_sheets_are_named_by_their_sizes(
    typed: str, size: tuple[float, float], count: int, corner: tuple[float, float]
) -> None:
    sheet = parse_label_sheet(typed, Paper.A4)
    assert (sheet.width, sheet.height) == size
    assert sheet.count == count
    assert sheet.corner(0) == pytest.approx(corner, abs=0.05)


@pytest.mark.parametrize(
    ("typed", "problem"),
    [
        ("round ones", "no sheet of labels known here"),
        ("64x38", "no sheet of labels known here"),
        ("63.5x38.1 letter", "no sheet of labels known here"),
        ("100x100 3x3", "does not fit on its paper"),
        ("50x50 0x5", "does not fit on its paper"),
        ("20x10 5x5", "too small for a code"),
        ("", "no sheet of labels known here"),
    ],
)
def test_what_is_no_sheet_is_refused(typed: str, problem: str) -> None:
    with pytest.raises(BadRequestError, match=problem):
        parse_label_sheet(typed, Paper.A4)
