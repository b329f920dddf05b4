"""Every route there is, asked for in every odd way: no answer is a fault, none names a folder.

Routes are taken from the application itself, so that a new page is tried without a word here.
"""

import random
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient

from stashkeeper.actions import projects
from stashkeeper.actions.choose import keep_choice
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.stash import Stash
from stashkeeper.web.app import PAGES
from tests.web.cloth_to_cut import plan
from tests.web.made import FOREIGN, client_of, put, put_photo

PROJECT = "Small"
"""The name of the project there is."""

ODD = [
    "", " ", "A1", "a1", "A2", "Z99", "0", "1", "-1", "99999999999999999999", "1e400", "nan", "½",
    "18 x 21", "fat quarter", "0.1,0.1,0.9,0.9", "1,1,0,0", "given", "bands", "yes", "1.1",
    "../../etc/passwd", "..\\..\\x", "%00", "\0", "\ud800", "a\r\nSet-Cookie: x=y", "<b>", "{{1}}",
    "' OR 1=1 --", "\u202e", "🧵", "x" * 3000, f"http://{FOREIGN}", f"//{FOREIGN}", "/", "#",
    "00000000-0000-0000-0000-000000000000", "0" * 64, "tag:", "size:", "-", '"', "at:/", "light",
    "?", "light: 1", "dark: 2, each 2 x 3 in square", "star=A1", "star, background", "edge: 1 in",
    "star: dark, any number", "layout: x\nroles:\n  a: dark\nunits:\n  . = square: a\ngrid:\n  . .",
    PROJECT, "pinwheel",
]  # fmt: skip
"""What a person, a broken program or an attacker may type anywhere."""

FIELDS = [
    "q", "by", "grey", "page", "key", "name", "size", "at", "tags", "tag", "note", "version", "how",
    "crop", "left", "top", "right", "bottom", "count", "code", "codes", "light", "medium", "dark",
    "lightness", "paper", "rename", "into", "path", "event", "next", "left_out", "photo", "photos",
    "cuts", "source", "spare", "seconds", "directional", "allowance", "show", "step", "untick",
    "part", "view", "only", "first", "off_cuts", "kept", "put", "take", "crumbs",
    "hand", "ruler", "mat",
    "project", "layout", "text", "start", "columns", "rows", "turn", "mirror", "exchange", "unit",
    "border", "fabric.star", "instead1.star", "finished", "quilt", "measure", "bed", "drop", "foot",
    "fabrics", "widest",
    "need", "sets", "further", "keep", "leave_out", "free", "chosen", "old", "new", "role",
    "layout_text", "borders", "roles", "sash", "cornerstones", "frame", "on_point", "between",
    "half_squares", "geese", "exact", "seam",
]  # fmt: skip
"""The names of fields; others are simply not read."""


def routes() -> Iterator[APIRoute]:
    """Yield every route of every page."""
    for page in PAGES:
        yield from (route for route in page.router.routes if isinstance(route, APIRoute))


def written(text: str) -> str:
    """Return a text as a browser puts it into an address; half characters are sent as they are."""
    return quote(text.encode("utf-8", "surrogatepass"), safe="")


def readable(text: str) -> str:
    """Return a text without half characters, which the stand-in cannot send in this form."""
    return text.encode("utf-8", "replace").decode()


def ask(client: TestClient, route: APIRoute, chance: random.Random) -> tuple[str, int, str]:
    """Ask for a route in an odd way; return what was asked, the status, and the answer's text."""
    path = route.path
    for name in route.param_convertors:
        there = name == "name" and chance.random() < 0.5
        odd = PROJECT if there else chance.choice(ODD)
        for place in (f"{{{name}}}", f"{{{name}:path}}"):
            path = path.replace(place, written(odd) or "x")
    words = {name: chance.choice(ODD) for name in chance.sample(FIELDS, 8)}
    body = "&".join(f"{name}={written(word)}" for name, word in words.items())
    method = chance.choice(
        sorted({*(route.methods or ()), *(["POST"] if chance.random() < 0.1 else [])})
    )
    headers = {"content-type": "application/x-www-form-urlencoded"}
    if method == "GET":
        answer = client.get(f"{path}?{body}")
    elif chance.random() < 0.3:
        file_name = f"{readable(chance.choice(ODD))[:50]}.jpg"
        files = dict.fromkeys(("photo", "photos"), (file_name, b"no photo"))
        shown = {name: readable(word) for name, word in words.items()}
        answer = client.request(method, path, data=shown, files=files)
    else:
        answer = client.request(method, path, content=body, headers=headers)
    return f"{method} {path} {words!r}", answer.status_code, answer.text


def try_routes(stash: Stash, folder: Path, seed: int, times: int) -> None:
    """Ask every route in as many odd ways, and judge the answers."""
    put_photo(stash, folder, "checks", (120, 140, 180))
    put(stash, "plain", 40)
    plan(stash, "3 x 5 in square", "9 x 4 in square")
    projects.new(stash, PROJECT, ProjectWords(layout="friendship star", unit="1 in"))
    keep_choice(stash, PROJECT, [("background", None, "A1"), ("star", None, "A2")])
    client = client_of(stash)
    chance = random.Random(seed)
    for route in routes():
        for _ in range(times):
            asked, status, text = ask(client, route, chance)
            assert status < 500, (asked, text)
            assert str(stash.home) not in text, asked


def test_no_route_answers_with_a_fault(stash: Stash, tmp_path: Path) -> None:
    try_routes(stash, tmp_path, seed=3, times=5)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(3))
def test_no_route_answers_with_a_fault_however_long_it_is_tried(
    stash: Stash, tmp_path: Path, seed: int
) -> None:
    try_routes(stash, tmp_path, seed=100 + seed, times=80)


def test_every_route_is_tried() -> None:
    paths = {route.path for route in routes()}
    assert {"/", "/enter", "/swatch/{code}/{look}/{tone}-{width}.webp"} <= paths
