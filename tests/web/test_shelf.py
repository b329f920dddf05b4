"""The shelf page: the same answer as `sort`, page by page, with nothing typed taken for markup."""

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.add import add
from stashkeeper.actions.history import undo
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.pieces import end
from stashkeeper.actions.shelf import TILES, Shelf
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.values import sort
from stashkeeper.cloth.value import Value
from tests.web.made import put, put_many, put_photo

SCRIPT = "<script>alert(1)</script>"


def codes(page: str) -> list[str]:
    """Return the codes of the tiles of a page, in their order."""
    return re.findall(r'<li class="tile[^"]*" id="([^"]+)"', page)


@pytest.fixture
def three(stash: Stash) -> dict[str, str]:
    """Put a dark, a light and a medium fabric on the shelf; return their codes."""
    return {name: put(stash, name, at) for name, at in (("ink", 12), ("milk", 93), ("sage", 52))}


def test_an_empty_shelf_says_so(client: TestClient) -> None:
    page = client.get("/").text
    assert "No piece is on the shelf. Add one: its size, and a photo if you have one." in page
    assert codes(page) == []


def test_the_shelf_runs_from_light_to_dark(client: TestClient, three: dict[str, str]) -> None:
    assert codes(client.get("/").text) == [three["milk"], three["sage"], three["ink"]]


def test_page_and_command_line_say_the_same(client: TestClient, stash: Stash) -> None:
    for name, lightness in (("a", 66), ("b", 64.5), ("c", 41), ("d", 39.5), ("e", 90)):
        put(stash, name, lightness)
    page = client.get("/").text
    ranking = sort(stash, [])
    for sentence in ranking.advice:
        assert sentence.strip() in page
    assert "3.0" not in ranking.advice[0]
    assert codes(page) == [piece.code for piece in ranking.pieces]


def test_search_words_filter_the_shelf(client: TestClient, three: dict[str, str]) -> None:
    page = client.get("/", params={"q": "value:dark"}).text
    assert codes(page) == [three["ink"]]
    assert "1 piece. Pieces on the shelf: of dark value." in page
    both = client.get("/", params={"q": "-ink -sage"}).text
    assert codes(both) == [three["milk"]]


@pytest.mark.parametrize(
    ("typed", "problem"),
    [
        ("size:enormous", "is not a size"),
        ("colour:plaid", "colour cannot be"),
        ("shape:round", "begins with no key there is"),
        ('at:"Nowhere"', "Nowhere"),
        ('"open', "is not closed"),
        ("x" * 1001, "too long"),
    ],
)
def test_a_search_that_cannot_be_read_is_explained_in_place(
    client: TestClient, three: dict[str, str], typed: str, problem: str
) -> None:
    answer = client.get("/", params={"q": typed})
    assert 400 <= answer.status_code < 500
    assert re.search(rf'role="alert" id="trouble-q">[^/]*{problem}', answer.text)
    assert 'aria-invalid="true"' in answer.text
    assert typed.replace('"', "&#34;") in answer.text  # what was typed is still there
    assert three and codes(answer.text) == []


def test_groups_by_the_best_split(client: TestClient, stash: Stash) -> None:
    for name, lightness in (("a", 80), ("b", 78), ("c", 70), ("d", 69), ("e", 60)):
        put(stash, name, lightness)
    page = client.get("/", params={"by": "split"}).text
    assert "Dark" in page
    assert re.search(r'<h2 id="group-dark">Dark</h2>\s*<p>1 fabric</p>', page)
    assert client.get("/", params={"by": "nonsense"}).status_code == 400


def test_weak_pairs_gaps_and_marks_are_shown(client: TestClient, stash: Stash) -> None:
    lighter, darker = put(stash, "one", 65.5), put(stash, "two", 64)
    page = client.get("/").text
    assert "weak: the two groups will run together." in page
    assert re.search(r'<rect class="bracket weak"', page)
    assert f"{lighter} · {darker}" in page
    assert page.count('<li class="tile weak"') == 2


def test_provisional_readings_are_marked(client: TestClient, stash: Stash, tmp_path: Path) -> None:
    put_photo(stash, tmp_path, "checks", (150, 170, 120))
    page = client.get("/").text
    assert re.search(r'<i class="mark provisional"></i><span class="unseen">provisional', page)
    assert re.search(r"~\d\d\b", page)
    assert '<circle class="bead provisional"' in page


