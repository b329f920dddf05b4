"""A deed typed and the same deed on a page: the same result and the same sentence."""

import shlex
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from typer.testing import CliRunner

from stashkeeper.actions.pieces import list_pieces, show
from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash
from stashkeeper.cli.app import app
from stashkeeper.cli.show import plain
from tests.web.forms_sent import photo_parts, told, trouble
from tests.web.made import client_of, cloth_photo, open_in, put, put_photo

Sent = Callable[[TestClient, Stash], Response]


@dataclass(frozen=True)
class Deed:
    """One deed: as it is typed (`FILE` is a photo), and as a page sends it."""

    typed: str
    sent: Sent


def posted(path: str, /, **fields: str) -> Sent:
    """Return a way to send a form to a path; `{region}` in it is the region of A1's photo."""

    def send(client: TestClient, stash: Stash) -> Response:
        region = show(stash, "A1").photos[0].region
        return client.post(path.format(region=region), data=fields)

    return send


def posted_photo(path: str, /, **fields: str) -> Sent:
    """Return a way to send a form with the new photo to a path."""

    def send(client: TestClient, stash: Stash) -> Response:
        photo = stash.home.parent / "new.jpg"
        return client.post(path, data=fields, files=photo_parts([photo]))

    return send


BRIM = {"left": "25", "top": "25", "right": "75", "bottom": "75"}
DEEDS = {
    "add": Deed(
        "add Plum --size 'fat quarter' --photo FILE --at 'Chest / Top' --tag a --tag b",
        posted_photo("/add", name="Plum", pick="fat quarter", at="Chest / Top", tags="a, b"),
    ),
    "add, name proposed": Deed(
        "add --size '18 x 21' --about --count 2 --photo FILE --washed --each",
        posted_photo("/add", size="18 x 21", known="about", count="2", washed="yes"),
    ),
    "add to a fabric": Deed(
        "add --fabric A1 --size 'half yard'", posted("/add", fabric="A1", pick="half yard")
    ),
    "change": Deed(
        "change A1 --size '10 x 12' --name Sedge --tag new --untag green --fibre linen",
        posted(
            "/piece/A1/change", size="10 x 12", name="Sedge", tags="old, new", fibre="linen",
            **{"was-tags": "green, old"},
        ),
    ),
    "move": Deed("change A1 --at Attic", posted("/piece/A1/move", at="Attic")),
    "end": Deed("end A1 --how 'all cut'", posted("/piece/A1/end", how="all cut")),
    "lightness": Deed("lightness A1 61.5", posted("/piece/A1/lightness", lightness="61.5")),
    "photo": Deed("photo A1 FILE", posted_photo("/piece/A1/photo")),
    "photo of the back": Deed(
        "photo A1 FILE --back", posted_photo("/piece/A1/photo", back="yes")
    ),
    "region": Deed("region A1 0.25,0.25,0.75,0.75", posted("/piece/A1/region/{region}", **BRIM)),
    "undo": Deed("undo", posted("/undo")),
    "undo of a named deed": Deed("undo 1", posted("/undo", number="1")),
    "place made": Deed("places 'Chest / Top' --make", posted("/places", place="Chest / Top")),
    "place changed": Deed(
        "places 'Shelf 2' --rename 'Shelf 3' --into Attic",
        posted("/places/change", place="Shelf 2", rename="Shelf 3", into="Attic"),
    ),
}  # fmt: skip

REFUSED = {
    "size": Deed("change A1 --size wide", posted("/piece/A1/change", size="wide")),
    "code": Deed("end A77 --how sold", posted("/piece/A77/end", how="sold")),
    "end": Deed("end A1 --how eaten", posted("/piece/A1/end", how="eaten")),
    "lightness": Deed("lightness A1 101", posted("/piece/A1/lightness", lightness="101")),
    "crop": Deed(
        "region A1 0.75,0.25,0.25,0.75 --photo sage.jpg",
        posted("/piece/A1/region/{region}", **{**BRIM, "left": "75", "right": "25"}),
    ),
    "photo twice": Deed("photo A2 FILE", posted_photo("/piece/A2/photo")),
    "place": Deed("places Cellar --rename A", posted("/places/change", place="Cellar", rename="A")),
    "undo": Deed("undo 99", posted("/undo", number="99")),
}  # fmt: skip


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a stash with two pieces and a new photo; to copy it is quick."""
    folder = tmp_path_factory.mktemp("filled")
    with open_in(folder) as stash:
        put_photo(stash, folder, "sage", (150, 170, 120), at="Shelf 2", tags=["green", "old"])
        put(stash, "stone", 64)
    cloth_photo(folder / "new.jpg", (90, 40, 90))
    return folder


@pytest.fixture
def two(filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Stash]]:
    """Return the same stash twice, each in a folder with the new photo."""
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    folders = [tmp_path / "terminal", tmp_path / "page"]
    for folder in folders:
        shutil.copytree(filled, folder)
    with open_in(folders[0]) as one, open_in(folders[1]) as other:
        yield [one, other]


def typed(stash: Stash, words: str) -> list[str]:
    """Type a command and return the lines it says."""
    photo = stash.home.parent / "new.jpg"
    parts = [str(photo) if part == "FILE" else part for part in shlex.split(words)]
    result = CliRunner().invoke(app, ["--stash", str(stash.home), *parts])
    return (result.stdout or result.stderr).splitlines()


VOLATILE = {"region", "read_at", "created_at", "id", "at"}


def lasting(data: Any) -> Any:
    """Return plain data less keys and moments, which never are the same."""
    if isinstance(data, Mapping):
        return {key: lasting(value) for key, value in data.items() if key not in VOLATILE}
    return [lasting(one) for one in data] if isinstance(data, list) else data


def all_of(stash: Stash) -> Any:
    """Return all pieces with all that is known of them, and all places."""
    codes = [piece.code for piece in list_pieces(stash, ["ended:any"]).pieces]
    pieces = [lasting(plain(show(stash, code))) for code in codes]
    return pieces, lasting(plain(places(stash)))


@pytest.mark.parametrize("name", DEEDS)
def test_a_deed_is_the_same_typed_and_on_a_page(two: list[Stash], name: str) -> None:
    one, other = two
    before = all_of(one)
    assert before == all_of(other)
    said = typed(one, DEEDS[name].typed)
    client = client_of(other)
    shown = told(client, DEEDS[name].sent(client, other))
    assert shown != []
    assert said[: len(shown)] == shown
    assert all_of(one) == all_of(other)
    assert all_of(one) != before


@pytest.mark.parametrize("name", REFUSED)
def test_a_mistake_is_told_in_the_same_words(two: list[Stash], name: str) -> None:
    one, other = two
    for stash in two:
        typed(stash, "photo A1 FILE")
    before = all_of(one)
    said = typed(one, REFUSED[name].typed)
    answer = REFUSED[name].sent(client_of(other), other)
    assert answer.status_code >= 400
    assert said[0] in trouble(answer)
    assert all_of(one) == all_of(other) == before
