"""A deed of cutting typed, and the same deed on a page: the same result and the same sentence."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from stashkeeper.actions.scraps import scraps
from stashkeeper.actions.stash import Stash
from tests.web.cloth_to_cut import plan, shelve
from tests.web.forms_sent import told, trouble
from tests.web.made import client_of, open_in
from tests.web.test_same_deed import all_of, typed

DEEDS: dict[str, tuple[str, str, dict[str, str]]] = {
    "cut as planned": ("cut 1 A1", "/plan/1/cut/A1", {}),
    "cut, only the first": (
        "cut 1 A1 --only 2",
        "/plan/1/cut/A1",
        {"how": "first", "first": "2"},
    ),
    "cut otherwise": (
        "cut 1 A1 --only '7 x A' --off-cut '4 x 5' --off-cut '18 x 4'",
        "/plan/1/cut/A1",
        {"how": "other", "only": "7 x A", "left": "other", "off_cuts": "4 x 5, 18 x 4"},
    ),
    "measured": ("change A2 --size '21 x 18'", "/plan/1/measure/A2", {"size": "21 x 18"}),
    "measured as on record": ("change A2 --measured", "/plan/1/measure/A2", {"right": "yes"}),
    "counted": (
        "scraps A3 --put '3 x 4 in square' --take '2 x 3 in square' --crumbs 5oz --at Box",
        "/scraps/A3",
        {"put": "3 x 4 in square", "take": "2 x 3 in square", "crumbs": "5oz", "at": "Box"},
    ),
    "a new bag": ("scraps --new Odds", "/scraps", {"name": "Odds"}),
}

REFUSED: dict[str, tuple[str, str, dict[str, str]]] = {
    "too many cuts": ("cut 1 A1 --only 99", "/plan/1/cut/A1", {"how": "first", "first": "99"}),
    "not of this plan": ("cut 1 A3", "/plan/1/cut/A3", {}),
    "never measured": ("cut 1 A2", "/plan/1/cut/A2", {}),
    "no such plan": ("drop-plan 7", "/plan/7/drop", {}),
    "more than is in it": (
        "scraps A3 --take '9 x 3 in square'",
        "/scraps/A3",
        {"take": "9 x 3 in square"},
    ),
}


@pytest.fixture(scope="session")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a stash with a plan of two pieces, and a bag."""
    folder = tmp_path_factory.mktemp("planned")
    with open_in(folder) as stash:
        shelve(stash, "Moss", "20 x 15")
        shelve(stash, "Fern", "fat quarter", squared=None)
        scraps(stash, new="Bits", put=["4 x 3 in square"])
        plan(stash, "8 x 5 in square from A1", "4 x 8 in square from A2")
    return folder


@pytest.fixture
def two(planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Stash]]:
    """Return the same stash twice."""
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    folders = [tmp_path / "terminal", tmp_path / "page"]
    for folder in folders:
        shutil.copytree(planned, folder)
    with open_in(folders[0]) as one, open_in(folders[1]) as other:
        yield [one, other]


@pytest.mark.parametrize("name", DEEDS)
def test_a_deed_is_the_same_typed_and_on_a_page(two: list[Stash], name: str) -> None:
    one, other = two
    words, path, fields = DEEDS[name]
    before = all_of(one)
    said = typed(one, words)
    client = client_of(other)
    shown = told(client, client.post(path, data=fields))
    assert shown != []
    assert said[: len(shown)] == shown
    assert all_of(one) == all_of(other) != before


@pytest.mark.parametrize("name", REFUSED)
def test_a_mistake_is_told_in_the_same_words(two: list[Stash], name: str) -> None:
    one, other = two
    words, path, fields = REFUSED[name]
    before = all_of(one)
    said = typed(one, words)
    answer = client_of(other).post(path, data=fields)
    assert answer.status_code >= 400
    assert said[0] in trouble(answer)
    assert all_of(one) == all_of(other) == before


def test_a_plan_is_dropped_the_same_way(two: list[Stash]) -> None:
    one, other = two
    client = client_of(other)
    assert typed(one, "drop-plan 1") == told(client, client.post("/plan/1/drop"))
    assert typed(one, "plans") == typed(other, "plans") == ["There is no plan yet."]
