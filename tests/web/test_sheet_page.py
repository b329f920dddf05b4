"""The sheet from a page: drawn in the background, with the command's sentence, saved by name."""

import io
import re
import threading
from dataclasses import replace
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import pypdfium2
import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from PIL import Image

from stashkeeper.actions import drawings as room
from stashkeeper.actions.background import Background
from stashkeeper.actions.drawings import Drawings, SheetWords
from stashkeeper.actions.pictures import draw_pdf, sheet
from stashkeeper.actions.stash import Stash
from stashkeeper.pictures.canvas import page_images
from tests.web.forms_sent import trouble
from tests.web.made import put, put_many, put_photo

JSON = {"accept": "application/json"}


def draw(client: TestClient, **words: str) -> str:
    """Draw a sheet and return the address of its page, when it is finished."""
    answer = client.post("/sheet", data=words)
    assert answer.status_code == 303, trouble(answer)
    address = answer.headers["location"]
    while not client.get(address, headers=JSON).json()["finished"]:
        pass
    return str(address)


def words_of(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(page.get_textpage().get_text_range() for page in document)


def name_of(answer: Response) -> str:
    """Return the name under which a browser saves a file (RFC 6266)."""
    named = re.search(r"filename\*=UTF-8''(\S+)", answer.headers["content-disposition"])
    assert named
    return unquote(named[1])


@pytest.fixture
def five(stash: Stash, tmp_path: Path) -> list[str]:
    """Put two photographed and three typed fabrics on the shelf; return their codes."""
    codes = [
        put_photo(stash, tmp_path, name, colour)
        for name, colour in (("sage", (150, 170, 120)), ("brick", (160, 60, 50)))
    ]
    return codes + [put(stash, name, at) for name, at in (("milk", 93), ("stone", 62), ("ink", 9))]


def test_page_and_command_draw_the_same_with_the_same_sentence(
    client: TestClient, stash: Stash, five: list[str], tmp_path: Path
) -> None:
    address = draw(client, q="-ink", by="split", title="Autumn", paper="a4")
    drawn = sheet(stash, tmp_path / "Autumn.pdf", "-ink", by="split", title="Autumn", paper="a4")
    page = unescape(client.get(address).text)
    assert f"<p>{drawn.sentences[0].replace(str(tmp_path) + '/', '')}</p>" in page
    assert "Drew 4 fabrics: Autumn.pdf" in page
    saved = client.get(f"{address}/sheet.pdf").content
    assert words_of(saved) == words_of((tmp_path / "Autumn.pdf").read_bytes())


def test_files_are_saved_under_the_title(client: TestClient, five: list[str]) -> None:
    address = draw(client, title="Herbst / „Übung“ 1\u202e<x>")
    pdf, png = (client.get(f"{address}/{name}") for name in ("sheet.pdf", "1.png"))
    assert name_of(pdf) == name_of(png).replace(".png", ".pdf")
    assert name_of(pdf).startswith("Herbst - „Übung“ 1")
    assert not set(name_of(pdf)) & set('/\\<>:"|?*')
    assert pdf.headers["content-type"] == "application/pdf"
    assert png.content.startswith(b"\x89PNG")
    plain = re.search(r'filename="([^"]*)"', pdf.headers["content-disposition"])
    assert plain
    assert plain[1].isascii()


def test_the_png_is_the_very_page_of_the_pdf(client: TestClient, five: list[str]) -> None:
    address = draw(client)
    pdf, png = (client.get(f"{address}/{name}").content for name in ("sheet.pdf", "1.png"))
    (page,) = page_images(pdf)
    with Image.open(io.BytesIO(png)) as image:
        assert image.tobytes() == page.tobytes()


def test_several_pages_are_saved_one_by_one(client: TestClient, stash: Stash) -> None:
    put_many(stash, [number % 100 for number in range(150)])
    address = draw(client)
    page = client.get(address).text
    pages = re.findall(rf'href="{address}/(\d+).png"', page)
    assert len(pages) > 1
    assert name_of(client.get(f"{address}/2.png")) == "The shelf by value-2.png"
    assert client.get(f"{address}/{len(pages) + 1}.png").status_code == 404
    assert client.get(f"{address}/0.png").status_code == 404


def test_a_choice_is_drawn_in_its_groups(client: TestClient, five: list[str]) -> None:
    address = draw(client, light="A3", medium="A4", dark="A5,A1", q="not looked at")
    words = words_of(client.get(f"{address}/sheet.pdf").content)
    assert "Contrast of a few" in words
    assert "31.0" in words  # 93 − 62, by hand
    page = client.get(address).text
    assert "/contrast?light=A3&amp;medium=A4&amp;dark=A5%2CA1" in page


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        ({"q": "size:enormous"}, "is not a size"),
        ({"q": "no-such-cloth"}, "No piece answers, so there is nothing to draw."),
        ({"paper": "vellum"}, "“vellum” is no paper."),
        ({"by": "guess"}, "“guess” is no way to make groups."),
        ({"light": "Z99"}, "Z99"),
    ],
)
def test_what_cannot_be_drawn_is_said_at_once(
    client: TestClient, stash: Stash, five: list[str], words: dict[str, str], problem: str
) -> None:
    answer = client.post("/sheet", data={"title": "kept", **words})
    assert 400 <= answer.status_code < 500
    assert problem in trouble(answer)
    assert 'value="kept"' in answer.text
    assert not (stash.home / "drawn").exists()


