"""Size to fit on pages: the same answers as the commands, and nothing typed is lost."""

import html
import re
from collections.abc import Callable
from threading import Event

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.chosen_cloth import ChosenCloth
from stashkeeper.actions.fitting_bed import fit_bed
from stashkeeper.actions.fitting_border import fit_border
from stashkeeper.actions.fitting_cloth import fit_cloth
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.stash import Stash
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length
from tests.web.cloth_to_cut import shelve
from tests.web.forms_sent import field, finished


def text_of(page: str) -> str:
    """Return what a page says, without its tags, blanks made one."""
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())


@pytest.fixture
def two(stash: Stash) -> dict[str, str]:
    """Put two pieces on the shelf, and return what is asked for to be made of them."""
    for name in ("Moss", "Sky"):
        shelve(stash, name, "18 x 18")
    return {"name": "checkerboard", "fabrics": "light=A1; dark=A2", "columns": "2", "rows": "2"}


def begun(client: TestClient, asked: dict[str, str]) -> str:
    """Send the form and return the address of the search."""
    answer = client.post("/fit/cloth", data=asked)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def test_a_bed_is_covered_as_by_the_command(stash: Stash, client: TestClient) -> None:
    # 60 x 80 in and a drop of 12 in on three sides (mattress: thesprucecrafts.com) make 84 x 92.
    page = text_of(client.get("/fit/bed?name=pinwheel&bed=queen&unit=6+in").text)
    assert "Pinwheel, to cover 84 × 92 in" in page
    fitted = fit_bed(stash, PreviewWords("pinwheel"), "queen")
    assert fitted.ways
    # 84 in are 14 units of 6 in; 92 in take 15⅓, and pinwheels are two units high: 16 (by hand).
    assert "Whole blocks Finished 84 × 96 in Units 14 × 16 Each unit 6 in" in page


def links(page: str, to: str) -> list[str]:
    """Return the links of a page to another one, with what they say of its fields."""
    return [html.unescape(one) for one in re.findall(rf'href="({to}[?][^"]+)"', page)]


def test_a_fit_is_begun_as_a_project_in_one_step(stash: Stash, client: TestClient) -> None:
    # 14 units of 6 in are 84 in: the second way has no borders at the sides, as no project can.
    page = client.get("/fit/bed?name=Pinwheel&bed=queen&unit=6+in").text
    (link,) = links(page, "/projects/new")
    new = client.get(link)
    fields = {name: field(new, name) for name in ("unit", "columns", "rows")}
    assert fields == {"unit": "6 in", "columns": "14", "rows": "16"}
    assert re.search(r'value="pinwheel" (checked|selected)', new.text)
    client.post("/projects/new", data={**fields, "name": "Quay", "layout": "pinwheel"})
    assert "84 × 96 in" in client.get("/project/Quay").text
    page = client.get("/fit/bed?name=Quay&bed=80+x+90&border=3").text
    change = client.get(links(page, "/project/Quay/change")[0])
    assert [field(change, name) for name in ("unit", "columns", "rows")] == ["6 in", "14", "14"]
    assert "\nborder: 3 in</textarea>" in change.text
    assert field(client.get("/project/Quay/change?unit="), "unit") == ""
    assert field(client.get("/project/Quay/change?sash=x"), "unit") == "6 in"


def test_cloth_is_used_as_far_as_by_the_command(
    stash: Stash, client: TestClient, two: dict[str, str]
) -> None:
    asked = two
    page = text_of(finished(client, begun(client, asked)).text)
    making = ProjectWords(columns=2, rows=2)
    words = PreviewWords("checkerboard", ("light=A1", "dark=A2"), making=making)
    unit = format_length(fit_cloth(stash, words).unit, stash.measure)
    assert f"As large as its cloth allows Each unit {unit} finished side" in page
    assert "proven by a cutting plan" in page


def test_borders_take_their_share_of_the_cloth(
    stash: Stash, client: TestClient, two: dict[str, str]
) -> None:
    shelve(stash, "Rim", "40 x 10")
    asked = {**two, "fabrics": "light=A1; dark=A2; rim=A3", "border": "rim: 2 in"}
    page = text_of(finished(client, begun(client, asked)).text)
    making = ProjectWords(columns=2, rows=2, borders=("rim: 2 in",))
    words = PreviewWords("checkerboard", ("light=A1", "dark=A2", "rim=A3"), making=making)
    fitted = fit_cloth(stash, words)
    assert format_size(fitted.finished, stash.measure) in page
    # Two units and a border of 2 in on both sides.
    assert fitted.finished.width == fitted.unit * 2 + Length.from_inches(4)


