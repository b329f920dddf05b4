"""Contrast of a few on a page: the same judgement as the command, the choice in the address."""

import re
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.contrast_page import MOST
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.values import contrast
from stashkeeper.cloth.value import Value
from tests.web.made import put, put_many, put_photo

SCRIPT = "<script>alert(1)</script>"


@pytest.fixture
def five(stash: Stash) -> dict[str, str]:
    """Put five fabrics on the shelf; return their codes by name."""
    named = {"milk": 93, "straw": 67, "sage": 64, "moss": 40, "ink": 12}
    return {name: put(stash, name, lightness) for name, lightness in named.items()}


def judged(client: TestClient, **asked: str) -> str:
    """Return the page of a choice, with its signs as a person sees them."""
    answer = client.get("/contrast", params=asked)
    assert answer.status_code == 200
    return unescape(answer.text)


def cures(page: str) -> dict[str, str]:
    """Return what each cure of a page says, and where it leads."""
    found = re.findall(r'<li><a class="button" href="([^"]+)">([^<]+)</a></li>', page)
    return {words: address for address, words in found}


def test_before_anything_is_chosen_the_shelf_is_there(
    client: TestClient, five: dict[str, str]
) -> None:
    page = judged(client)
    assert "Tick pieces into light, medium and dark" in page
    for code in five.values():
        assert f'name="{code}" value="light"' in page


def test_page_and_command_judge_alike(
    client: TestClient, stash: Stash, five: dict[str, str]
) -> None:
    groups = [f"{five['milk']},{five['straw']}", five["sage"], five["ink"]]
    page = judged(client, light=groups[0], medium=groups[1], dark=groups[2])
    ranking = contrast(stash, groups)
    assert ranking.advice
    for sentence in (*ranking.advice, *ranking.remarks):
        assert sentence.strip().removeprefix("→ ") in page


def test_the_arithmetic_is_that_of_the_trade_rule(client: TestClient, five: dict[str, str]) -> None:
    """By hand: 67 − 64 is 3, less than 5, so weak; 64 − 12 is 52. Leaving straw: 93 − 64 is 29."""
    page = judged(client, light=f"{five['milk']},{five['straw']}", medium=five["sage"],
                  dark=five["ink"])  # fmt: skip
    assert "Light to medium: gap 3.0 ±3, weak: the two groups will run together." in page
    assert "Medium to dark: gap 52.0 ±3, strong." in page
    leaving = next(words for words in cures(page) if words.startswith("Leave"))
    assert f"Leave {five['straw']} “straw” out: the gap becomes 29.0" in leaving


def test_a_cure_is_one_tap(client: TestClient, five: dict[str, str]) -> None:
    page = judged(client, light=f"{five['milk']},{five['straw']}", medium=five["sage"], q="milk")
    offered = cures(page)
    assert offered
    for words, address in offered.items():
        cured = client.get(address)
        became = re.search(r"the gap becomes ([\d.]+ ±\d+), (\w[\w ]*)\.", words)
        assert became
        assert f"gap {became[1]}, {became[2]}" in cured.text
        assert "q=milk" in address


def test_ticks_lead_to_an_address_that_can_be_kept(
    client: TestClient, five: dict[str, str]
) -> None:
    ticked = {five["milk"]: "light", five["sage"]: "medium", five["ink"]: "dark", "q": "-moss"}
    answer = client.get("/contrast", params=ticked)
    assert answer.status_code == 303
    address = answer.headers["location"]
    wanted = f"/contrast?light={five['milk']}&medium={five['sage']}&dark={five['ink']}&q=-moss"
    assert address == wanted
    page = unescape(client.get(address).text)
    for name, value in (("milk", "light"), ("sage", "medium"), ("ink", "dark")):
        assert re.search(rf'name="{five[name]}" value="{value}" checked', page)
    assert f'name="{five["straw"]}"' in page
    assert f'name="{five["moss"]}"' not in page  # the search leaves it out


@pytest.mark.parametrize(
    ("ticks", "location"),
    [
        ({"A1": ""}, "/contrast?medium=A3"),
        ({"A1": "dark"}, "/contrast?medium=A3&dark=A1"),
        ({"A3": "light"}, "/contrast?light=A1,A3"),
        ({"A1": "pink"}, "/contrast?medium=A3"),
        ({"A5": "dark", "A4": "dark"}, "/contrast?light=A1&medium=A3&dark=A4,A5"),
    ],
)
def test_a_tick_moves_a_piece_or_takes_it_out(
    client: TestClient, five: dict[str, str], ticks: dict[str, str], location: str
) -> None:
    assert list(five.values()) == ["A1", "A2", "A3", "A4", "A5"]
    answer = client.get("/contrast", params={"light": "A1", "medium": "A3", **ticks})
    assert answer.headers["location"] == location


