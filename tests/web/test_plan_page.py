"""A plan on its page: diagrams, the pages to print, what to measure, what went stale."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.add import add
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.pieces import change, end
from stashkeeper.actions.stash import Stash
from stashkeeper.pictures.canvas import page_count
from tests.web.cloth_to_cut import plan, shelve
from tests.web.forms_sent import told, trouble
from tests.web.made import cloth_photo

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def planned(stash: Stash) -> Stash:
    """Return a stash with plan 1 of the piece A1."""
    shelve(stash, "Moss", "20 x 15", at="Box")
    plan(stash, "8 x 5 in square")
    return stash


def test_the_page_shows_all_of_it(planned: Stash, client: TestClient) -> None:
    page = client.get("/plan/1").text
    for said in ("8 × 5 × 5 in", "Gives 8 × A;", "Box; 20 × 15 in usable", "Ruler settings"):
        assert said in page, said
    assert re.search(r'<img src="/plan/1/A1.svg" width="\d+" height="\d+" alt="How A1 is cut', page)
    assert 'href="/plan/1/cut/A1"' in page


def test_the_diagram_is_a_picture_whose_cuts_stand_out_step_by_step(
    planned: Stash, client: TestClient
) -> None:
    answer = client.get("/plan/1/A1.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")

    def black_rings(text: str) -> int:
        rings = ElementTree.fromstring(text).iter(f"{SVG}circle")
        return sum(ring.get("fill") == "#000000" for ring in rings)

    assert black_rings(answer.text) == 0
    step = client.get("/plan/1/steps/A1?step=2").text
    first, _, last = re.search(r"cuts? (\d+)( to (\d+))?", step).groups()  # type: ignore[union-attr]
    marked = client.get("/plan/1/A1.svg?part=A1&step=2").text
    assert black_rings(marked) == int(last or first) - int(first) + 1


def test_the_photo_lies_faint_beneath(stash: Stash, client: TestClient, tmp_path: Path) -> None:
    photo = cloth_photo(tmp_path / "moss.jpg", (90, 120, 60))
    add(stash, PieceWords(name="Moss", size="20 x 15", squared=True), photos=[photo])
    plan(stash, "8 x 5 in square")
    assert "data:image/jpeg;base64," in client.get("/plan/1/A1.svg").text


def test_the_pages_to_print(planned: Stash, client: TestClient) -> None:
    answer = client.get("/plan/1/pages.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="plan-1.pdf"' in answer.headers["content-disposition"]
    assert page_count(answer.content) >= 1
    assert client.get("/plan/1/pages.pdf?paper=papyrus").status_code == 400


def test_what_nobody_measured_is_measured_right_there(stash: Stash, client: TestClient) -> None:
    add(stash, PieceWords(name="Moss", size="fat quarter"))
    plan(stash, "4 x 8 in square")
    page = client.get("/plan/1").text
    assert "It must be at least 21 × 18 in" in page
    assert "/plan/1/cut/A1" not in page
    again = client.post("/plan/1/measure/A1", data={"size": "wide"})
    assert again.status_code == 400
    assert "“wide” is not a size." in trouble(again)
    assert 'value="wide"' in again.text
    answer = client.post("/plan/1/measure/A1", data={"size": "21 1/2 x 18"})
    assert answer.headers["location"] == "/plan/1#A1"
    assert told(client, answer) == ["Changed A1 “Moss”."]
    assert "/plan/1/cut/A1" in client.get("/plan/1").text


def test_the_size_on_record_may_be_right(stash: Stash, client: TestClient) -> None:
    add(stash, PieceWords(name="Moss", size="fat quarter"))
    plan(stash, "4 x 8 in square")
    client.post("/plan/1/measure/A1", data={"size": "", "right": "yes"})
    assert "/plan/1/cut/A1" in client.get("/plan/1").text
    assert client.post("/plan/1/measure/A1", data={"size": ""}).status_code == 400


def test_a_stale_plan_is_told_and_not_to_be_cut(planned: Stash, client: TestClient) -> None:
    change(planned, "A1", PieceWords(size="20 x 14"))
    page = client.get("/plan/1").text
    said = "A1 was changed since plan 1 was made, so the plan does not hold for it."
    assert said in page
    assert "/plan/1/cut/A1" not in page
    assert said in client.get("/plan/1/cut/A1").text
    end(planned, "A1", "sold")
    assert "A1 is off the shelf since plan 1 was made" in client.get("/plan/1").text


@pytest.mark.parametrize(
    "path",
    ["/plan/2", "/plan/0", "/plan/-1", "/plan/99999999999999999999", "/plan/1/B7.svg",
     "/plan/2/A1.svg", "/plan/1/A1.svg?part=B7&step=1", "/plan/1/A1.svg?part=A1&step=99",
     "/plan/2/pages.pdf", "/plan/2/steps", "/plan/1/steps/B7", "/plan/1/steps/A1?step=99",
     "/plan/1/cut/B7", "/plan/2/cut/A1", "/planning/none"],
)  # fmt: skip
def test_what_is_not_there_is_not_found(planned: Stash, client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404
