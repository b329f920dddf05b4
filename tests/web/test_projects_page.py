"""Projects on pages: begun, chosen for, seams judged, a fabric replaced, planned, taken back.

Sizes are checked by geometry; gaps by subtracting the lightnesses that were typed.
"""

import html
import re

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.add import add
from stashkeeper.actions.choose import ChooseWords, choose_fabrics
from stashkeeper.actions.fitting_cloth import fit_cloth
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.projects import change, chosen_rows, show
from stashkeeper.actions.replacing import replace_fabric
from stashkeeper.actions.stash import Stash
from stashkeeper.lengths.parse import parse_length
from tests.web.forms_sent import finished, told, trouble
from tests.web.test_planning_page import begun

STAR = {"name": "Small", "layout": "friendship star", "unit": "2 in"}


@pytest.fixture
def shelf(stash: Stash) -> Stash:
    """Put four squares of 10 in on the shelf: L* 90, 88, 15, 25."""
    for name, light in (("Snow", "90"), ("Milk", "88"), ("Tar", "15"), ("Ink", "25")):
        add(stash, PieceWords(name=name, size="10 x 10", squared=True), lightness=light)
    return stash


def chosen(stash: Stash, name: str = "Small") -> dict[str, list[str]]:
    """Return the codes of each role."""
    return {role: [row.code for row in rows] for role, rows in chosen_rows(stash, name).items()}


def test_a_project_is_begun_changed_and_ended(shelf: Stash, client: TestClient) -> None:
    answer = client.post("/projects/new", data={**STAR, "borders": "edge: 1 in"})
    assert told(client, answer) == ["Began project “Small”."]
    page = client.get("/project/Small").text
    assert "8 × 8 in" in page  # three units of 2 in, and a border of 1 in on each side
    version = str(show(shelf, "Small").version)
    fields = {"name": "Small", "version": version, "unit": "3 in", "borders": ""}
    answer = client.post("/project/Small/change", data=fields)
    assert told(client, answer) == ["Changed project “Small”."]
    assert "9 × 9 in" in client.get("/project/Small").text
    stale = {**fields, "unit": "4 in"}
    assert client.post("/project/Small/change", data=stale).status_code == 409
    assert "its pieces are reserved no longer" in told(client, client.post("/project/Small/end"))[0]
    assert "ended" in client.get("/projects").text


def test_what_is_typed_is_not_lost(shelf: Stash, client: TestClient) -> None:
    bad = {**STAR, "layout_text": "layout: x\ngrid:\n  q q\n", "borders": "edge: 1 in"}
    answer = client.post("/projects/new", data=bad)
    assert answer.status_code == 400
    assert "Line " in answer.text
    assert "edge: 1 in</textarea>" in answer.text
    assert trouble(client.post("/projects/new", data={"name": "X", "unit": "2 in"})).startswith(
        "Which layout it is was not said."
    )


def test_no_file_of_this_computer_is_opened(shelf: Stash, client: TestClient) -> None:
    answer = client.post("/projects/new", data={**STAR, "layout": "/etc/passwd"})
    assert answer.status_code == 404
    assert "root:" not in answer.text


def test_choose_take_seams_replace_undo(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    page = client.get("/project/Small/choose").text
    assert "The gap is 75.0" in page  # 90 − 15
    first = page[page.index('class="take"') : page.index("Take this choice")]
    pieces = [html.unescape(one) for one in re.findall(r'name="chosen" value="([^"]+)"', first)]
    answer = client.post("/project/Small/choose", data={"chosen": pieces})
    assert told(client, answer) == ["Chose A1, A3 for project “Small”."]
    assert chosen(shelf) == {"background": ["A1"], "star": ["A3"]}
    assert "No seam is weak in grey" in client.get("/project/Small/seams").text
    shown = html.unescape(client.get("/project/Small/replace?old=A3&new=A2").text)
    assert "gap 75.0 ±3, strong → gap 2.0 ±3, weak" in shown
    assert chosen(shelf)["star"] == ["A3"]
    answer = client.post("/project/Small/replace", data={"old": "A3", "new": "A2"})
    assert "Replaced A3 by A2 in project “Small”." in told(client, answer)
    weak = html.unescape(client.get("/project/Small/seams").text)
    assert "1 seam is weak in grey." in weak and 'class="hatch"' in weak
    assert "Take A3 “Tar” instead of A2 “Milk” for star" in weak
    client.post("/undo", data={"back": "/project/Small/seams"})
    assert chosen(shelf)["star"] == ["A3"]


def test_a_page_tells_what_the_command_tells(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    command = choose_fabrics(shelf, ChooseWords(project="Small"), take=1).sentences
    data = {"chosen": ["background=A1", "star=A4"]}
    assert told(client, client.post("/project/Small/choose", data=data))[0].startswith("Chose A1")
    assert command[-1] == "Chose A1, A3 for project “Small”."
    seen = replace_fabric(shelf, "Small", "A4", "A3", keep=False).sentences[:-1]
    answer = client.post("/project/Small/replace", data={"old": "A4", "new": "A3"})
    assert [one.strip() for one in told(client, answer)][:-1] == [one.strip() for one in seen]


def test_needs_without_a_project_and_what_cannot_be(shelf: Stash, client: TestClient) -> None:
    found = client.get("/choose", params={"need": "light: 1\ndark: 1"}).text
    assert "The gap is 75.0" in found and "Take this choice" not in found
    answer = client.get("/choose", params={"need": "light: 40"})
    assert answer.status_code == 409
    assert "light: 40</textarea>" in answer.text
    assert client.get("/project/Nowhere/seams").status_code == 404
    client.post("/projects/new", data=STAR)
    assert client.post("/project/Small/choose", data={"chosen": "nonsense"}).status_code == 400
    assert client.get("/project/Small/replace?old=A1&new=Q9").status_code == 404


def test_its_parts_are_planned(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    assert "Choose its fabrics first." in trouble(client.post("/plan", data={"project": "Small"}))
    client.post("/project/Small/choose", data={"chosen": ["background=A1", "star=A3"]})
    assert "<option selected>Small</option>" in client.get("/plan?project=Small").text
    sent = {"project": "Small", "spare": "0", "seconds": "1"}
    page = finished(client, begun(client, **sent)).text
    assert "pieces opened" in page


def test_short_cloth_offers_the_units_that_fit(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    client.post("/project/Small/choose", data={"chosen": ["background=A1", "star=A3"]})
    change(shelf, "Small", ProjectWords(unit="9 in"))
    sent = {"project": "Small", "spare": "0", "seconds": "1"}
    page = html.unescape(finished(client, begun(client, **sent)).text)
    told = re.search(r"Everything fits with units of (\S+) in instead of 9 in", page)
    assert told is not None
    assert f"Make the units {told[1]} in, and plan it</button>" in page
    unit = re.findall(r'name="unit" value="([^"]+)"', page)[0]
    page = html.unescape(finished(client, begun(client, **sent, unit=unit)).text)
    assert "Changed project “Small”." in page
    assert "pieces opened" in page
    assert fit_cloth(shelf, PreviewWords("Small")).unit == parse_length(unit, shelf.measure)
