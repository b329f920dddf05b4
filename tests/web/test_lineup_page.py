"""A line-up on its page: split and ranked, lines moved, kept; by the simulated phone's photos."""

import re
import shlex
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from typer.testing import CliRunner

from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from stashkeeper.cli.app import app
from tests.simulated_phone.lined_up import LineUp, line_up, print_at_random
from tests.simulated_phone.snapped import Shot, snapped_file
from tests.web.forms_sent import field, photo_parts, told, trouble
from tests.web.made import open_in, put

NAMES = ("milk", "ink", "sage", "rust", "stone")


@pytest.fixture(scope="module")
def shot(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, LineUp]:
    """Return a photo of five fabrics side by side, and what is true of it."""
    random = np.random.default_rng(11)
    laid = line_up(random, tuple(print_at_random(random, kind="solid") for _ in NAMES), lying=False)
    file = tmp_path_factory.mktemp("photos") / "five.jpg"
    file.write_bytes(snapped_file(laid.light, Shot(seed=3)).getvalue())
    return file, laid


@pytest.fixture
def codes(stash: Stash) -> list[str]:
    return [put(stash, name) for name in NAMES]


def choose(client: TestClient, photo: Path, **sent: str | list[str]) -> Response:
    """Choose a photo and return the page that looks at it."""
    answer = client.post("/line-up/photo", data=sent, files=photo_parts([photo]))
    assert answer.status_code == 303, trouble(answer)
    return client.get(answer.headers["location"])


def asked_of(page: Response) -> dict[str, str]:
    """Return the fields of a page as a browser would send them."""
    tags = re.findall(r'<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"', page.text)
    return {name: unescape(value) for name, value in tags if name != "count"}


def ranked(page: Response) -> list[int]:
    """Return the numbers of the strips as the page ranks them."""
    return [int(number) for number in re.findall(r"</span> strip (\d+)", page.text)]


def test_a_photo_is_split_and_ranked_and_nothing_is_kept(
    client: TestClient, stash: Stash, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    file, laid = shot
    page = choose(client, file, codes="A1 A2, A3 A4 A5")
    true = [cloth.lightness for cloth in laid.cloths]
    found = [true[number - 1] for number in ranked(page)]
    # Pairs at least 10 L* apart keep their order in one photo.
    assert all(one > other - 10 for at, one in enumerate(found) for other in found[at + 1 :])
    for number, line in enumerate(laid.lines, 1):
        at = float(field(page, f"start-{number}")), float(field(page, f"end-{number}"))
        assert at == pytest.approx([100 * line[0][0], 100 * line[1][0]], abs=2.5)
    assert "A3</b> sage" in page.text
    assert all(show(stash, code).reading is None for code in codes)


def test_on_a_yes_it_is_kept(
    client: TestClient, stash: Stash, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    page = choose(client, shot[0], codes=" ".join(codes))
    answer = client.post("/line-up", data=asked_of(page))
    assert told(client, answer)[0] == "Kept a line-up of 5 fabrics: A1, A2, A3, A4, A5."
    for code in codes:
        reading = show(stash, code).reading
        assert reading is not None
        assert [photo.file_name for photo in show(stash, code).photos] == ["five.jpg"]
    client.post("/undo")
    assert show(stash, "A1").reading is None


def test_ticked_pieces_stand_in_the_strips_to_be_put_in_order(
    client: TestClient, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    assert client.get("/line-up?q=sage").text.count('name="tick"') == 1
    page = choose(client, shot[0], tick=codes)
    assert [field(page, f"strip-{number}") for number in range(1, 6)] == codes


def test_lines_moved_move_what_is_measured(
    client: TestClient, stash: Stash, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    sent = asked_of(choose(client, shot[0], codes=" ".join(codes)))
    sent |= {"start-2": "15", "end-2": "16", "strip-5": ""}
    page = client.get("/line-up", params=sent)
    assert field(page, "start-2") == "15"
    client.post("/line-up", data=sent)
    (photo,) = show(stash, "A1").photos
    assert max(x for x, _ in photo.corners) < 0.16
    assert show(stash, "A5").photos == ()


def test_split_anew_into_another_number(
    client: TestClient, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    sent = asked_of(choose(client, shot[0], codes=" ".join(codes)))
    page = client.get("/line-up", params={**sent, "count": "4", "anew": "yes"})
    assert len(ranked(page)) == 4
    assert [field(page, f"strip-{number}") for number in range(1, 5)] == codes[:4]


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({"strip-2": "Z99"}, "Z99"),
        ({"strip-2": "A1"}, "A1 stands in the line-up twice."),
        ({"start-3": "a lot"}, "are not the lines of a line-up"),
        ({"start-3": "2", "end-3": "2"}, "are not the lines of a line-up"),
        ({"strip-1": "", "strip-2": "", "strip-3": "", "strip-4": ""}, "Nobody said which fabrics"),
    ],
)
def test_a_mistake_is_told_and_the_rest_is_kept_to_be_changed(
    client: TestClient,
    stash: Stash,
    shot: tuple[Path, LineUp],
    codes: list[str],
    said: dict[str, str],
    problem: str,
) -> None:
    sent = asked_of(choose(client, shot[0], codes=" ".join(codes))) | said
    answer = client.post("/line-up", data=sent)
    assert answer.status_code >= 400
    assert problem in trouble(answer)
    assert field(answer, "strip-5") == "A5"
    assert all(show(stash, code).reading is None for code in codes)


def test_more_codes_than_strips_are_told(
    client: TestClient, stash: Stash, shot: tuple[Path, LineUp], codes: list[str]
) -> None:
    more = [put(stash, "moss"), put(stash, "plum")]
    page = choose(client, shot[0], codes=" ".join([*codes, *more]))
    if page.status_code == 200:  # it could be split into so many; then it must not be sure
        assert "It cannot find the split surely" in page.text
    else:
        assert "7 codes were given, but the photo shows 5 strips." in trouble(page)


def test_no_photo_is_told_and_codes_are_not_lost(client: TestClient, codes: list[str]) -> None:
    answer = client.post("/line-up/photo", data={"codes": "A1 A2"})
    assert answer.status_code == 400
    assert "No photo was given." in trouble(answer)
    assert field(answer, "codes") == "A1 A2"


def test_the_same_deed_typed_says_the_same(
    client: TestClient,
    stash: Stash,
    shot: tuple[Path, LineUp],
    codes: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    sent = asked_of(choose(client, shot[0], codes=" ".join(codes)))
    lines = " ".join(
        f"{float(sent[f'start-{n}']) / 100:.4f}/{float(sent[f'end-{n}']) / 100:.4f}"
        for n in range(1, 7)
    )
    with open_in(tmp_path / "terminal") as other:
        for name in NAMES:
            put(other, name)
        words = shlex.split(f'lineup {shot[0]} {" ".join(codes)} --lines "{lines}" --yes')
        result = CliRunner().invoke(app, ["--stash", str(other.home), *words])
        shown = told(client, client.post("/line-up", data=sent))
        assert shown[0] in result.stdout
        assert [show(other, code).reading for code in codes] == [
            show(stash, code).reading for code in codes
        ]
