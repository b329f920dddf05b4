"""Steps on the page: in order, with ticks that survive, for either hand, for the owner's tools."""

import html
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from stashkeeper.actions.history import history
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.pieces import change
from stashkeeper.actions.stacking import plan_stacks
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.cli.app import app
from stashkeeper.settings.load import load_settings
from tests.web.cloth_to_cut import plan, shelve
from tests.web.forms_sent import told, trouble
from tests.web.made import client_of

CAUTION = "Close the blade every time you put the cutter down."


@pytest.fixture
def planned(stash: Stash) -> Stash:
    """Return a stash with plan 1 of two pieces."""
    shelve(stash, "Moss", "10 x 10")
    shelve(stash, "Fern", "10 x 10")
    plan(stash, "7 x 5 in square")
    return stash


def ticked(page: str, part: str) -> list[int]:
    """Return the numbers of the steps of a part that are ticked."""
    found = re.findall(rf'id="{part}-(\d+)"><button [^>]*aria-pressed="true"', page)
    return [int(number) for number in found]


def told_steps(page: str) -> list[str]:
    """Return the words of all steps, in order."""
    rows = re.findall(r'<span class="words"><b class="at">\d+</b>(.*?)</button>', page, re.DOTALL)
    return [
        " ".join(html.unescape(re.sub(r"<span.*|<[^>]+>", "", row, flags=re.DOTALL)).split())
        for row in rows
    ]


def test_the_page_tells_the_steps_of_the_command(planned: Stash, client: TestClient) -> None:
    typed = CliRunner().invoke(app, ["--stash", str(planned.home), "steps", "1"]).stdout
    page = client.get("/plan/1/steps").text
    steps = re.findall(r"^ +\d+  (.*?)(?: \[cuts? [^\]]*\])?$", typed, re.MULTILINE)
    assert steps == told_steps(page)
    assert page.count(CAUTION) == typed.count(CAUTION) == 1


def test_a_tick_survives_a_reload_another_browser_and_a_restart(
    planned: Stash, client: TestClient
) -> None:
    answer = client.post("/plan/1/steps/A1", data={"step": "1"})
    assert answer.headers["location"] == "/plan/1/steps#A1-1"
    client.post("/plan/1/steps/A1", data={"step": "2"})
    client.post("/plan/1/steps/A2", data={"step": "1"})
    with open_stash(load_settings(planned.home, {})) as again:
        page = client_of(again).get("/plan/1/steps").text
        assert (ticked(page, "A1"), ticked(page, "A2")) == ([1, 2], [1])
    client.post("/plan/1/steps/A1", data={"untick": "1"})
    assert ticked(client.get("/plan/1/steps").text, "A1") == [2]


def test_ticks_are_no_deeds(planned: Stash, client: TestClient) -> None:
    before = history(planned).deeds
    client.post("/plan/1/steps/A1", data={"step": "1"})
    assert history(planned).deeds == before


def test_one_step_at_a_time(planned: Stash, client: TestClient) -> None:
    page = client.get("/plan/1/steps/A1").text
    assert "<h1" in page and "Step <b>1</b> of" in page
    of = int(re.search(r"</b> of (\d+)", page)[1])  # type: ignore[index]
    for number in range(1, of):
        answer = client.post("/plan/1/steps/A1", data={"step": str(number), "view": "one"})
        assert answer.headers["location"] == f"/plan/1/steps/A1?step={number + 1}"
        assert f"Step <b>{number + 1}</b> of" in client.get("/plan/1/steps/A1").text
    answer = client.post("/plan/1/steps/A1", data={"step": str(of), "view": "one"})
    assert answer.headers["location"] == "/plan/1/steps#A1-end"


def test_a_script_reads_how_many_are_ticked(planned: Stash, client: TestClient) -> None:
    json = {"accept": "application/json"}
    answer = client.post("/plan/1/steps/A1", data={"step": "2"}, headers=json).json()
    assert (answer["done"], answer["ticked"]) == (True, 1)
    answer = client.post("/plan/1/steps/A1", data={"untick": "2"}, headers=json).json()
    assert (answer["done"], answer["ticked"]) == (False, 0)


def test_ticks_that_come_at_once_are_all_kept_and_counted(
    planned: Stash, client: TestClient
) -> None:
    def tick(step: int) -> int:
        json = {"accept": "application/json"}
        sent = client.post("/plan/1/steps/A1", data={"step": str(step)}, headers=json)
        return int(sent.json()["ticked"])

    with ThreadPoolExecutor(3) as hands:
        counted = sorted(hands.map(tick, (1, 2, 3)))
    assert counted == [1, 2, 3]
    assert ticked(client.get("/plan/1/steps").text, "A1") == [1, 2, 3]


