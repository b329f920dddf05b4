"""Planning on the page: typed, looked for in the background, stopped, two plans side by side."""

import html
import re
from threading import Event

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.cutting import plan_pieces
from stashkeeper.actions.plans import list_all
from stashkeeper.actions.stash import Stash
from stashkeeper.cutting.planner import Progress
from stashkeeper.errors import NoPlanError
from tests.web.cloth_to_cut import plan, shelve
from tests.web.forms_sent import finished, told, trouble


def begun(client: TestClient, **fields: str) -> str:
    """Send the form and return the address of the search."""
    answer = client.post("/plan", data={"seconds": "1", "spare": "0", **fields})
    assert answer.status_code == 303, trouble(answer)
    return str(answer.headers["location"])


@pytest.fixture
def shelf(stash: Stash) -> Stash:
    """Return a stash with two small pieces and a large one."""
    shelve(stash, "Moss", "10 x 10")
    shelve(stash, "Fern", "10 x 10")
    shelve(stash, "Sky", "40 x 36")
    return stash


def test_a_plan_comes_out_with_all_it_is_compared_by(shelf: Stash, client: TestClient) -> None:
    page = finished(client, begun(client, cuts="4 x 5 in square\n2 x 10 x 5")).text
    assert list_all(shelf).plans != ()
    for fact in ("pieces opened", "cloth used", "goes back", "waste", "ruler settings", "cuts"):
        assert f'<th scope="row">{fact}</th>' in page


def test_two_plans_side_by_side_and_one_is_kept(stash: Stash, client: TestClient) -> None:
    # Three small pieces of 300 sq in, or one of 252: what is spared decides.
    for name in ("Moss", "Fern", "Reed"):
        shelve(stash, name, "10 x 10")
    shelve(stash, "Sky", "28 x 9")
    address = begun(client, cuts="3 x 9 in square")
    page = finished(client, address).text
    assert re.search(r"Scraps first</th><th[^>]*>Least cloth</th>", page)
    assert re.search(r"pieces opened</th><td>3: A1, A2, A3</td><td>1: A4</td>", page)
    assert re.search(r"cloth used</th><td>300 sq in</td><td>252 sq in</td>", page)
    keeping = re.findall(
        r'action="(/plan/\d+/drop)"><input type="hidden" name="kept" value="(\d)"', page
    )
    assert keeping == [("/plan/2/drop", "1"), ("/plan/1/drop", "2")]
    answer = client.post("/plan/1/drop", data={"kept": "2"})
    assert answer.headers["location"] == "/plan/2"
    assert told(client, answer) == ["Dropped plan 1, scraps first: 3 × 9 × 9 in."]
    assert [one.number for one in list_all(stash).plans] == [2]
    assert "Keep this one" not in client.get(address).text
    client.post("/undo")
    assert [one.number for one in list_all(stash).plans] == [2, 1]


def test_a_list_is_read_as_a_whole_and_comes_back_with_its_mistakes(
    shelf: Stash, client: TestClient
) -> None:
    listed = "corner: 4 x 5 in square\n# not this\nblue\n\n0 x 4 in square"
    answer = client.post("/plan", data={"cuts": listed, "q": "tag:x", "spare": "7"})
    assert answer.status_code == 400
    said = html.unescape(answer.text)
    assert "Line 3: “blue” is not a size." in said
    assert "Line 5: “0 x 4 in square” is wanted 0 times." in said
    assert listed in said
    assert 'value="7"' in answer.text
    assert 'value="tag:x"' in answer.text
    assert list_all(shelf).plans == ()


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"cuts": ""}, "No cut was given."),
        ({"cuts": "4 x 4\n" * 61}, "61 different cuts were given."),
        ({"cuts": "4 x 4", "q": "value:blue"}, "“blue”"),
        ({"cuts": "4 x 4", "source": "Z9"}, "No piece has the code"),
        ({"cuts": "4 x 4", "spare": "few"}, "“few” is no number of spares."),
        ({"cuts": "4 x 4", "seconds": "601"}, "“601” is no time to search."),
        ({"cuts": "4 x 4", "seconds": "0"}, "“0” is no time to search."),
    ],
)
def test_what_cannot_be_planned_is_refused_before_the_search(
    shelf: Stash, client: TestClient, fields: dict[str, str], said: str
) -> None:
    answer = client.post("/plan", data=fields)
    assert answer.status_code in {400, 404}
    assert said in trouble(answer)