def test_groups_may_be_search_words_as_for_the_command(
    client: TestClient, stash: Stash, five: dict[str, str]
) -> None:
    page = judged(client, light="value:light", dark="value:dark")
    assert "Light to medium: no pieces to compare." in page
    for name in ("milk", "straw", "ink"):
        assert re.search(rf'name="{five[name]}" value="\w+" checked', page)


def test_the_whole_shelf_is_no_longer_a_few(client: TestClient, stash: Stash) -> None:
    put_many(stash, [number % 100 for number in range(MOST + 1)])
    answer = client.get("/contrast", params={"light": "fabric"})
    assert answer.status_code == 400
    assert "241 pieces are no longer a few" in unescape(answer.text)


@pytest.mark.parametrize(
    ("asked", "problem"),
    [
        ({"light": "A1", "dark": "A1"}, "A1 is in two groups, light and dark."),
        ({"light": "Z99"}, "Z99"),
        ({"light": "size:enormous"}, "is not a size"),
    ],
)
def test_what_cannot_be_judged_is_said_above_the_shelf(
    client: TestClient, five: dict[str, str], asked: dict[str, str], problem: str
) -> None:
    answer = client.get("/contrast", params=asked)
    assert 400 <= answer.status_code < 500
    assert re.search(rf'role="alert"[^>]*>[^/]*{re.escape(problem)}', unescape(answer.text))
    assert f'name="{five["milk"]}"' in answer.text


def test_a_search_that_cannot_be_read_keeps_the_choice(
    client: TestClient, five: dict[str, str]
) -> None:
    answer = client.get("/contrast", params={"light": "A1", "dark": "A5", "q": "size:enormous"})
    assert answer.status_code == 400
    assert re.search(r'role="alert" id="trouble-q">', answer.text)
    assert 'name="A1" value="light" checked' in answer.text


def test_cloth_is_shown_in_colour_and_in_grey(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    put_photo(stash, tmp_path, "checks", (150, 170, 120))
    page = judged(client, light="A1")
    assert len(re.findall(r"/swatch/A1/\w+/(?:colour|grey)-160.webp 160w", page)) == 3
    grey = re.search(r'src="(/swatch/A1/\w+/grey-160.webp)"', page)
    assert grey
    assert client.get(grey[1]).status_code == 200


def test_pieces_not_measured_yet_are_named(client: TestClient, stash: Stash) -> None:
    put(stash, "unknown")
    page = judged(client, light="A1")
    assert '<h2 id="group-unmeasured">Not measured yet</h2>' in page
    assert "Not measured yet, so left out (1): A1." in page


def test_the_shelf_below_is_turned_page_by_page_with_its_ticks(
    client: TestClient, stash: Stash
) -> None:
    for number in range(70):
        put(stash, f"cloth {number}", number + 10)
    page = judged(client)
    assert '<button name="page" value="2">Darker</button>' in page
    answer = client.get("/contrast", params={"A70": "light", "page": "2", "q": ""})
    assert answer.headers["location"] == "/contrast?light=A70&page=2"
    assert "Page 2 of 2" in client.get(answer.headers["location"]).text


@pytest.mark.parametrize("typed", [SCRIPT, '"><img src=x onerror=alert(1)>', "{{ 7*7 }}"])
@pytest.mark.parametrize("name", ["light", "q", "page", "A1"])
def test_script_in_an_address_stays_words(
    client: TestClient, five: dict[str, str], name: str, typed: str
) -> None:
    assert five
    text = client.get("/contrast", params={name: typed}, follow_redirects=True).text
    assert "<script>alert" not in text and "<img src=x" not in text and "49" not in text


def test_script_in_a_name_stays_words(client: TestClient, stash: Stash) -> None:
    put(stash, SCRIPT, 66)
    put(stash, SCRIPT, 64)
    assert "<script>alert" not in client.get("/contrast?light=A1&medium=A2").text


def test_every_value_has_its_column(client: TestClient, five: dict[str, str]) -> None:
    page = judged(client, light=five["milk"])
    for value in Value:
        assert f'<h2 id="group-{value}">{value.capitalize()}</h2>' in page
