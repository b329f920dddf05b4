"""A quilt seen before it is sewn, on pages: drawn, judged, beside others, saved; nothing lost."""

import html
import io
import re
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.layout_preview import see
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import finished, trouble
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
    assert _colourfulness(colour) > 20 and _colourfulness(grey) < 2
    # The square in the middle is A2, typed as L* 20: sRGB 48 by CIE 15 and IEC 61966-2-1.
    middle = np.asarray(grey.convert("L"), dtype=int)[grey.height // 2, grey.width // 2]
    assert abs(middle - 48) <= 4
    for name in ("narrow", "wide"):
        rule = client.get(f"{address}/0-{name}.svg")
        assert rule.text.startswith("<svg")
        assert "unsafe-inline" not in client.get(address).headers["content-security-policy"]
    assert "Scale of print assumed for A1: as if its photo shows the whole piece." in page


def _colourfulness(picture: Image.Image) -> float:
    """Return how far the strongest channel lies above the weakest, on average."""
    return float(np.ptp(np.asarray(picture.convert("RGB"), dtype=int), axis=2).mean())


def test_a_written_layout_is_seen_in_fabrics_and_begun(shelf: Stash, client: TestClient) -> None:
    typed = {"text": MINE, "columns": "4", "turn": "0"}
    page = client.post("/layouts/own", data=typed).text
    assert 'formaction="/preview/own"' in page and 'formaction="/projects/new/own"' in page
    first = client.post("/preview/own", data=typed)
    assert first.status_code == 200
    assert 'name="fabric.sea"' in first.text and 'name="columns" value="4"' in first.text
    sent = client.post("/preview", data={**typed, "fabric.sea": "A2"})
    page = finished(client, sent.headers["location"]).text
    assert "16 × 4 in finished" in page  # four units of 4 in by one
    form = client.post("/projects/new/own", data={**typed, "border": "edge: 1 in; rim: 2 in"}).text
    assert "layout: Mine" in form and 'name="columns" value="4"' in form
    assert "edge: 1 in\nrim: 2 in</textarea>" in form
    assert client.post("/preview/own", data={}).headers["location"] == "/preview"


def test_fabrics_stay_typed_where_a_size_cannot_be(shelf: Stash, client: TestClient) -> None:
    sent = {**STAR, "columns": "-4", "fabric.star": "A2", "fabric.frame": "A3"}
    answer = client.post("/preview", data=sent)
    assert answer.status_code == 400
    assert "“-4” is no number of columns." in trouble(answer)
    for name, code in (("fabric.star", "A2"), ("fabric.frame", "A3")):
        assert f'name="{name}" value="{code}"' in answer.text
    unknown = client.post("/preview", data={"layout": "nowhere", "fabric.star": "A2"})
    assert 'type="hidden" name="fabric.star" value="A2"' in unknown.text


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
