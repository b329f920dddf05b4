"""Find on the page: the same answer as by the command, in an address that can be kept."""

import html
import re

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from stashkeeper.actions.scraps import scraps
from stashkeeper.actions.stash import Stash
from stashkeeper.cli.app import app
from tests.web.cloth_to_cut import shelve
from tests.web.forms_sent import trouble


def words(page: str) -> str:
    """Return what a page says, as a person reads it."""
    main = page[page.index("<main") :]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", main)).split())


def found(page: str) -> list[str]:
    """Return the codes of the pieces that are enough, in their order."""
    listed = re.search(r'<ul class="hits">(.*?)</ul>', page, re.DOTALL)
    return re.findall(r'class="whole" href="/(?:piece/|scraps#)(\w+)"', listed[1] if listed else "")


@pytest.fixture
def shelf(stash: Stash) -> Stash:
    """Return a stash with a large, a small and an unmeasured piece."""
    shelve(stash, "Moss", "40 x 36", at="Shelf 1")
    shelve(stash, "Fern", "10 x 10", at="Box")
    shelve(stash, "Sky", "fat quarter", squared=None, at="Shelf 1")
    return stash


def test_the_smallest_that_is_enough_comes_first(shelf: Stash, client: TestClient) -> None:
    page = client.get("/find?size=4+1/2+in+square&count=4").text
    assert found(page) == ["A2", "A3", "A1"]
    said = words(page)
    assert "3 pieces are enough for 4 × 4½ × 4½ in." in said
    # Eight rows of eight and a column more: 40 ÷ 4½ and 36 ÷ 4½.
    assert "holds 64" in said
    assert "probably 12" in said
    assert "“probably”: not measured, or not washed, yet; measure before you cut: A3." in said
    assert "Where they lie Box A2 Shelf 1 A3 A1" in said


def test_the_page_says_what_the_command_says(shelf: Stash, client: TestClient) -> None:
    for size, count in (("4 1/2 in square", "4"), ("20 in square", "9"), ("9 x 9", "")):
        typed = ["--stash", str(shelf.home), "find", size, *(["--count", count] if count else [])]
        lines = CliRunner().invoke(app, typed).stdout.splitlines()
        told = [line for line in lines if line.endswith(".") and not line.startswith(" ")]
        assert told != []
        page = words(client.get("/find", params={"size": size, "count": count}).text)
        for line in told:
            assert line in page


def test_several_together_the_nearest_and_the_largest(shelf: Stash, client: TestClient) -> None:
    said = words(client.get("/find?size=9+in+square&count=19").text)
    assert "No piece alone is enough for 19 × 9 × 9 in." in said
    assert "Together they are: A1 (16)" in said
    assert "Nearest: A1 “Moss” (Shelf 1), 40 × 36 in usable, holds 16." in said
    assert "The largest that fits 19 times on one piece is " in said


def test_a_set_of_sizes_leads_to_a_plan(shelf: Stash, client: TestClient) -> None:
    asked = {"size": "three 6½ in squares and five 1½ in strips", "q": "at:Box,Shelf"}
    page = client.get("/find", params=asked | {"q": ""}).text
    assert found(page) == ["A1"]
    assert "1 piece is enough for 3 × 6½ × 6½ in and 5 × 40 × 1½ in." in words(page)
    onward = html.unescape(re.search(r'href="(/plan\?[^"]+)"', page)[1])  # type: ignore[index]
    assert "3 × 6½ × 6½ in\n5 × 40 × 1½ in</textarea>" in client.get(onward).text


def test_allowance_direction_and_search_words(shelf: Stash, client: TestClient) -> None:
    assert found(client.get("/find?size=21+x+18&q=sky").text) == []
    assert found(client.get("/find?size=21+x+18&q=sky&allowance=0").text) == ["A3"]
    assert found(client.get("/find?size=18+x+21&q=sky&allowance=0").text) == ["A3"]
    assert found(client.get("/find?size=18+x+21&q=sky&allowance=0&directional=yes").text) == []


def test_bags_are_found_and_lead_to_the_bags(shelf: Stash, client: TestClient) -> None:
    scraps(shelf, new="Bits", put=["9 x 3 in square"])
    page = client.get("/find?size=3+in+square&count=9").text
    assert found(page)[0] == "A4"
    assert 'href="/scraps#A4"' in page


def test_more_than_fit_are_shown_on_demand(stash: Stash, client: TestClient) -> None:
    for number in range(30):
        shelve(stash, f"Cloth {number}", f"{10 + number} x 20")
    page = client.get("/find?size=5+in+square").text
    assert len(found(page)) == 25
    more = html.unescape(re.search(r'href="(/find\?[^"]*show=[^"]*)"', page)[1])  # type: ignore[index]
    assert len(found(client.get(more).text)) == 30


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ("size=blue", "size", "“blue” is not a size."),
        ("size=4+x+4&count=many", "", "“many” is no count."),
        ("size=4+x+4&count=0", "count", "A cut was wanted 0 times."),
        ("size=4+x+4&allowance=wide", "allowance", "“wide” is not a length."),
        ("size=4+x+4&q=value:blue", "q", "“blue”"),
        ("size=4+x+4&q=at:Nowhere", "q", "“Nowhere”"),
        ("size=", "", "No cut was given."),
        ("size=two+4+in+squares&count=3", "", "counts were typed with the sizes."),
    ],
)
def test_what_cannot_be_found_is_told_beside_its_field(
    shelf: Stash, client: TestClient, asked: str, field: str, said: str
) -> None:
    answer = client.get(f"/find?{asked}")
    assert answer.status_code in {400, 404}
    assert said in trouble(answer)
    if field:
        assert f'id="trouble-{field}"' in answer.text
    assert "--" not in trouble(answer)
    for part in asked.split("&"):
        name, typed = part.split("=")
        if typed:
            assert typed.replace("+", " ") in html.unescape(answer.text), name


def test_an_empty_shelf_says_so(client: TestClient) -> None:
    assert "There is no cloth to cut from" in client.get("/find?size=4+x+4").text


def test_before_anything_is_asked_nothing_is_wrong(client: TestClient) -> None:
    answer = client.get("/find")
    assert answer.status_code == 200
    assert 'role="alert"' not in answer.text
