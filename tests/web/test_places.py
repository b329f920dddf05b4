"""The page of places: a tree with counts, and places made, renamed and moved."""

import html
import re

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import field, told, trouble
from tests.web.made import put


def paths(stash: Stash) -> list[str]:
    return [place.path for place in places(stash).places]


def words_of(client: TestClient, path: str) -> str:
    """Return a page as a person reads it."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", client.get(path).text)).split())


def test_an_empty_stash_says_how_to_begin(client: TestClient) -> None:
    assert "No places yet." in words_of(client, "/places")


def test_places_lie_inside_one_another_with_their_counts(client: TestClient, stash: Stash) -> None:
    put(stash, "one", at="Sewing room / Shelf 2 / Blue box")
    put(stash, "two", at="Sewing room / Shelf 2")
    put(stash, "three", at="Sewing room / Shelf 2")
    put(stash, "four", at="Attic")
    page = words_of(client, "/places")
    assert "Attic 1 piece" in page
    assert "Shelf 2 3 pieces 2 of them right here" in page
    assert re.search(r"Sewing room 3 pieces.*Shelf 2 3 pieces.*Blue box 1 piece", page)
    tree = re.sub(r"(?s)<p.*?</p>|\s", "", client.get("/places").text.split("<main")[1])
    assert "<li><ul><li><ul><li></li></ul></li></ul></li>" in tree


def test_a_place_leads_to_what_lies_there(client: TestClient, stash: Stash) -> None:
    put(stash, "one", at="Shelf 2 / Blue box")
    put(stash, "two", at="Attic")
    address = "/?q=at%3A%22Shelf+2+%2F+Blue+box%22"
    assert f'href="{address}"' in client.get("/places").text
    assert "1 piece." in words_of(client, address)


def test_a_place_is_made(client: TestClient, stash: Stash) -> None:
    answer = client.post("/places", data={"place": "Shelf 2 / Blue box"})
    assert told(client, answer) == ["Made “Shelf 2 / Blue box”."]
    assert paths(stash) == ["Shelf 2", "Shelf 2 / Blue box"]
    answer = client.post("/places", data={"place": "shelf 2 / BLUE box"})
    assert answer.status_code == 409
    assert "There is a place “Shelf 2 / Blue box” already." in trouble(answer)
    assert field(answer, "place") == "shelf 2 / BLUE box"


@pytest.mark.parametrize("name", ["", "  ", "a//b", "x" * 201, "a\u202eb", "/" * 50])
def test_a_name_that_is_none_is_refused(client: TestClient, stash: Stash, name: str) -> None:
    answer = client.post("/places", data={"place": name})
    assert answer.status_code == 400
    assert field(answer, "place") == name
    assert paths(stash) == []


def changed(client: TestClient, place: str, **typed: str) -> dict[str, str]:
    """Return the form of a place as it is sent, with what was typed over it."""
    page = client.get("/places/change", params={"place": place})
    names = ("place", "was-rename", "was-into", "rename", "into")
    return {**{name: field(page, name) for name in names}, **typed}


def test_a_place_is_renamed_and_moved_with_all_in_it(client: TestClient, stash: Stash) -> None:
    put(stash, "one", at="Shelf 2 / Blue box")
    put(stash, "two", at="Attic")
    form = changed(client, "Blue box", rename="Red box", into="Attic")
    answer = client.post("/places/change", data=form)
    assert told(client, answer) == ["It is “Attic / Red box” now."]
    assert paths(stash) == ["Attic", "Attic / Red box", "Shelf 2"]
    form = changed(client, "Attic / Red box", into="")
    client.post("/places/change", data=form)
    assert paths(stash) == ["Attic", "Red box", "Shelf 2"]
    client.post("/undo")
    assert paths(stash) == ["Attic", "Attic / Red box", "Shelf 2"]


def test_a_place_nobody_changed_stays(client: TestClient, stash: Stash) -> None:
    put(stash, "one", at="Shelf 2 / Blue box")
    answer = client.post("/places/change", data=changed(client, "Shelf 2 / Blue box"))
    assert told(client, answer) == []
    assert paths(stash) == ["Shelf 2", "Shelf 2 / Blue box"]


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        ({"rename": "Attic"}, 409, "There is a place “Attic” there already."),
        ({"rename": "a/b"}, 400, "names places inside one another"),
        ({"rename": ""}, 400, "The place is empty."),
        ({"into": "Shelf 2 / Blue box"}, 400, "cannot be put inside itself"),
        ({"into": "a//b"}, 400, "The place is empty."),
    ],
)
def test_what_cannot_be_is_refused_and_stands_again(
    client: TestClient, stash: Stash, typed: dict[str, str], status: int, said: str
) -> None:
    put(stash, "one", at="Shelf 2 / Blue box")
    put(stash, "two", at="Attic")
    answer = client.post("/places/change", data=changed(client, "Shelf 2", **typed))
    assert answer.status_code == status
    assert said in trouble(answer)
    for name, text in typed.items():
        assert field(answer, name) == text
    assert paths(stash) == ["Attic", "Shelf 2", "Shelf 2 / Blue box"]


def test_a_place_that_is_not_there_is_not_found(client: TestClient) -> None:
    for path in ("/places/change?place=Cellar", "/places/change?place=%3Cb%3E"):
        answer = client.get(path)
        assert answer.status_code == 404
        assert "There is no place" in trouble(answer)
    assert client.get("/places/change").status_code == 400
    assert client.post("/places/change", data={"place": "Cellar"}).status_code == 404
