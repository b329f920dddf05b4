"""Bags of scraps on the page: begun, counted in and out, weighed, moved."""

import html
import re

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.scraps import list_bags
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import told, trouble


def holds(stash: Stash) -> list[tuple[str, float, int]]:
    """Return kind, side in inches and count of all that is in the bag."""
    (bag,) = list_bags(stash).bags
    return [(str(one.kind), float(one.side.inches), one.count) for one in bag.scraps]


def test_a_bag_is_begun_filled_and_emptied(stash: Stash, client: TestClient) -> None:
    assert "There is no bag of scraps yet." in client.get("/scraps").text
    answer = client.post("/scraps", data={"name": "Green bits"})
    assert answer.headers["location"] == "/scraps#A1"
    assert told(client, answer) == ["Began the bag A1 “Green bits”."]
    fields = {"put": "3 x 2 1/2 in strip, 12 x 3 in square", "crumbs": "150 g", "at": "Box"}
    answer = client.post("/scraps/A1", data=fields)
    assert told(client, answer) == ["Counted the bag A1 “Green bits”."]
    assert holds(stash) == [("strip", 2.5, 3), ("square", 3, 12)]
    page = client.get("/scraps").text
    assert "every strip at least 10 in long, 150 g of crumbs" in page
    assert "Green bits, Box" in page
    client.post("/scraps/A1", data={"take": "4 x 3 in square"})
    assert holds(stash)[1] == ("square", 3, 8)
    client.post("/undo")
    assert holds(stash)[1] == ("square", 3, 12)


def test_one_at_a_time_with_the_thumb(stash: Stash, client: TestClient) -> None:
    client.post("/scraps", data={"name": "Bits"})
    client.post("/scraps/A1", data={"put": "2 x 1 9/16 in square"})
    buttons = re.findall(r'<button name="(take|put)" value="([^"]+)"', client.get("/scraps").text)
    assert [name for name, _ in buttons] == ["take", "put"]
    (_, one), _ = buttons
    client.post("/scraps/A1", data={"put": html.unescape(one)})
    assert holds(stash) == [("square", 1.5625, 3)]
    for _ in range(3):
        client.post("/scraps/A1", data={"take": html.unescape(one)})
    assert holds(stash) == []


def test_the_place_stays_unless_it_is_typed_another_way(stash: Stash, client: TestClient) -> None:
    client.post("/scraps", data={"name": "Bits"})
    client.post("/scraps/A1", data={"at": "Box", "was-at": ""})
    client.post("/scraps/A1", data={"put": "3 in square"})
    client.post("/scraps/A1", data={"put": "3 in square", "at": "Box", "was-at": "Box"})
    assert list_bags(stash).bags[0].place == "Box"
    client.post("/scraps/A1", data={"at": "", "was-at": "Box"})
    assert list_bags(stash).bags[0].place == ""


@pytest.mark.parametrize(
    ("path", "fields", "said"),
    [
        ("/scraps/A1", {"take": "5 x 3 in square"}, "4 "),
        ("/scraps/A1", {"put": "blue"}, "“blue”"),
        ("/scraps/A1", {"crumbs": "heavy"}, "“heavy” is not a weight."),
        ("/scraps", {"name": ""}, "name"),
    ],
)
def test_what_cannot_be_counted_is_told_and_changes_nothing(
    stash: Stash, client: TestClient, path: str, fields: dict[str, str], said: str
) -> None:
    client.post("/scraps", data={"name": "Bits"})
    client.post("/scraps/A1", data={"put": "4 x 3 in square"})
    answer = client.post(path, data=fields)
    assert answer.status_code in {400, 404}
    assert said in trouble(answer)
    assert holds(stash) == [("square", 3, 4)]
    for typed in fields.values():
        assert typed in html.unescape(answer.text)


def test_a_bag_that_is_not_there_is_told(client: TestClient) -> None:
    answer = client.post("/scraps/A9", data={"put": "3 in square"})
    assert answer.status_code == 404
    assert "No piece has the code" in trouble(answer)