def test_a_piece_without_photo_shows_its_grey(client: TestClient, stash: Stash) -> None:
    put(stash, "milk", 100)
    page = client.get("/").text
    assert 'fill="#ffffff"' in page
    assert "no photo" in page


def test_pieces_without_lightness_come_last(client: TestClient, stash: Stash) -> None:
    unknown, known = put(stash, "unknown"), put(stash, "known", 20)
    page = client.get("/").text
    assert codes(page) == [known, unknown]
    assert '<h2 id="group-unmeasured">Not measured yet</h2>' in page


def test_pieces_of_one_fabric_are_one_swatch(stash: Stash) -> None:
    add(stash, PieceWords(name="sage", size="18 x 21"), count=3, lightness="50")
    (tile,) = Shelf(stash).page().tiles
    assert (tile.code, tile.more) == ("A1", 2)


def test_paging_shows_every_fabric_once(client: TestClient, stash: Stash) -> None:
    wanted = 2 * TILES + 7
    put_many(stash, [number * 100 / wanted for number in range(wanted)])
    seen: list[str] = []
    address: str | None = "/"
    while address:
        page = client.get(address).text
        assert len(codes(page)) <= TILES
        seen += codes(page)
        further = re.search(r'<a class="button" rel="next" href="([^"]+)"', page)
        address = further[1].replace("&amp;", "&") if further else None
    assert len(seen) == len(set(seen)) == wanted
    assert seen == [piece.code for piece in sort(stash, []).pieces]


def test_the_rule_leads_to_where_a_lightness_begins(
    client: TestClient, three: dict[str, str]
) -> None:
    page = client.get("/", params={"q": "-milk", "grey": "1"}).text
    assert f'href="/?q=-milk&amp;grey=1#{three["sage"]}" aria-label="Lightness 50 to 60' in page


@pytest.mark.parametrize("number", ["0", "-1", "2", "99999999999999999999", "x", "", "١"])
def test_a_page_that_is_not_there_is_the_nearest(
    client: TestClient, three: dict[str, str], number: str
) -> None:
    answer = client.get("/", params={"page": number})
    assert answer.status_code == 200
    assert len(codes(answer.text)) == len(three)


def test_what_was_remembered_is_forgotten_after_every_deed(stash: Stash) -> None:
    shelf = Shelf(stash)
    code = put(stash, "sage", 50)
    assert [tile.code for tile in shelf.page().tiles] == [code]
    end(stash, code, "given")
    assert shelf.page().tiles == ()
    undo(stash)
    assert [tile.code for tile in shelf.page().tiles] == [code]


def test_grey_is_asked_for_without_script(client: TestClient, stash: Stash, tmp_path: Path) -> None:
    put_photo(stash, tmp_path, "checks", (150, 170, 120))
    colour = client.get("/", params={"q": "-milk", "page": "1"}).text
    assert "/colour-160" in colour and "/grey-160" not in colour
    switch = re.search(r'id="tone" href="([^"]+)">Grey<', colour)
    assert switch is not None
    grey = client.get(switch[1].replace("&amp;", "&")).text
    assert "/grey-160" in grey and "/colour-160" not in grey
    assert codes(grey) == codes(colour)
    assert re.search(r'id="tone" href="/\?q=-milk">Colour<', grey)


@pytest.mark.parametrize("where", ["name", "tags", "note", "at", "source"])
def test_script_in_words_stays_words(client: TestClient, stash: Stash, where: str) -> None:
    said = {"tags": [SCRIPT]} if where == "tags" else {where: SCRIPT.replace("/", "")}
    name = said.pop("name", "plain")
    put(stash, str(name), 50, **said)
    page = client.get("/").text
    assert "<script>alert" not in page
    assert client.get("/", params={"q": f'tag:"{SCRIPT}"'}).text.count("<script>alert") == 0


def test_script_in_an_address_stays_words(client: TestClient, three: dict[str, str]) -> None:
    assert three
    for typed in (SCRIPT, '"><img src=x onerror=alert(1)>', "{{ 1234567*3 }}", "'\"`"):
        for field in ("q", "by", "grey", "page"):
            page = client.get("/", params={field: typed}).text
            assert "<script>alert" not in page and "<img src=x" not in page, (field, typed)
            assert "3703701" not in page, (field, typed)


def test_every_value_has_its_heading(client: TestClient, three: dict[str, str]) -> None:
    page = client.get("/").text
    assert three
    for value in Value:
        assert f'<h2 id="group-{value}">{value.capitalize()}</h2>' in page
