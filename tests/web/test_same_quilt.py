"""A deed on a quilt typed and the same deed on a page: the same project and the same sentence."""

import re
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from stashkeeper.actions.project_change import project_fields
from stashkeeper.actions.project_list import list_all
from stashkeeper.actions.projects import show
from stashkeeper.actions.stash import Stash
from stashkeeper.cli.show import plain
from tests.web.forms_sent import told, trouble
from tests.web.made import client_of, open_in, put
from tests.web.test_same_deed import Deed, Sent, lasting, typed

NEW = "/projects/new"
SMALL = "/project/Small"
STAR = {"layout": "friendship star", "unit": "2 in"}


def posted(path: str, /, **fields: Any) -> Sent:
    """Return a way to send a form to a path."""
    return lambda client, _: client.post(path, data=fields)


def changed(**fields: str) -> Sent:
    """Return a way to send the form that changes a project, with these fields changed in it."""

    def send(client: TestClient, stash: Stash) -> Response:
        there = {**project_fields(stash, "Small").fields, "name": "Small"}
        return client.post(f"{SMALL}/change", data={**there, **fields})

    return send


def take_the_first(client: TestClient, _: Stash) -> Response:
    """Take the best choice as its page offers it."""
    page = client.get(f"{SMALL}/choose").text
    form = page[page.index('class="take"') : page.index("Take this choice")]
    chosen = re.findall(r'name="chosen" value="([^"]+)"', form)
    return client.post(f"{SMALL}/choose", data={"chosen": chosen})


DEEDS = {
    "begin": Deed(
        "project new Big --layout 'friendship star' --unit '2 in'", posted(NEW, name="Big", **STAR)
    ),
    "begin, changed": Deed(
        "project new Big --layout 'friendship star' --unit '2 in' --columns 6 --rows 9 --turn 1 "
        "--mirror --exchange star,background --border 'edge: 1 in' --border 'rim: 2 in mitred' "
        "--role 'star: dark, 2 fabrics' --half-squares 8 --exact",
        posted(
            NEW, name="Big", **STAR, columns="6", rows="9", turn="1", mirror="yes",
            exchange="star, background", borders="edge: 1 in\nrim: 2 in mitred",
            roles="star: dark, 2 fabrics", half_squares="8", exact="yes",
        ),
    ),
    "begin, sashed": Deed(
        "project new Big --layout 'friendship star' --unit '2 in' --columns 6 --rows 6 "
        "--sash 'path: 1 in' --cornerstones stone --frame",
        posted(
            NEW, name="Big", **STAR, columns="6", rows="6", sash="path: 1 in", frame="yes",
            cornerstones="stone",
        ),
    ),
    "change": Deed(
        "project change Small --name Smaller --unit '1 1/2 in' --border none",
        changed(name="Smaller", unit="1 1/2 in", borders=""),
    ),
    "end": Deed("project end Small", posted(f"{SMALL}/end")),
    "choose": Deed("choose --project Small --take 1", take_the_first),
    "replace": Deed(
        "replace Small A3 A2 --yes", posted(f"{SMALL}/replace", old="A3", new="A2", role="")
    ),
    "undo": Deed("undo", posted("/undo")),
}  # fmt: skip

REFUSED = {
    "change nothing": Deed("project change Small", changed()),
    "no layout": Deed("project new Big --unit '2 in'", posted(NEW, name="Big", unit="2 in")),
    "no unit": Deed(
        "project new Big --layout pinwheel", posted(NEW, name="Big", layout="pinwheel")
    ),
    "unknown layout": Deed(
        "project new Big --layout pinweel --unit '2 in'",
        posted(NEW, name="Big", layout="pinweel", unit="2 in"),
    ),
    "name taken": Deed(
        "project new small --layout 'friendship star' --unit '2 in'",
        posted(NEW, name="small", **STAR),
    ),
    "no such size": Deed("project change Small --columns 7", changed(columns="7")),
    "a size of nothing": Deed("project change Small --unit '0 in'", changed(unit="0 in")),
    "no such role": Deed(
        "project change Small --role 'sky: dark'",
        changed(roles="sky: dark"),
    ),
    "no project": Deed("project end Smal", posted("/project/Smal/end")),
    "not chosen": Deed(
        "replace Small A4 A2 --yes", posted(f"{SMALL}/replace", old="A4", new="A2", role="")
    ),
    "the same again": Deed(
        "replace Small A3 A3 --yes", posted(f"{SMALL}/replace", old="A3", new="A3", role="")
    ),
}


@pytest.fixture
def two(tmp_path: Path) -> Iterator[list[Stash]]:
    """Return the same stash twice: four fabrics, and a project with two of them chosen."""
    with ExitStack() as opened:
        stashes = [opened.enter_context(open_in(tmp_path / name)) for name in ("typed", "page")]
        for stash in stashes:
            for name, light in (("Snow", 90), ("Tar", 15), ("Ink", 25), ("Milk", 88)):
                put(stash, name, light)
            client = client_of(stash)
            client.post(NEW, data={"name": "Small", **STAR, "borders": "edge: 1 in"})
            chosen = ["background=A1", "star=A3", "edge=A1"]
            client.post(f"{SMALL}/choose", data={"chosen": chosen})
        yield stashes


def all_of(stash: Stash) -> Any:
    """Return all that is known of every project."""
    return [lasting(plain(show(stash, one.name))) for one in list_all(stash).projects]


@pytest.mark.parametrize("name", DEEDS)
def test_a_deed_on_a_quilt_is_the_same_typed_and_on_a_page(two: list[Stash], name: str) -> None:
    one, other = two
    before = all_of(one)
    assert before == all_of(other)
    said = typed(one, DEEDS[name].typed)
    client = client_of(other)
    shown = told(client, DEEDS[name].sent(client, other))
    assert shown != []
    assert [line for line in shown if line not in said] == []
    assert all_of(one) == all_of(other)
    assert all_of(one) != before


@pytest.mark.parametrize("name", REFUSED)
def test_a_mistake_about_a_quilt_is_told_in_the_same_words(two: list[Stash], name: str) -> None:
    one, other = two
    before = all_of(one)
    said = typed(one, REFUSED[name].typed)
    answer = REFUSED[name].sent(client_of(other), other)
    assert answer.status_code >= 400
    assert said[0] in trouble(answer)
    assert "stashkeeper" not in trouble(answer) and "--" not in trouble(answer)
    assert all_of(one) == all_of(other) == before
