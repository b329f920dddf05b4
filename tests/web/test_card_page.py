"""The reference card on its page: drawn as by the command, and told what its greys are."""

import io
import re
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.card import card, known_cards, write_card
from stashkeeper.actions.stash import Stash
from stashkeeper.pictures.canvas import page_images
from tests.web.forms_sent import field, told, trouble

GREYS = ("94", "83", "72,5", "60", "49", "37", "27")


def sent(*levels: str, card_name: str = "7F3K") -> dict[str, str]:
    return {"card": card_name, **{f"level-{at}": level for at, level in enumerate(levels)}}


def test_page_and_command_draw_the_very_same(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    write_card(card(stash, paper="a4", card_id="7F3K"), tmp_path / "card.pdf")
    answer = client.get("/card.pdf", params={"paper": "a4", "name": "7f3k"})
    assert answer.headers["content-type"] == "application/pdf"
    assert "reference card 7F3K.pdf" in answer.headers["content-disposition"]
    assert answer.content == (tmp_path / "card.pdf").read_bytes()
    with pypdfium2.PdfDocument(answer.content) as document:
        assert document[0].get_size() == pytest.approx((595, 842), abs=1)


def test_what_is_shown_is_what_is_saved(client: TestClient) -> None:
    page = client.get("/card?paper=letter")
    name = field(page, "name")
    picture = re.search(r'src="(/card/look.webp[^"]*)"', page.text)
    assert picture
    shown = client.get(picture[1].replace("&amp;", "&"))
    with Image.open(io.BytesIO(shown.content)) as image:
        assert image.height / image.width == pytest.approx(11 / 8.5, abs=0.01)
    pages = page_images(client.get(f"/card.pdf?paper=letter&name={name}").content)
    codes = {code.text for code in zxingcpp.read_barcodes(pages[0])}  # a decoder that is not ours
    assert len(codes) == 4
    assert all(name in code for code in codes)


def test_every_card_has_a_name_of_its_own(client: TestClient) -> None:
    assert len({field(client.get("/card"), "name") for _ in range(3)}) == 3


def test_known_greys_are_kept_and_shown(client: TestClient, stash: Stash) -> None:
    assert told(client, client.post("/card/known", data=sent(*GREYS))) == [
        "Card 7F3K is known now, paper to darkest grey: 94 83 72.5 60 49 37 27."
    ]
    assert "<b>7F3K</b> 94 83 72.5 60 49 37 27" in client.get("/card").text
    client.post("/card/known", data=sent("95", *GREYS[1:]))
    assert [one.levels for one in known_cards(stash)] == ["95 83 72.5 60 49 37 27"]


@pytest.mark.parametrize(
    ("levels", "name", "problem"),
    [
        (GREYS[:3], "7F3K", "3 numbers were given"),
        ((*GREYS[:5], "50", "27"), "7F3K", "get darker one by one"),
        ((*GREYS[:5], "<b>", "27"), "7F3K", "get darker one by one"),
        (GREYS, "7F", "“7F” is no card's name."),
    ],
)
def test_what_are_no_greys_is_told_and_nothing_typed_is_lost(
    client: TestClient, stash: Stash, levels: tuple[str, ...], name: str, problem: str
) -> None:
    answer = client.post("/card/known", data=sent(*levels, card_name=name))
    assert answer.status_code == 400
    assert problem in trouble(answer)
    assert field(answer, "card") == name
    assert [field(answer, f"level-{at}") for at in range(len(levels))] == list(levels)
    assert known_cards(stash) == ()


@pytest.mark.parametrize("asked", ["paper=napkin", "name=no+such+name"])
def test_what_cannot_be_drawn_is_told(client: TestClient, asked: str) -> None:
    for path in ("/card", "/card.pdf", "/card/look.webp"):
        answer = client.get(f"{path}?{asked}")
        assert answer.status_code == 400
        assert "is no" in trouble(answer)
