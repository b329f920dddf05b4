"""A quilt seen before it is sewn, on pages: drawn, judged, beside others, saved; nothing lost."""

import html
import io
import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.layout_preview import see
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import finished
from tests.web.made import put, put_photo

STAR = {"layout": "friendship star", "columns": "3", "rows": "3"}
MINE = "layout: Mine\nroles:\n  sea: dark\nunits:\n  . = square: sea\ngrid:\n  . .\n"


@pytest.fixture
def shelf(stash: Stash, tmp_path: Path) -> Stash:
    """Put a photographed piece and two of typed lightness on the shelf."""
    put_photo(stash, tmp_path, "Rust", (150, 60, 40))
    put(stash, "Coal", 20)
    put(stash, "Slate", 22)
    return stash


def drawn(client: TestClient, **typed: str) -> str:
    """Draw a preview and return the address of its page."""
    answer = client.post("/preview", data=STAR | typed)
    assert answer.status_code == 303, answer.text
    finished(client, answer.headers["location"])
    return str(answer.headers["location"])


def test_a_layout_is_seen_in_colour_and_in_grey(shelf: Stash, client: TestClient) -> None:
    address = drawn(client, **{"fabric.star": "A2", "fabric.background": "A1"})
    page = html.unescape(client.get(address).text)
    pictures = re.findall(rf'src="({address}/0-(?:colour|grey)\.webp)"', page)
    assert len(pictures) == 2
    colour, grey = (Image.open(io.BytesIO(client.get(one).content)) for one in pictures)
    assert colour.size == grey.size
    assert 0.98 < colour.width / colour.height < 1.02  # three by three units are square
    spread = [high - low for low, high in zip(*_extremes(grey), strict=True)]
    assert max(spread) >= 0
    for name in ("narrow", "wide"):
        rule = client.get(f"{address}/0-{name}.svg")
        assert rule.text.startswith("<svg")
        assert "unsafe-inline" not in client.get(address).headers["content-security-policy"]
    assert "Scale of print assumed for A1: as if its photo shows the whole piece." in page


def _extremes(picture: Image.Image) -> tuple[list[float], list[float]]:
    bands = [one for one in picture.convert("RGB").getextrema() if isinstance(one, tuple)]
    return [low for low, _ in bands], [high for _, high in bands]


def test_weak_seams_are_marked_and_told_as_on_the_command_line(
    shelf: Stash, client: TestClient
) -> None:
    address = drawn(client, **{"fabric.star": "A2", "fabric.background": "A3"})
    page = html.unescape(client.get(address).text)
    making = ProjectWords(columns=3, rows=3)
    _, seen = see(shelf, PreviewWords("friendship star", ("star=A2", "background=A3"), (), making))
    assert seen.weak
    sign, _, sentence = seen.remarks[0].partition(": ")
    assert sign == "a"
    assert f'<span class="sign">a</span> <span>{sentence}</span>' in page
    assert re.search(r'<circle cx="[\d.]+%" cy="[\d.]+%" r="11"/>', page)


def test_other_fabrics_stand_beside_the_first(shelf: Stash, client: TestClient) -> None:
    typed = {"fabric.star": "A2", "fabric.background": "A1", "instead1.star": "A3"}
    page = html.unescape(client.get(drawn(client, **typed)).text)
    assert re.findall(r'<h2 id="scene-\d">([^<]*)</h2>', page) == ["In these fabrics", "star: A3"]
    assert 'name="instead1.star" value="A3"' in page


@pytest.mark.parametrize("what", ["preview", "outline"])
def test_it_is_saved_in_three_kinds(shelf: Stash, client: TestClient, what: str) -> None:
    address = drawn(client, **{"fabric.star": "A2"})
    client.get(address)
    begins = {"pdf": b"%PDF-", "png": b"\x89PNG", "svg": b"<svg"}
    for kind, first in begins.items():
        answer = client.get(f"{address}/{what}/{kind}")
        assert answer.content.startswith(first)
        assert f".{kind}" in answer.headers["content-disposition"]


def test_the_form_of_an_address_is_filled(client: TestClient) -> None:
    page = html.unescape(client.get("/preview?layout=pinwheel&fabric.blade=A2&columns=4").text)
    assert 'name="fabric.blade" value="A2"' in page
    assert 'name="columns" value="4"' in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"fabric.star": "Z9"}, "No piece has the code “Z9”."),
        ({"columns": "4"}, "4"),
        ({"columns": "300", "rows": "300"}, "90,000 units are too many"),
        ({"unit": "blue"}, "“blue” is not a length."),
        ({"paper": "a1"}, "“a1”"),
        ({"layout": "pyproject.toml"}, "No project or layout is called"),
        ({"layout": "/etc/passwd"}, "No project or layout is called"),
        ({"text": "grid:\n ?"}, "“?” stands for no unit"),
    ],
)
def test_what_cannot_be_drawn_is_refused_and_nothing_is_lost(
    shelf: Stash, client: TestClient, typed: dict[str, str], said: str
) -> None:
    answer = client.post("/preview", data=STAR | typed)
    assert answer.status_code in {400, 404}
    page = html.unescape(answer.text)
    assert said in page
    assert "root:" not in page
    for name, words in typed.items():
        assert name not in {"columns", "unit", "fabric.star"} or f'value="{words}"' in page


def test_a_pasted_layout_is_seen(shelf: Stash, client: TestClient) -> None:
    answer = client.post("/preview", data={"text": MINE, "fabric.sea": "A2"})
    assert "<h1>Mine</h1>" in client.get(answer.headers["location"]).text


def test_what_is_no_preview_is_not_there(client: TestClient) -> None:
    for path in ("x", "0" * 32, f"{'0' * 32}/0-colour.webp", f"{'0' * 32}/preview/pdf"):
        assert client.get(f"/preview/{path}").status_code == 404