def test_how_far_it_is_can_be_seen_and_left(
    client: TestClient, five: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = threading.Event()
    real = draw_pdf

    def slow(*words: object) -> tuple[bytes, int]:
        report = words[-1]
        assert callable(report)
        report(3, 10, "A1")
        go_on.wait(30)
        return real(*words)  # type: ignore[arg-type]

    monkeypatch.setattr(room, "draw_pdf", slow)
    address = client.post("/sheet", data={}).headers["location"]
    page = client.get(f"{address}?patience=0.2").text
    assert "3 of 10 photos" in page
    assert f'<a class="button look-again" href="{address}">Look again</a>' in page
    told = client.get(f"{address}?patience=0", headers=JSON).json()
    assert (told["finished"], told["done"], told["of"]) == (False, 3, 10)
    assert client.get(f"{address}/sheet.pdf").status_code == 404
    go_on.set()
    while "Look again" in (page := client.get(address).text):
        pass
    assert "Drew 5 fabrics" in page


def test_a_drawing_that_was_stopped_says_so(stash: Stash, five: list[str]) -> None:
    before = Drawings(stash, Background())
    number = before.begin(SheetWords(title="Autumn"))
    before.background.close()
    (stash.home / "drawn" / number / "work.json").write_text(
        '{"words": {"title": "Autumn"}}', encoding="utf-8"
    )
    drawing = Drawings(stash, Background()).look(number)
    assert drawing.words.title == "Autumn"
    assert drawing.trouble == ("The drawing was stopped before it was finished.", "Draw it again.")


def test_a_finished_sheet_outlives_the_program(
    client: TestClient, stash: Stash, five: list[str]
) -> None:
    number = draw(client).removeprefix("/sheet/")
    later = Drawings(stash, Background())
    assert later.look(number).pages == 1
    assert later.pdf(number).startswith(b"%PDF")


def test_only_the_newest_are_kept(
    client: TestClient, stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Drawings, "kind", replace(room.SHEETS, most=3))
    put(stash, "ink", 9)
    pages = [draw(client) for _ in range(5)]
    assert [client.get(page).status_code for page in pages] == [404, 404, 200, 200, 200]


@pytest.mark.parametrize("number", ["x", "0" * 32, "A" * 32, "é" * 32])
def test_a_sheet_that_is_not_there(client: TestClient, number: str) -> None:
    for end in ("", "/sheet.pdf", "/1.png", "/first.webp"):
        assert client.get(f"/sheet/{number}{end}").status_code == 404
