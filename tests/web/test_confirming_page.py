"""Confirming on the page: as planned, or as it really came out; taken back; never twice."""

import html
import re

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.pieces import list_pieces
from stashkeeper.actions.stash import Stash
from tests.web.cloth_to_cut import plan, shelve
from tests.web.forms_sent import told, trouble


@pytest.fixture
def planned(stash: Stash) -> Stash:
    """Return a stash with plan 1: eight squares of 5 in from A1, 20 × 15 in."""
    shelve(stash, "Moss", "20 x 15", at="Box")
    plan(stash, "8 x 5 in square")
    return stash


def sizes(stash: Stash) -> dict[str, tuple[float, float]]:
    """Return width and length in inches of every piece on the shelf."""
    return {
        piece.code: (float(piece.size.width.inches), float(piece.size.length.inches))
        for piece in list_pieces(stash, []).pieces
        if piece.size
    }


def test_as_planned_the_off_cuts_go_to_labels_and_undo_gives_the_shelf_back(
    planned: Stash, client: TestClient
) -> None:
    before = sizes(planned)
    answer = client.post(
        "/plan/1/cut/A1", data={"how": "", "left": "", "was-only": "8 x A", "only": "8 x A"}
    )
    assert answer.headers["location"] == "/plan/1#A1"
    said = told(client, answer)
    assert said[0] == "Cut A1 “Moss” by plan 1: 8 × A."
    assert said[1].startswith("Back on the shelf, write the code on each: A2 (")
    assert said[-1] == "Plan 1 is done."
    # Eight squares of 25 sq in leave 100 of 300.
    assert sum(width * length for width, length in sizes(planned).values()) == 100
    page = client.get("/plan/1").text
    assert "Plan 1 is done." in page
    labels = html.unescape(re.search(r'href="(/labels\?[^"]+)"', page)[1])  # type: ignore[index]
    assert "1 label, " in client.get(labels).text
    number = re.search(r'name="number" value="(\d+)"', page)[1]  # type: ignore[index]
    answer = client.post("/undo", data={"number": number, "back": "/plan/1"})
    assert told(client, answer) == ["Took back: Cut A1 “Moss” by plan 1: 8 × A."]
    assert sizes(planned) == before
    assert 'href="/plan/1/cut/A1"' in client.get("/plan/1").text


def test_only_the_first_cuts(planned: Stash, client: TestClient) -> None:
    answer = client.post("/plan/1/cut/A1", data={"how": "first", "first": "1"})
    said = told(client, answer)
    assert said[0] == "Cut A1 “Moss” by plan 1: nothing that was wanted."
    assert "Still missing: 8 × A; plan again for them." in said
    assert sum(width * length for width, length in sizes(planned).values()) == 300


def test_otherwise_with_what_was_really_left(planned: Stash, client: TestClient) -> None:
    fields = {"how": "other", "only": "7 x A", "was-only": "8 x A", "left": "other",
              "off_cuts": "4 3/4 x 5\n18 x 4 1/2"}  # fmt: skip
    said = told(client, client.post("/plan/1/cut/A1", data=fields))
    assert said[0] == "Cut A1 “Moss” by plan 1: 7 × A."
    assert sorted(sizes(planned).values()) == [(4.75, 5), (18, 4.5)]
    page = client.get("/plan/1").text
    assert "Still missing: 1 × A." in page


def test_everything_came_out_and_nothing_is_kept(planned: Stash, client: TestClient) -> None:
    client.post("/plan/1/cut/A1", data={"left": "none"})
    assert sizes(planned) == {}


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"how": "first", "first": "99"}, "times by the plan, not 99."),
        ({"how": "first", "first": ""}, "What came out was not said."),
        ({"how": "other", "only": ""}, "What came out was not said."),
        ({"how": "other", "only": "9 x A"}, "only 8 were planned"),
        ({"left": "other", "off_cuts": "wide"}, "“wide” is not a size."),
        ({"left": "other", "off_cuts": "30 x 30"}, "it is not that large"),
        ({"how": "", "first": "2"}, "“2” was typed, and something else was chosen."),
        ({"how": "first", "first": "2", "only": "7 x A"}, "“7 x A” was typed"),
        ({"left": "", "off_cuts": "18 x 4"}, "“18 x 4” was typed"),
    ],
)
def test_what_cannot_have_come_out_is_shown_again_as_typed(
    planned: Stash, client: TestClient, fields: dict[str, str], said: str
) -> None:
    before = sizes(planned)
    answer = client.post("/plan/1/cut/A1", data={"was-only": "8 x A", "only": "8 x A", **fields})
    assert answer.status_code == 400
    assert said in trouble(answer)
    assert sizes(planned) == before
    page = html.unescape(answer.text)
    for name, typed in fields.items():
        if name in {"how", "left"} and typed:
            assert re.search(rf'name="{name}" value="{typed}" checked', page), name
        elif typed:
            assert typed in page, name


def test_twice_is_told_and_done_once(planned: Stash, client: TestClient) -> None:
    client.post("/plan/1/cut/A1")
    after = sizes(planned)
    answer = client.post("/plan/1/cut/A1")
    assert answer.status_code == 409
    assert "A1 was confirmed as cut by plan 1 already." in trouble(answer)
    assert sizes(planned) == after
    assert "It was confirmed: 8 × A." in client.get("/plan/1/cut/A1").text


def test_what_nobody_measured_has_its_form_right_there(stash: Stash, client: TestClient) -> None:
    shelve(stash, "Moss", "fat quarter")
    plan(stash, "4 x 8 in square")
    page = client.get("/plan/1/cut/A1").text
    assert "Measure it first." in page
    assert 'action="/plan/1/measure/A1"' in page
    answer = client.post("/plan/1/cut/A1")
    assert answer.status_code == 400
    assert "A1 was never measured" in trouble(answer)
    assert "stashkeeper change" not in answer.text


def test_a_code_in_small_letters_will_do(planned: Stash, client: TestClient) -> None:
    assert client.get("/plan/1/cut/a1").status_code == 200
    assert client.post("/plan/1/cut/a1").status_code == 303
