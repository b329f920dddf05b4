"""Projects on pages: begun, chosen for, seams judged, a fabric replaced, planned, taken back.

Sizes are checked by geometry; gaps by subtracting the lightnesses that were typed.
"""

import html
import re
from pathlib import Path

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
from tests.web.made import put_photo
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


def test_a_mistake_is_told_beside_its_field(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    client.post("/project/Small/choose", data={"chosen": ["background=A1", "star=A3"]})
    asked = (
        ("/choose?need=light:+1&sets=x", "sets", "“x” is no number of sets."),
        ("/choose?need=", "need", "Nothing was asked for."),
        ("/choose?need=light:+0", "need", "“light: 0” asks for nothing."),
        ("/choose?need=light:+1&keep=Q9", "keep", "No piece has the code “Q9”."),
        ("/choose?need=light:+1,+each+2+x+9+in+square&keep=A1", "keep", "A1 is kept for “light”"),
        ("/choose?need=light:+1&leave_out=blue", "leave_out", "“blue” is no code of a piece."),
        ("/choose?need=light:+1&further=dusk", "further", "“dusk” does not say what is needed."),
        ("/choose?need=light:+1&q=light:much", "q", "much"),
        ("/project/Small/replace?old=A1&new=Q9", "new", "No piece has the code “Q9”."),
        ("/project/Small/replace?old=A1&new=A2&role=sky", "role", "not chosen for “sky”"),
        ("/project/Small/replace?old=A1&new=A1", "new", "is what is chosen for background already"),
    )
    for address, name, says in asked:
        answer = client.get(address)
        assert answer.status_code >= 400, address
        box = re.search(rf'id="trouble-{name}">(.*?)</p>', answer.text, re.DOTALL)
        assert box is not None and says in html.unescape(box[1]), (address, trouble(answer))


def test_what_a_project_cannot_be_is_told_beside_its_field(
    shelf: Stash, client: TestClient
) -> None:
    client.post("/projects/new", data=STAR)
    wrong = (
        ("unit", "0 in", "“0 in” is nothing"),
        ("columns", "7", "cannot be 7 × 3 units"),
        ("borders", "frame", "“frame” does not say what it is made of"),
        ("roles", "sky: dark", "The quilt has no role “sky”."),
        ("sash", "0", "“0” does not say what it is made of"),
        ("seam", "wide", "“wide” is not a length."),
        ("name", "small", "There is a project “Small” already."),
    )
    for name, typed, says in wrong:
        answer = client.post("/projects/new", data={**STAR, "name": "Big", name: typed})
        assert answer.status_code >= 400, name
        box = re.search(rf'id="trouble-{name}">(.*?)</p>', answer.text, re.DOTALL)
        assert box is not None and says in html.unescape(box[1]), (name, trouble(answer))
        assert typed in html.unescape(answer.text)


def test_sets_and_further_pieces_are_asked_for_on_the_page(
    stash: Stash, client: TestClient, tmp_path: Path
) -> None:
    reds = {"Rose": (230, 130, 120), "Brick": (150, 60, 40), "Wine": (90, 20, 20)}
    for name, colour in reds.items():
        put_photo(stash, tmp_path, name, colour)
    typed = {"need": "light: 1\ndark: 1", "further": "binding dark: 1", "sets": "1"}
    answer = client.get("/choose", params=typed)
    command = choose_fabrics(
        stash, ChooseWords(needs=("light: 1", "dark: 1"), sets=1, further=("binding dark: 1",))
    )
    page = html.unescape(answer.text)
    assert command.best.headline in page
    assert "Binding" in page and 'name="sets" value="1"' in page
    too_many = client.get("/choose", params={**typed, "sets": "9"})
    assert too_many.status_code == 409
    assert trouble(too_many).startswith("9 sets are asked for, and the shelf has ")
    assert too_many.text.count("9 sets are asked for") == 1


def test_the_missing_fabric_is_a_stretch_of_the_rule(shelf: Stash, client: TestClient) -> None:
    need = ("light: 1", "dark: 1")
    missing = choose_fabrics(shelf, ChooseWords(needs=need)).missing
    assert missing is not None
    page = html.unescape(client.get("/choose", params={"need": "\n".join(need)}).text)
    assert missing.told in page
    stretch = re.search(r'class="missing" x="([\d.]+)%" width="([\d.]+)%"', page)
    assert stretch is not None
    assert float(stretch[1]) == pytest.approx(missing.darkest, abs=0.01)
    wide = max(missing.lightest - missing.darkest, 1)
    assert float(stretch[2]) == pytest.approx(wide, abs=0.01)


def test_sashing_is_asked_for_and_taken_away(shelf: Stash, client: TestClient) -> None:
    sash = {"sash": "path: 1 in", "cornerstones": "stone", "frame": "yes"}
    client.post("/projects/new", data={**STAR, "columns": "6", "rows": "6", **sash})
    # Two blocks of 6 in, three strips of 1 in where they go all around: 15 in.
    page = client.get("/project/Small").text
    assert "15 × 15 in" in page and "Path" in page and "Stone" in page
    form = client.get("/project/Small/change").text
    assert 'name="sash" value="path: 1 in"' in form and 'name="cornerstones" value="stone"' in form
    client.post("/project/Small/change", data={"name": "Small", "sash": "", "cornerstones": ""})
    page = client.get("/project/Small").text
    assert "12 × 12 in" in page and "Stone" not in page
    wrong = client.post(
        "/project/Small/change", data={"name": "Small", "sash": "0", "unit": "2 in"}
    )
    assert wrong.status_code == 400
    assert "“0” does not say what it is made of and how wide it is." in trouble(wrong)
    assert 'name="sash" value="0"' in wrong.text


def test_a_pair_held_by_colour_is_told_apart(
    stash: Stash, client: TestClient, tmp_path: Path
) -> None:
    for name, colour in (("Brick", (150, 60, 40)), ("Lake", (30, 90, 160))):  # L* 37 and 38
        put_photo(stash, tmp_path, name, colour)
    client.post("/projects/new", data=STAR)
    client.post("/project/Small/choose", data={"chosen": ["background=A1", "star=A2"]})
    page = html.unescape(client.get("/project/Small/seams").text)
    assert "Weak in grey, held by colour" in page
    assert re.search(r"colours differ by [3-9]\d", page)


def test_an_ended_project_offers_nothing_to_do(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    assert "/project/Small/choose" in client.get("/project/Small").text
    client.post("/project/Small/end")
    page = client.get("/project/Small").text
    for way in ("choose", "change", "replace", "end"):
        assert f"/project/Small/{way}" not in page


def test_nothing_chosen_leads_to_choosing(shelf: Stash, client: TestClient) -> None:
    client.post("/projects/new", data=STAR)
    page = client.get("/project/Small/replace").text
    assert "No fabric is chosen yet" in page and 'href="/project/Small/choose"' in page
    sent = client.post("/project/Small/replace", data={"old": "A1", "new": "A2"})
    assert "has no fabrics yet, so there is none to replace." in trouble(sent)
    assert "stashkeeper" not in trouble(sent)
