"""The reference card as printed: on both papers at its true size, with all it must carry."""

import io

import numpy as np
import pypdfium2
import pytest
import zxingcpp

from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.card_layout import (
    HEIGHT,
    LINE,
    WIDTH,
    corner_and_id,
    grey_squares,
    paper_squares,
    usual_lightness,
)
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.card import TOP, draw_card
from stashkeeper.pictures.paper import DOTS_PER_INCH

DOTS = DOTS_PER_INCH / 25.4


@pytest.mark.parametrize(
    ("paper", "size"), [(Paper.A4, (210, 297)), (Paper.LETTER, (215.9, 279.4))]
)
def test_the_page_has_the_size_of_its_paper(paper: Paper, size: tuple[float, float]) -> None:
    # ISO 216 and ANSI/ASME Y14.1, in millimetres.
    (page,) = pypdfium2.PdfDocument(io.BytesIO(draw_card("7F3K", paper)))
    assert [side / 72 * 25.4 for side in page.get_size()] == pytest.approx(size, abs=0.2)


@pytest.mark.parametrize("paper", Paper)
def test_all_four_codes_can_be_read_where_they_should_be(paper: Paper) -> None:
    (page,) = page_images(draw_card("7F3K", paper))
    codes = {corner_and_id(code.text): code.position for code in zxingcpp.read_barcodes(page)}
    assert set(codes) == {(corner, "7F3K") for corner in "ABCD"}
    a, c = codes["A", "7F3K"].top_left, codes["C", "7F3K"].bottom_right
    # Outer corners of opposite codes: 142 by 92 mm apart.
    assert ((c.x - a.x) / DOTS, (c.y - a.y) / DOTS) == pytest.approx((142, 92), abs=0.5)


def test_the_line_to_check_the_print_is_a_hundred_millimetres_long() -> None:
    (start, y), (end, _) = LINE
    assert end - start == 100.0
    # Rulers of quilters may know inches only: 63/16 in × 25.4 mm (ISO 80000-3) = 100.01 mm.
    assert abs(63 / 16 * 25.4 - 100.0) < 0.05
    (sheet,) = pypdfium2.PdfDocument(io.BytesIO(draw_card("7F3K", Paper.LETTER)))
    assert "100 mm = 3 15/16 in" in sheet.get_textpage().get_text_range()
    page = np.asarray(page_images(draw_card("7F3K", Paper.A4))[0].convert("L"))
    left = (page.shape[1] / DOTS - WIDTH) / 2
    row = page[round((TOP + y) * DOTS)]
    dark = np.flatnonzero(row < 128)
    assert (dark.max() - dark.min()) / DOTS == pytest.approx(100.0, abs=0.3)
    assert dark.min() / DOTS - left == pytest.approx(start, abs=0.3)


def test_two_places_of_a_grey_lie_opposite_through_the_middle() -> None:
    assert len(grey_squares()) >= 6
    for one, other in (*grey_squares(), paper_squares()[:2], paper_squares()[2:]):
        x, y = np.add(one.middle, other.middle) / 2
        assert (x, y) == pytest.approx((WIDTH / 2, HEIGHT / 2))


def test_paper_and_greys_get_darker_one_by_one() -> None:
    levels = usual_lightness()
    assert list(levels) == sorted(levels, reverse=True)
    assert len(levels) == 1 + len(grey_squares())


def test_the_same_card_is_the_same_file() -> None:
    assert draw_card("7F3K", Paper.A4) == draw_card("7F3K", Paper.A4)
