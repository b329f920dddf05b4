"""The sheet as a person gets it: words to be read, marks explained, nothing in the way."""

import dataclasses
import itertools
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from stashkeeper.cloth.value import Value
from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.contrast import Verdict
from stashkeeper.pictures.canvas import Canvas, page_images
from stashkeeper.pictures.greys import ACCENT, BLACK, GROUND_LIGHTNESS, Colour, grey
from stashkeeper.pictures.sheet import Sheet, SheetEntry, SheetGap
from stashkeeper.pictures.sheet_pages import draw_sheet, gap_number
from tests.pictures.made import coloured, entry, sheet_of, solid_photo, spread

type Place = tuple[float, float, float, float]


def words_of(pdf: bytes) -> str:
    """Return the text that can be selected in a PDF, by PDFium."""
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(page.get_textpage().get_text_range() for page in document)


def places_of(pdf: bytes) -> list[list[Place]]:
    """Return, page by page, the left, bottom, right and top of every stretch of text, in points."""
    pages = []
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            text = page.get_textpage()
            pages.append([text.get_rect(index) for index in range(text.count_rects())])
    return pages


def wcag_contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2, "relative luminance")."""

    def luminance(colour: Colour) -> float:
        signal = np.array(colour) / 255
        light = np.where(signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4)
        return float(light @ [0.2126, 0.7152, 0.0722])

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_type_and_accent_stand_out_from_the_ground() -> None:
    """7:1 is WCAG 2.2 success criterion 1.4.6, 3:1 its 1.4.11 for what is not text."""
    assert wcag_contrast(BLACK, grey(GROUND_LIGHTNESS)) >= 7.0
    assert wcag_contrast(ACCENT, grey(GROUND_LIGHTNESS)) >= 3.0
    assert 60 <= GROUND_LIGHTNESS <= 70


@pytest.mark.parametrize("count", [1, 9, 30, 100])
def test_every_code_name_and_lightness_can_be_read_and_selected(count: int) -> None:
    sheet = sheet_of(spread(count))
    words = words_of(draw_sheet(sheet)).split()
    for one in sheet.entries:
        assert one.code in words
        assert f"{one.lightness:.0f}" in words
        assert one.name.split()[0][:3] in " ".join(words)


def crowded(count: int, paper: Paper) -> Sheet:
    """Return a sheet with long codes, long names, every mark, and sentences below."""
    sheet = sheet_of(spread(count))
    marked = [
        dataclasses.replace(
            one,
            code=f"{one.code}-{'9' * (number % 7)}",
            name=f"{one.name} " * (1 + number % 5),
            provisional=number % 2 == 0,
            doubtful=number % 3 == 0,
            straddles=number % 4 == 0,
            weak=number % 5 == 0,
            more=number % 6 * 7,
        )
        for number, one in enumerate(sheet.entries)
    ]
    sentences = ["A sentence about a weak pair, and what would cure it."] * 4
    return dataclasses.replace(sheet, entries=marked, paper=paper, sentences=sentences)


def nothing_overlaps(pdf: bytes, paper: Paper) -> None:
    """Hold every stretch of text of a PDF apart from every other, and inside the page."""
    for places in places_of(pdf):
        for left, bottom, right, top in places:
            assert (left >= 20, bottom >= 15) == (True, True)
            assert right <= paper.width * 0.75 - 20
            assert top <= paper.height * 0.75 - 20
        for one, other in itertools.combinations(places, 2):
            apart_x = one[2] <= other[0] + 0.3 or other[2] <= one[0] + 0.3
            apart_y = one[3] <= other[1] + 0.3 or other[3] <= one[1] + 0.3
            assert apart_x or apart_y, (one, other)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("count", [0, 1, 5, 24, 60])
def test_no_words_overlap_or_leave_the_page(count: int, paper: Paper) -> None:
    nothing_overlaps(draw_sheet(crowded(count, paper)), paper)


@pytest.mark.campaign
@pytest.mark.parametrize("paper", list(Paper))
def test_no_words_overlap_whatever_the_number(paper: Paper) -> None:
    for count in (*range(2, 60, 3), 77, 99, 150, 240, 400):
        nothing_overlaps(draw_sheet(crowded(count, paper)), paper)


def test_groups_gaps_and_verdicts_are_named() -> None:
    words = words_of(draw_sheet(sheet_of([93.0, 78.4, 73.6 - 9, 52.0, 20.0])))
    for expected in ("Light", "Medium", "Dark", "78 to 93", "13.8", "clear", "B1 · C1", "32.0"):
        assert expected in words


def test_an_empty_group_says_so_and_an_empty_sheet_is_still_one() -> None:
    assert words_of(draw_sheet(sheet_of([80.0, 20.0]))).count("no pieces") == 1
    assert words_of(draw_sheet(sheet_of([]))).count("no pieces") == 3


def test_what_is_not_measured_is_listed_at_the_end() -> None:
    sheet = sheet_of([80.0, 50.0, 20.0])
    sheet = dataclasses.replace(sheet, entries=[*sheet.entries, entry(7, None)])
    assert "Not measured yet: H1 meadow." in words_of(draw_sheet(sheet))


def test_a_weak_fabric_bears_a_frame_a_hatched_mark_and_the_word() -> None:
    sheet = sheet_of([80.0, 50.0, 20.0])
    weak = [dataclasses.replace(one, weak=one.code == "B1") for one in sheet.entries]

    def accent_dots(entries: list[SheetEntry]) -> int:
        (page,) = page_images(draw_sheet(dataclasses.replace(sheet, entries=entries)))
        return int((np.abs(np.asarray(page).astype(int) - ACCENT).sum(axis=2) < 30).sum())

    assert accent_dots(list(sheet.entries)) == 0
    assert accent_dots(list(weak)) > 2000
    words = words_of(draw_sheet(dataclasses.replace(sheet, entries=weak)))
    assert words.split().count("weak") == 1
    assert "weak: two groups less than 5 apart" in words


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"provisional": True}, "provisional: by a photo alone, ±2"),
        ({"doubtful": True}, "doubtful: the photo is clipped, blurred or unevenly lit"),
        ({"straddles": True}, "straddles: a print that reaches into two groups"),
        ({"more": 2}, "+2: two more pieces of it"),
        ({"name": "blue 🌸"}, "☐: signs this typeface does not have"),
    ],
)
def test_the_legend_explains_the_marks_there_are_and_no_others(
    change: dict[str, object], word: str
) -> None:
    sheet = sheet_of([80.0, 50.0, 20.0])
    marked = [dataclasses.replace(sheet.entries[0], **change), *sheet.entries[1:]]  # type: ignore[arg-type]
    assert word not in words_of(draw_sheet(sheet))
    assert word in words_of(draw_sheet(dataclasses.replace(sheet, entries=marked)))


def test_without_a_photo_the_swatch_is_the_grey_of_its_lightness(tmp_path: Path) -> None:
    damaged = tmp_path / "cut.jpg"
    damaged.write_bytes(b"\xff\xd8\xff\xe0 cut off")
    for photo in (None, tmp_path / "absent.jpg", damaged):
        sheet = Sheet("One", "", [entry(0, 71.0, photo)])
        pdf = draw_sheet(sheet)
        assert "no photo" in words_of(pdf)
        (page,) = page_images(pdf)
        codes, counts = np.unique(np.asarray(page)[:, 700:1200, 0], return_counts=True)
        assert codes[np.argsort(counts)[-2]] == grey(71.0)[0], "second only to the ground"


def test_a_fine_check_looks_as_it_does_from_a_distance(tmp_path: Path) -> None:
    """A check of black and white has Y = ½: sRGB code 188 (IEC 61966-2-1), L* 76.07 (CIE 15)."""
    check = (np.indices((1280, 1280)).sum(axis=0) % 2 * 255).astype(np.uint8)
    Image.fromarray(check).save(tmp_path / "check.png")
    sheet = Sheet("One", "", [entry(0, 76.07, tmp_path / "check.png")])
    (page,) = page_images(draw_sheet(sheet))
    dots = np.asarray(page)[:, 700:1200].reshape(-1, 3)
    assert (np.abs(dots.astype(int) - 188).max(axis=1) <= 2).sum() > 300_000


@pytest.mark.parametrize("exact", [True, False])
def test_a_picture_on_the_page_is_shown_dot_for_dot(exact: bool) -> None:
    """Or a viewer would reduce it in coded values, and fine prints would come out too dark."""
    rows, columns = np.indices((60, 100))
    codes = np.stack([rows * 4, columns * 2, 255 - columns * 2], axis=-1).astype(np.uint8)
    with Canvas(Paper.A4, "dots") as canvas:
        canvas.add_page(BLACK)
        canvas.picture(Image.fromarray(codes), 40.0, 24.0, 40.0, 24.0, exact=exact)
        (page,) = page_images(canvas.pdf())
    shown = np.asarray(page)[60:120, 100:200].astype(int)
    assert np.abs(shown - codes).max() <= (0 if exact else 6)


def test_the_same_sheet_gives_the_same_bytes(tmp_path: Path) -> None:
    photo = solid_photo(tmp_path / "a.png", coloured(72.0, 0.3))
    sheet = dataclasses.replace(
        sheet_of([]), entries=[entry(0, 72.0, photo)], created=datetime(2026, 11, 25, tzinfo=UTC)
    )
    assert draw_sheet(sheet) == draw_sheet(sheet)
    assert b"D:20261125" in draw_sheet(sheet)


def test_the_pdf_knows_its_title() -> None:
    with pypdfium2.PdfDocument(draw_sheet(sheet_of([50.0]))) as document:
        assert document.get_metadata_value("Title") == "Harbour Row shelf"


@pytest.mark.parametrize(
    ("paper", "millimetres"), [(Paper.A4, (210.0, 297.0)), (Paper.LETTER, (215.9, 279.4))]
)
def test_pages_have_the_size_of_their_paper(paper: Paper, millimetres: tuple[float, float]) -> None:
    """ISO 216 allows ±2 mm; Letter is 8½ × 11 in (ANSI/ASME Y14.1)."""
    sheet = dataclasses.replace(sheet_of([50.0]), paper=paper)
    pdf = draw_sheet(sheet)
    with pypdfium2.PdfDocument(pdf) as document:
        size = document[0].get_size()
    assert [side / 72 * 25.4 for side in size] == pytest.approx(millimetres, abs=0.3)
    (page,) = page_images(pdf)
    assert page.size == (paper.width * 2.5, paper.height * 2.5)


def test_more_sentences_than_a_page_holds_run_on_and_none_is_lost() -> None:
    sentences = [f"Sentence number {number} of a talkative sheet." for number in range(80)]
    sheet = dataclasses.replace(sheet_of(spread(24)), sentences=sentences)
    words = words_of(draw_sheet(sheet))
    assert all(sentence in words for sentence in sentences)
    assert "page 3 of 3" in words


def test_groups_that_overlap_are_drawn_as_they_are() -> None:
    lighter = dataclasses.replace(entry(0, 60.0), value=Value.LIGHT)
    darker = dataclasses.replace(entry(1, 66.0), value=Value.MEDIUM)
    gap = SheetGap((Value.LIGHT, Value.MEDIUM), -6.0, 3.0, Verdict.WEAK, ("A1", "B1"))
    assert "−6.0" in words_of(draw_sheet(Sheet("Overlap", "", [lighter, darker], [gap])))


@pytest.mark.parametrize(
    ("gap", "written"), [(4.8, "4.8"), (4.96, "4.9"), (5.0, "5.0"), (-0.04, "0.0"), (-6.0, "−6.0")]
)
def test_a_gap_is_never_rounded_up_to_what_it_does_not_reach(gap: float, written: str) -> None:
    assert gap_number(gap) == written