@pytest.mark.parametrize("fields", [{}, {"step": "x"}, {"step": "99"}, {"step": "0"}])
def test_a_step_that_is_none_is_not_ticked(
    planned: Stash, client: TestClient, fields: dict[str, str]
) -> None:
    assert client.post("/plan/1/steps/A1", data=fields).status_code in {400, 404}
    assert not (planned.home / "ticks").exists()


def test_damaged_ticks_are_no_ticks(planned: Stash, client: TestClient) -> None:
    client.post("/plan/1/steps/A1", data={"step": "1"})
    (file,) = (planned.home / "ticks").iterdir()
    for damage in ("", "[1]", '{"A1": 3}', '{"A1": ["x"]}', "{"):
        file.write_text(damage, encoding="utf-8")
        assert ticked(client.get("/plan/1/steps").text, "A1") == []


def test_left_handed_and_with_the_owners_tools(tmp_path: Path, planned: Stash) -> None:
    right = client_of(planned).get("/plan/1/steps").text
    assert "from the left edge of A1" in right
    runner = CliRunner()
    for words in (["hand", "left"], ["ruler", "3 x 6 in"], ["mat", "24 x 36 in"]):
        runner.invoke(app, ["--stash", str(planned.home), "settings", *words])
    with open_stash(load_settings(planned.home, {})) as again:
        left = client_of(again).get("/plan/1/steps").text
    assert "from the right edge of A1" in left
    assert "lay each piece turned half way round from its diagram" in left
    assert "turned half way round" not in right
    assert "the ruler is narrower than that" in left


def test_hand_ruler_and_mat_are_asked_once_and_heeded_at_once(
    planned: Stash, client: TestClient
) -> None:
    assert "Tell your hand, ruler and mat once" in client.get("/plan/1/steps").text
    asked = {"hand": "left", "ruler": "3 x 6", "mat": "huge"}
    answer = client.post("/plan/1/habits", data=asked)
    assert answer.status_code == 400
    assert "“huge” is not a size." in trouble(answer)
    assert 'value="3 x 6"' in answer.text
    assert "from the left edge of A1" in client.get("/plan/1/steps").text, "all of it or nothing"
    answer = client.post("/plan/1/habits", data={**asked, "mat": "24 x 36"})
    assert told(client, answer) == ["Changed hand.", "Changed ruler.", "Changed mat."]
    page = client.get("/plan/1/steps").text
    assert "from the right edge of A1" in page
    assert "the ruler is narrower than that" in page
    assert "Tell your hand" not in page
    with open_stash(load_settings(planned.home, {})) as again:
        assert client_of(again).get("/plan/1/steps").text == page
    answer = client.post("/plan/1/habits", data={**asked, "ruler": "", "mat": "24 x 36"})
    assert told(client, answer) == ["Changed ruler."]


def test_a_piece_that_is_cut_has_no_steps_left(planned: Stash, client: TestClient) -> None:
    client.post("/plan/1/cut/A1")
    page = client.get("/plan/1/steps").text
    assert "Cut already." in page
    assert 'action="/plan/1/steps/A1"' not in page
    assert 'action="/plan/1/steps/A2"' in page


def test_a_piece_that_changed_is_not_to_be_cut_by_its_steps(
    planned: Stash, client: TestClient
) -> None:
    change(planned, "A1", PieceWords(size="9 x 10"))
    page = client.get("/plan/1/steps").text
    assert "It changed since it was planned: plan again" in page
    assert 'action="/plan/1/steps/A1"' not in page
    assert "/plan/1/cut/A1" not in page
    assert "/plan/1/cut/A2" in page


def test_a_stack_has_its_steps_and_each_layer_is_confirmed(
    stash: Stash, client: TestClient
) -> None:
    for name in ("Moss", "Fern", "Reed"):
        shelve(stash, name, "20 x 18")
    plan_stacks(stash, cuts=["4 x 5 in square"])
    change(stash, "A2", PieceWords(size="9 x 10"))
    page = client.get("/plan/1/steps").text
    assert "A2: It changed since it was planned" in page
    assert 'action="/plan/1/steps/stack-1"' in page
    assert re.findall(r'href="/plan/1/cut/(\w+)"', page) == ["A1", "A3"]
    client.post("/plan/1/steps/stack-1", data={"step": "1"})
    assert ticked(client.get("/plan/1/steps").text, "stack-1") == [1]
