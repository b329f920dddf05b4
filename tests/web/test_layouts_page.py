"""Layouts on pages: drawn, changed, copied; a pasted text is drawn, or told what is wrong."""

import html
import re

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from stashkeeper.actions.stash import Stash
from stashkeeper.cli.app import app
from stashkeeper.quilts.layout_library import layout_names, layout_text
from tests.web.made import FOREIGN

MINE = """layout: Mine
roles:
  sun: light
  sea: dark
units:
  a = half-square triangle: sun top left, sea bottom right
  . = square: sea
grid:
  a .
  . a
"""


def test_every_traditional_layout_is_drawn(client: TestClient) -> None:
    page = client.get("/layouts").text
    assert len(layout_names()) >= 12  # what issue 6 asks for
    assert page.count('<svg class="layout"') == len(layout_names())
    for name in layout_names():
        assert f'href="/layouts/{name}"' in page


def test_patches_bear_the_grey_of_their_role(client: TestClient) -> None:
    # Grey of L* 24 and 82 in sRGB: #393939 and #cccccc, by Y = ((L* + 16) / 116)³ (CIE 15) and
    # the curve of IEC 61966-2-1, reckoned by hand.
    page = client.get("/layouts/pinwheel").text
    # One half-square triangle in the top left cell, twelve twelfths wide, and its other half.
    assert re.search(r'<path fill="#393939" d="M0 0L12 0L12 12Z', page)
    assert re.search(r'<path fill="#cccccc" d="M0 0L12 12L0 12Z', page)


def test_a_layout_grows_turns_and_exchanges_as_on_the_command_line(
    stash: Stash, client: TestClient
) -> None:
    asked = {"columns": "6", "rows": "3", "turn": "1", "exchange": "star,background"}
    page = html.unescape(client.get("/layouts/friendship star", params=asked).text)
    words = ["--columns", "6", "--rows", "3", "--turn", "1", "--exchange", "star,background"]
    told = CliRunner().invoke(app, ["layout", "friendship star", *words])
    text = told.stdout[told.stdout.index("layout: Friendship star") :].strip()
    assert text.splitlines()[-3:] == page[: page.index("</textarea>")].strip().splitlines()[-3:]
    assert text in page
    assert "6 × 3 units" in page
    assert re.search(r"<b>10</b> squares", page)
    assert re.search(r"<b>8</b> half-square triangles", page)
    saved = client.get("/layouts/friendship star/layout.txt", params=asked)
    assert saved.text.strip() == text
    assert 'filename="friendship star.txt"' in saved.headers["content-disposition"]
    assert stash.measure


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("columns=x", "columns"),
        ("rows=0", "rows"),
        ("columns=-3", "columns"),
        ("columns=501", "columns"),
        ("columns=5", "columns"),
        ("exchange=star,moon", "exchange"),
    ],
)
def test_what_a_layout_cannot_have_is_told_at_its_field(
    client: TestClient, query: str, field: str
) -> None:
    answer = client.get(f"/layouts/friendship star?{query}")
    assert answer.status_code == 400
    assert f'id="trouble-{field}"' in answer.text
    if field != "exchange":
        assert f'value="{query.partition("=")[2]}"' in answer.text
    assert '<svg class="layout"' in answer.text


def test_a_grid_too_large_to_draw_is_counted(client: TestClient) -> None:
    page = client.get("/layouts/pinwheel?columns=200&rows=200").text
    assert "<b>40,000</b> half-square triangle" in page
    assert '<svg class="layout"' not in page
    assert len(page) < 20_000


def test_a_pasted_text_is_drawn(client: TestClient) -> None:
    page = client.post("/layouts/own", data={"text": MINE, "columns": "4", "rows": "4"}).text
    assert "Mine" in page
    assert re.search(r"<b>8</b> half-square triangle", page)
    assert MINE in html.unescape(page)


def test_all_mistakes_of_a_pasted_text_stand_with_line_and_column(client: TestClient) -> None:
    wrong = MINE.replace("sun top left", "moon top left").replace("  . a", "  . a ?")
    answer = client.post("/layouts/own", data={"text": wrong})
    assert answer.status_code == 400
    said = html.unescape(answer.text)
    # The sixth line: `moon` begins at sign 29, counted by hand; the tenth holds `?` at sign 7.
    assert "<b>Line 6, column 29:</b>" in said
    assert "<b>Line 10, column 7:</b>" in said
    assert "<mark>m</mark>oon top left" in said
    assert "<mark>?</mark>" in said
    assert wrong in said


def test_a_pasted_text_is_only_ever_text(client: TestClient) -> None:
    nasty = MINE.replace("Mine", f"<script src=//{FOREIGN}></script>")
    assert "<script src=//" not in client.post("/layouts/own", data={"text": nasty}).text


def test_nothing_is_no_layout(client: TestClient) -> None:
    answer = client.post("/layouts/own", data={"text": " "})
    assert answer.status_code == 400
    assert "There is no text yet." in answer.text


def test_a_page_begins_with_a_traditional_text(client: TestClient) -> None:
    page = html.unescape(client.get("/layouts/own?start=pinwheel").text)
    assert layout_text("pinwheel") in page


@pytest.mark.parametrize("name", ["../../etc/passwd", "/etc/passwd", "pyproject.toml", "pinwhel"])
def test_no_file_of_this_computer_is_read_by_its_name(client: TestClient, name: str) -> None:
    for path in (f"/layouts/{name}", f"/layouts/own?start={name}"):
        answer = client.get(path)
        assert answer.status_code == 404
        assert "root:" not in answer.text
