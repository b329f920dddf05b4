"""Names in any script, but none that cannot be shown."""

import pytest

from stashkeeper.catalogue.database import Catalogue
from stashkeeper.catalogue.names import clean_name, clean_notes, clean_tags, fold
from stashkeeper.errors import BadNameError
from tests.catalogue.made import add, codes, find

NAMES = (
    'Mum\'s "best" dots',
    "50% off_cotton \\ linen",
    "🧵 thread 👩🏽‍🎨",
    "קפלים כחולים",
    "نقاط زرقاء",
    "青い水玉",
    "Robert'); DROP TABLE fabric;--",
    "x" * 200,
    "0",
)


def test_a_name_comes_back_as_it_was_typed_and_is_found(catalogue: Catalogue) -> None:
    for name in NAMES:
        (code,) = add(catalogue, name)
        assert [row.name for row in find(catalogue, f"code:{code}")] == [name]
        word = name.replace('"', " ").split()[0]
        assert code in codes(catalogue, f'"{word}"')


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("\u200d\ufe0f", "empty"),
        ("x" * 10_000, "10,000 signs"),
        ("a\x00b", r"U\+0000"),
        ("two\nlines", r"U\+000A"),
        ("a\x1b[31mred", r"U\+001B"),
        ("evil\u202egpj.exe", r"U\+202E"),
        ("turned \u2067round", r"U\+2067"),
        ("half \ud83e", r"U\+D83E"),
        ("para\u2029graph", r"U\+2029"),
    ],
)
def test_a_name_that_cannot_be_shown_is_refused(name: str, told: str) -> None:
    with pytest.raises(BadNameError, match=told):
        clean_name(name)


def test_notes_may_have_lines() -> None:
    assert clean_notes(" one\r\ntwo\t3 ") == "one\ntwo\t3"
    with pytest.raises(BadNameError, match=r"U\+0007"):
        clean_notes("bell \a")


def test_a_tag_counts_once_whatever_its_letter_case() -> None:
    assert clean_tags(["Blue", " blue ", "BLUE", "dots"]) == ("Blue", "dots")


def test_a_comma_stands_between_two_tags() -> None:
    assert clean_tags(["blue, dots", "small"]) == ("blue", "dots", "small")


def test_a_name_is_kept_composed() -> None:
    # e and a combining acute are the letter é (Unicode Standard Annex 15).
    assert clean_name("cafe\u0301") == "caf\u00e9"


@pytest.mark.parametrize(
    ("one", "other"),
    [("STRASSE", "straße"), ("ΣΊΣΥΦΟΣ", "Σίσυφος"), ("½ yard", "1⁄2 yard"), ("ＡＢ", "ab")],
)
def test_letter_case_and_form_make_no_difference_to_a_search(one: str, other: str) -> None:
    # Full case folding and compatibility forms: Unicode Standard 3.13 and Annex 15.
    assert fold(one) == fold(other)