def test_what_holds_for_all_cuts_is_added_to_those_that_say_nothing(
    stash: Stash, client: TestClient
) -> None:
    shelve(stash, "Moss", "10 x 10")
    shelve(stash, "Fern", "30 x 30")
    cuts = "two 5 in squares and one 2 x 9\n3 x 4 in square from A2"
    finished(client, begun(client, cuts=cuts, source="A1", directional="yes"))
    (made,) = list_all(stash).plans
    assert made.asked == (
        "2 × 5 × 5 in from A1, directional and one 2 × 9 in from A1, directional and "
        "3 × 4 × 4 in from A2, directional"
    )


def test_short_cloth_says_what_is_missing_and_what_would_fit(
    stash: Stash, client: TestClient
) -> None:
    shelve(stash, "Moss", "20 x 20")
    page = finished(client, begun(client, cuts="20 x 4 1/2 in square"))
    said = trouble(page)
    assert "The cloth is short: there is no room for 4 × A (4½ × 4½ in)." in said
    assert "Everything fits with the longest finished side 3½ in instead of 4 in" in said
    assert "20 x 4 1/2 in square</textarea>" in page.text
    assert "Plan it at 3½ in</button>" in page.text
    smaller = html.unescape(re.findall(r'name="cuts" value="([^"]*)"', page.text)[0])
    assert smaller == "20 x 4 x 4 in"
    page = finished(client, begun(client, cuts=smaller))
    assert "pieces opened" in page.text


def test_the_same_from_every_piece_in_stacks(stash: Stash, client: TestClient) -> None:
    for name in ("Moss", "Fern"):
        shelve(stash, name, "20 x 18")
    page = finished(client, begun(client, cuts="4 x 5 in square", how="stacks")).text
    assert "Stack 1: A1, A2" in page
    assert "Stack 1</b>: A1, A2" in client.get("/plan/1").text
    steps = client.get("/plan/1/steps").text
    assert "with their squared corners together." in steps
    assert "/plan/1/steps/stack-1" in steps


@pytest.mark.parametrize("found", [True, False], ids=["with a plan", "without one"])
def test_a_search_is_stopped_with_the_best_so_far_or_none(
    shelf: Stash, client: TestClient, monkeypatch: pytest.MonkeyPatch, found: bool
) -> None:
    begins = Event()

    def endless(stash: Stash, *words: object, **options: object) -> object:
        stop, progress = options["stop"], options["progress"]
        assert callable(stop) and callable(progress)
        progress(Progress(3, 2))
        begins.set()
        while not stop():
            Event().wait(0.01)
        if not found:
            raise NoPlanError("The search was stopped before a plan was found, so there is none.",
                              "Plan again and let it run a little longer.")  # fmt: skip
        return plan_pieces(stash, *words, **{**options, "stop": lambda: False})  # type: ignore[arg-type]

    monkeypatch.setattr("stashkeeper.actions.plannings.plan_pieces", endless)
    address = begun(client, cuts="2 x 10 in square")
    assert begins.wait(10)
    page = client.get(f"{address}?patience=0").text
    assert "3 plans so far, the best opens 2 pieces" in page
    asked = client.get(f"{address}?patience=0", headers={"accept": "application/json"}).json()
    assert not asked["finished"]
    assert asked["at"] == "3 plans so far, the best opens 2 pieces"
    assert client.post(f"{address}/stop").headers["location"] == address
    page = finished(client, address).text
    if found:
        assert '<th scope="row">pieces opened</th>' in page
    else:
        assert "stopped before a plan was found" in page
        assert list_all(shelf).plans == ()


def test_a_search_that_died_with_the_program_says_so(shelf: Stash, client: TestClient) -> None:
    address = begun(client, cuts="2 x 10 in square")
    finished(client, address)
    file = next((shelf.home / "planned").rglob("work.json"))
    file.write_text(re.sub(r', "answer.*', "}", file.read_text()), encoding="utf-8")
    assert "The search ended before a plan was found." in trouble(client.get(address))
    file.write_text("torn", encoding="utf-8")
    assert client.get(address).status_code == 404


def test_a_plan_that_is_begun_is_not_dropped(shelf: Stash, client: TestClient) -> None:
    plan(shelf, "2 x 5 in square")
    client.post("/plan/1/cut/A1")
    answer = client.post("/plan/1/drop")
    assert answer.status_code == 400
    assert "Plan 1 is begun: A1 was cut by it." in trouble(answer)
    assert "Drop this plan" not in client.get("/plan/1").text


def test_the_hub_lists_the_plans(shelf: Stash, client: TestClient) -> None:
    assert "There is no plan yet." in client.get("/cut").text
    plan(shelf, "2 x 5 in square")
    page = client.get("/cut").text
    assert 'href="/plan/1"' in page
    assert "2 × 5 × 5 in" in page
    assert "not begun" in page
