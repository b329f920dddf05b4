"""Cards and readings beside them: the same result and sentence typed and on a page."""

import re
import shlex
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from stashkeeper.actions.card import known_cards
from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from stashkeeper.cli.app import app
from tests.simulated_phone.posed import Pose, seen
from tests.web.forms_sent import photo_parts, told, trouble
from tests.web.made import client_of, open_in, put

KNOWN = {"card": "7F3K", **{f"level-{at}": level for at, level in enumerate(
    ("94", "83", "72", "60", "49", "37", "27")
)}}  # fmt: skip


@pytest.fixture
def two(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Stash, Stash]:
    """Return two stashes alike, with a piece each."""
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    one, other = open_in(tmp_path / "terminal"), open_in(tmp_path / "page")
    for stash in (one, other):
        put(stash, "Moss")
    return one, other


@pytest.fixture(scope="module")
def beside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("photos") / "beside.jpg"
    seen(Pose(80, turn=4, tilt=6), seed=3).image.save(file, quality=92)
    return file


def typed(stash: Stash, words: str) -> list[str]:
    """Type a command and return the lines it says."""
    result = CliRunner().invoke(app, ["--stash", str(stash.home), *shlex.split(words)])
    return (result.stdout or result.stderr).splitlines()


def photo_of(client: TestClient, photo: Path) -> str:
    """Choose a photo and return the key by which the page names it."""
    answer = client.post("/piece/A1/reference/photo", files=photo_parts([photo]))
    key = re.search(r"photo=([0-9a-f]{64})", answer.headers["location"])
    assert key
    return key[1]


@pytest.mark.parametrize("size", [False, True])
def test_beside_the_card(two: tuple[Stash, Stash], beside: Path, size: bool) -> None:
    one, other = two
    client = client_of(other)
    assert typed(one, "card known 7F3K 94 83 72 60 49 37 27") == told(
        client, client.post("/card/known", data=KNOWN)
    )
    assert known_cards(one) == known_cards(other)
    said = typed(one, f"reference A1 {beside} {'--keep-size' if size else ''}")
    sent = {"photo": photo_of(client, beside), "beside": "card", "keep_size": "yes" * size}
    shown = told(client, client.post("/piece/A1/reference", data=sent))
    assert said[: len(shown)] == shown
    assert show(one, "A1").reading == show(other, "A1").reading
    assert show(one, "A1").shown_size == show(other, "A1").shown_size
    assert show(one, "A1").shown_size.startswith("5⅞" if size else "18")


def test_a_mistake_is_told_in_the_same_words(two: tuple[Stash, Stash], beside: Path) -> None:
    one, other = two
    client = client_of(other)
    photo = {"photo": photo_of(client, beside)}
    edges = dict(zip(("left", "top", "right", "bottom"), ("90", "10", "20", "80"), strict=True))
    few = {name: level for name, level in KNOWN.items() if name < "level-2"}
    for words, path, sent in (
        ("card known 7F3K 94 83", "/card/known", few),
        (f"reference A9 {beside}", "/piece/A9/reference", photo),
        (f"reference A1 {beside} --crop .9,.1,.2,.8", "/piece/A1/reference", photo | edges),
    ):
        answer = client.post(path, data=sent)
        assert answer.status_code >= 400
        assert typed(one, words)[0] in trouble(answer)