def test_a_search_can_be_left_and_stopped_with_the_size_it_tries(
    client: TestClient, two: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    begins = Event()

    def endless(_cloth: ChosenCloth, _quilt: object, stop: Callable[[], bool]) -> bool | None:
        begins.set()
        while not stop():
            Event().wait(0.01)
        return None

    monkeypatch.setattr(ChosenCloth, "proven", endless)
    address = begun(client, two)
    assert begins.wait(10)
    # 17½ in of usable cloth cut both squares of 8½ in: finished 8 in (by hand).
    page = text_of(client.get(f"{address}?patience=0").text)
    assert "Units of 8½ in: looking for a cutting plan" in page
    asked = client.get(f"{address}?patience=0", headers={"accept": "application/json"}).json()
    assert not asked["finished"]
    assert client.post(f"{address}/stop").headers["location"] == address
    page = text_of(finished(client, address).text)
    assert "each part counted alone" in page
    assert "it may still be too large" in page


def test_a_fit_that_died_with_the_program_says_so(
    stash: Stash, client: TestClient, two: dict[str, str]
) -> None:
    address = begun(client, two)
    finished(client, address)
    file = next((stash.home / "fitted").rglob("work.json"))
    file.write_text('{"words": {"name": "checkerboard"}}', encoding="utf-8")
    page = client.get(address).text
    assert "The search ended before a size was found." in page
    assert 'value="checkerboard"' in page
    assert client.get("/fit/cloth/" + "0" * 32).status_code == 404
    assert client.post("/fit/cloth/x/stop").status_code == 404


def test_a_border_comes_from_the_pieces_named(stash: Stash, client: TestClient) -> None:
    shelve(stash, "Moss", "40 x 20")
    page = text_of(client.get("/fit/border?name=20+x+20&q=A1").text)
    made = fit_border(stash, "20 x 20", ["A1"])
    assert made.rows()
    for row in made.rows():
        assert " ".join(row) in page
    assert "finished width, the widest possible" in page


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("bed?name=pinwheel&bed=hammock", "hammock"),
        ("bed?name=pinwheel", ""),
        ("bed?bed=queen", "What is to be fitted was not said."),
        ("bed?name=/etc/passwd&bed=queen", "No project or layout is called"),
        ("bed?name=pinwheel&bed=queen&drop=long", "“long” is not a length."),
        ("border?name=/etc/passwd", "No project or layout is called"),
        ("border?name=20+x+20", "There is no off-cut on the shelf to make a border of."),
        ("sofa", ""),
    ],
)
def test_what_cannot_be_fitted_is_told(client: TestClient, asked: str, said: str) -> None:
    answer = client.get(f"/fit/{asked}")
    assert answer.status_code in {200, 400, 404, 409}
    assert (answer.status_code == 200) == (asked == "bed?name=pinwheel")
    assert said in text_of(answer.text)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({}, "What is to be fitted was not said."),
        ({"name": "pinwheel"}, "No piece was chosen for blade, background."),
        ({"name": "pinwheel", "border": "frame"}, "“frame” does not say what it is made of"),
        ({"name": "pinwheel", "columns": "many"}, "“many” is no number of columns."),
        ({"name": "/etc/passwd"}, "No project or layout is called"),
    ],
)
def test_what_cloth_cannot_be_fitted_is_told_at_once(
    stash: Stash, client: TestClient, asked: dict[str, str], said: str
) -> None:
    answer = client.post("/fit/cloth", data=asked)
    assert 400 <= answer.status_code < 500
    assert said in text_of(answer.text)
    assert not (stash.home / "fitted").exists()


def test_the_ways_to_fit_are_named(client: TestClient) -> None:
    page = client.get("/fit?name=barn+raising").text
    for way in ("bed", "cloth", "border"):
        assert f'href="/fit/{way}?name=barn%20raising"' in page or f"/fit/{way}?name=barn+" in page
