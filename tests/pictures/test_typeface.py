"""Words fit their place and are made of signs the typeface has."""

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import SMALL, TEXT, TITLE, Canvas
from stashkeeper.pictures.typeface import MISSING, shortened, shown, wrapped

LATIN = frozenset(range(32, 127)) | {ord(MISSING), ord("…"), ord("é")}


@pytest.fixture(scope="module")
def canvas() -> Iterator[Canvas]:
    with Canvas(Paper.A4, "words") as opened:
        yield opened


@pytest.mark.parametrize(
    ("typed", "seen"),
    [
        ("🌸 garden", "☐ garden"),
        ("👨‍👩‍👧 family", "☐ family"),  # one emoji joined of three
        ("כחול", "☐"),
        ("שלום blue", "☐ blue"),
        ("cafe\u0301", "café"),
        ("two\nlines\tand\u200b more", "two lines and more"),
        ("<b>&amp;", "<b>&amp;"),
        ("", ""),
    ],
)
def test_signs_the_typeface_lacks_are_stood_for(typed: str, seen: str) -> None:
    assert shown(typed, LATIN) == seen


@given(st.text())
@settings(deadline=None, max_examples=200)
def test_whatever_is_typed_is_shown_in_signs_there_are(typed: str) -> None:
    assert {ord(sign) for sign in shown(typed, LATIN)} <= LATIN


@given(st.text(alphabet=st.characters(max_codepoint=0x17F)), st.floats(20, 300))
@settings(deadline=None, max_examples=150)
def test_shortened_words_fit(canvas: Canvas, typed: str, room: float) -> None:
    assert canvas.width(canvas.shortened(typed, room, SMALL), SMALL) <= room


def test_words_that_fit_are_left_alone_and_others_say_that_they_go_on() -> None:
    assert shortened("marigold", 8, len) == "marigold"
    assert shortened("marigold", 5, len) == "mari…"
    assert shortened("a" * 10_000, 5, len) == "aaaa…"


@given(st.lists(st.text("abc", min_size=1, max_size=9), max_size=30), st.integers(9, 40))
@settings(deadline=None, max_examples=150)
def test_wrapping_loses_no_word_and_fits(words: list[str], room: int) -> None:
    lines = wrapped(" ".join(words), room, len)
    assert " ".join(lines).split() == words
    assert all(len(line) <= room for line in lines)


def test_the_typeface_has_real_fractions_and_figures_of_one_width(canvas: Canvas) -> None:
    assert canvas.shown("9⅞ ½ ¼ ¾ ⅛ ⅜ ⅝ × ± − …") == "9⅞ ½ ¼ ¾ ⅛ ⅜ ⅝ × ± − …"
    for size, bold in ((TITLE, False), (TEXT, False), (TEXT, True), (SMALL, False)):
        assert len({canvas.width(figure, size, bold) for figure in "0123456789"}) == 1
