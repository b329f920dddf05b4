"""Sums on pages: every sum asks and answers as the command does; mistakes stand at their field."""

import html
import json
import re

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from stashkeeper.actions.stash import Stash
from stashkeeper.actions.sum_words import Kind
from stashkeeper.actions.sums import SUMS, work_out
from stashkeeper.cli.app import app

FILLED = {
    Kind.LENGTH: "12 in",
    Kind.LENGTHS: "2 in, 1 1/2 in",
    Kind.SIZE: "60 x 72 in",
    Kind.NUMBER: "5",
    Kind.BED: "queen",
}
OWN = {
    ("patch", "size"): "3 x 6 in",
    ("flying-geese", "finished"): "6 x 3 in",
    ("yardage", "cut"): "4 x 5 in",
    ("how-many", "cut"): "4 x 5 in",
}
"""What fits some sums better."""


def words_for(name: str) -> dict[str, str]:
    """Return words for every needed field of a sum, and for the first where any will do."""
    fields = [field for field in SUMS[name].fields if field.needed] or [SUMS[name].fields[0]]
    return {one.name: OWN.get((name, one.name), FILLED.get(one.kind, "")) for one in fields}


def text_of(page: str) -> str:
    """Return what a page says, without its tags, blanks made one."""
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())


def test_a_page_asks_for_all_that_the_sum_asks_for(client: TestClient) -> None:
    for name, one in SUMS.items():
        page = client.get(f"/sums/{name}")
        assert page.status_code == 200
        for field in one.fields:
            assert f'<label for="{field.name}">{field.label}</label>' in page.text
            assert f'name="{field.name}"' in page.text
        assert text_of(page.text).count("Where it comes from:") == 1


def test_a_page_answers_as_the_action_does(stash: Stash, client: TestClient) -> None:
    for name in SUMS:
        words = words_for(name)
        page = text_of(client.get(f"/sums/{name}", params=words).text)
        worked = work_out(name, words, stash.settings)
        assert worked.rows
        for row in worked.rows:
            assert f"{row.what.capitalize()} {row.shown} {row.note}".strip() in page


@pytest.mark.parametrize("name", ["half-square", "strip-set", "borders"])
def test_a_page_answers_as_the_command_does(stash: Stash, client: TestClient, name: str) -> None:
    words = words_for(name)
    page = text_of(client.get(f"/sums/{name}", params=words).text)
    first, *others = words
    options = [*(f"--{key}={words[key]}" for key in others), words[first]]
    told = CliRunner().invoke(app, ["--stash", str(stash.home), "sums", name, *options, "--json"])
    rows = json.loads(told.stdout)["rows"]
    assert rows
    for row in rows:
        assert f"{row['what'].capitalize()} {row['shown']} {row['note']}".strip() in page


def test_a_printed_rule_and_geometry_are_both_told(client: TestClient) -> None:
    # Eight at a time: 2 × (finished + ⅞ in) (mesquitequiltguildinc.com); geometry: 2 × (3 in +
    # 2s + s√2) = 7.707 in, reckoned by hand.
    page = text_of(
        client.get("/sums/half-square?finished=3+in&count=40&at-once=8&finish=exact").text
    )
    assert "By geometry 7.707 in" in page
    assert "By the printed rule 7¾ in 2 × (finished + ⅞ in)" in page
    assert "Pairs of squares 5 each makes 8" in page


def test_every_mistake_stands_at_its_field_and_nothing_typed_is_lost(client: TestClient) -> None:
    answer = client.get("/sums/half-square?finished=wide&count=many&seam=-1")
    assert answer.status_code == 400
    for name, typed in (("finished", "wide"), ("count", "many"), ("seam", "-1")):
        assert f'id="trouble-{name}"' in answer.text
        assert re.search(f'name="{name}" value="{typed}"[^>]*trouble-{name}"', answer.text)


def test_a_number_that_cannot_be_stands_at_its_field_too(client: TestClient) -> None:
    answer = client.get("/sums/half-square?finished=3&count=-3")
    assert answer.status_code == 400
    box = re.search(r'id="trouble-count">(.*?)</p>', answer.text, re.DOTALL)
    assert box is not None and "-3 is no possible number of units." in box[1]
    assert 'id="trouble-finished"' not in answer.text


def test_what_no_field_has_alone_is_told_as_well(client: TestClient) -> None:
    answer = client.get("/sums/flying-geese?finished=6+x+5+in")
    assert answer.status_code == 400
    assert "Flying geese of 6 × 5 in are not twice as wide as high." in html.unescape(answer.text)
    assert 'value="6 x 5 in"' in answer.text


def test_centimetres_go_for_one_sum(client: TestClient) -> None:
    page = client.get("/sums/yards?length=1+yd&measure=centimetres").text
    assert "In centimetres 91.44 cm" in text_of(page)  # a yard is 0.9144 m (definition, 1959)
    assert re.search(r"<option selected>centimetres</option>", page)


def test_a_sum_that_is_none_is_no_page(client: TestClient) -> None:
    assert client.get("/sums/half-sqare").status_code == 404
