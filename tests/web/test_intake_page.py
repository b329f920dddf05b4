"""Folder intake from a page: sent, left, come back to, stopped and gone on with; nothing lost."""

import io
import json
import re
import shutil
import threading
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from stashkeeper.actions import intake_folders as room
from stashkeeper.actions.background import Background
from stashkeeper.actions.incoming import Upload
from stashkeeper.actions.intake import intake
from stashkeeper.actions.intake_folders import IntakeFolders, UsualWords
from stashkeeper.actions.intake_photos import harmless_path, photo_names
from stashkeeper.actions.pieces import list_pieces, show
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import ANY, told, trouble
from tests.web.made import client_of, cloth_photo, open_in

JSON = {"accept": "application/json"}
COLOURS = {"sage": (150, 170, 120), "brick": (160, 60, 50), "ink": (20, 22, 40)}
LIST = "photo,size,name,place\nsage,18 x 21,Sage checks,Shelf 3\nbrick,10 x 10,Brick checks,\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder of three photos."""
    made = tmp_path / "cloth"
    made.mkdir()
    for name, colour in COLOURS.items():
        cloth_photo(made / f"{name}.jpg", colour)
    return made


def parts(field: str, *files: tuple[str, bytes]) -> list[tuple[str, Any]]:
    return [(field, (name, content, ANY)) for name, content in files]


def photos_in(folder: Path) -> list[tuple[str, bytes]]:
    return [(file.name, file.read_bytes()) for file in sorted(folder.iterdir())]


def send(client: TestClient, files: list[tuple[str, Any]], **words: str) -> Response:
    return client.post("/intake", data=words, files=files)


def finished(client: TestClient, answer: Response) -> str:
    """Wait until an intake is finished and return its page, as a person reads it."""
    assert answer.status_code == 303, trouble(answer)
    address = answer.headers["location"]
    while not client.get(address, headers=JSON).json()["finished"]:
        pass
    return unescape(client.get(address).text)


def test_page_and_command_take_in_the_same_with_the_same_sentence(
    client: TestClient, stash: Stash, folder: Path, tmp_path: Path
) -> None:
    (folder / "sizes.csv").write_text(LIST, encoding="utf-8")
    sent = [one for one in photos_in(folder) if one[0].endswith(".jpg")]
    files = [*parts("photo", *sent), *parts("sizes", ("list.csv", LIST.encode()))]
    page = finished(client, send(client, files, size="fat quarter", at="Shelf 9", tags="new, old"))
    with open_in(tmp_path / "other") as other:
        taken = intake(
            other, folder, sizes=folder / "sizes.csv", size="fat quarter", at="Shelf 9",
            tags=["new", "old"],
        )  # fmt: skip
        assert taken.counts in page
        assert list_pieces(stash, []).rows() == list_pieces(other, []).rows()
        assert [show(stash, code).tags for code in ("A1", "A2", "A3")] == [("new", "old")] * 3
    assert "Took in 3 fabrics from 3 photos." in page
    for code in ("A1", "A2", "A3"):
        assert f'href="/piece/{code}"' in page
    assert 'href="/labels?q=code%3AA1%2CA2%2CA3"' in page


def test_a_whole_folder_brings_its_list_along(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    """A browser sends the path of each file of a folder; what is no photo is passed over."""
    jpg = dict(photos_in(folder))
    files = parts(
        "folder",
        ("cloth/blue/sage.jpg", jpg["sage.jpg"]),
        ("cloth/brick.jpg", jpg["brick.jpg"]),
        ("cloth/sizes.csv", LIST.encode()),
        ("cloth/.DS_Store", b"\0\1"),
        ("cloth/notes.txt", b"no photo"),
    )
    page = finished(client, send(client, files))
    assert "Took in 2 fabrics from 2 photos." in page
    assert show(stash, "A1").name == "Sage checks"
    assert show(stash, "A1").place == "Shelf 3"


def test_two_photos_of_one_name_are_two_photos(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    one, other = photos_in(folder)[:2]
    files = parts("photo", ("IMG_1.jpg", one[1]), ("IMG_1.jpg", other[1]), ("IMG_1.jpg", one[1]))
    assert "Took in 2 fabrics from 2 photos." in finished(client, send(client, files))


def test_what_went_wrong_is_listed_at_the_end(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    torn = photos_in(folder)[0][1][:2000]
    files = parts("photo", *photos_in(folder)[1:], ("torn.jpg", torn), ("svg.jpg", b"<svg/>"))
    page = finished(client, send(client, files))
    assert "Took in 2 fabrics from 2 photos." in page
    assert "torn.jpg" in page and "svg.jpg" in page
    assert "Without a size yet" in page
    assert str(stash.home) not in page


def test_a_list_with_mistakes_is_mended_and_sent_again(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    bad = LIST.replace("10 x 10", "enormous")
    files = [*parts("photo", *photos_in(folder)), *parts("sizes", ("a.csv", bad.encode()))]
    answer = send(client, files)
    page = finished(client, answer)
    assert "The list has 1 mistake" in page
    assert "line 3: " in page
    assert "Waiting until the list is mended: brick.jpg, ink.jpg." in page
    address = answer.headers["location"]
    mended = client.post(f"{address}/photos", files=parts("sizes", ("a.csv", LIST.encode())))
    page = finished(client, mended)
    assert "Took in 2 fabrics from 2 photos; 1 was on record already." in page
    assert "mistake" not in page
    assert len(list_pieces(stash, []).pieces) == 3


def test_a_list_that_is_none_is_explained(client: TestClient, folder: Path) -> None:
    files = [*parts("photo", *photos_in(folder)), *parts("sizes", ("a.csv", b"\0\0\0"))]
    page = finished(client, send(client, files))
    assert "Took in" not in page
    assert 'class="trouble"' in page


def test_nothing_chosen_and_bad_words_are_said_at_once(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    empty = send(client, parts("photo", ("", b"")), at="Shelf 1")
    assert empty.status_code == 400
    assert "No photo was chosen." in trouble(empty)
    assert 'value="Shelf 1"' in empty.text
    bad = send(client, parts("photo", *photos_in(folder)), size="enormous")
    assert bad.status_code == 400
    assert "enormous" in trouble(bad)
    assert not (stash.home / "intakes").exists()


def test_a_script_sends_photo_by_photo(client: TestClient, stash: Stash, folder: Path) -> None:
    begun = client.post("/intake", data={"at": "Shelf 4"}, headers=JSON)
    assert begun.status_code == 201
    address = begun.json()["address"]
    for photo in photos_in(folder):
        for _ in range(2):  # the second one is what a script sends that heard no answer
            sent = client.post(f"{address}/photos", files=parts("folder", photo), headers=JSON)
            assert (sent.status_code, sent.json()["kept"]) == (201, 1)
    page = unescape(client.get(address).text)
    assert "3 photos are here, not measured yet." in page
    assert client.get(address, headers=JSON).json()["photos"] == {
        name: len(content) for name, content in photos_in(folder)
    }
    page = finished(client, client.post(f"{address}/start"))
    assert "Took in 3 fabrics from 3 photos." in page
    assert show(stash, "A1").place == "Shelf 4"


def test_how_far_it_is_can_be_seen_and_left(
    client: TestClient, stash: Stash, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reached, go_on = threading.Event(), threading.Event()
    real = intake

    def slow(*words: Any, report: Any, **more: Any) -> Any:
        def held(done: int, of: int, name: str) -> None:
            report(done, of, name)
            reached.set()
            go_on.wait(30)

        return real(*words, report=held, **more)

    monkeypatch.setattr(room, "intake", slow)
    answer = send(client, parts("photo", *photos_in(folder)))
    assert reached.wait(30)
    page = client.get(f"{answer.headers['location']}?patience=0").text
    assert "1 of 3 photos" in page
    assert "Look again" in page
    assert "being measured: 1 of 3" in client.get("/intake").text
    go_on.set()
    assert "Took in 3 fabrics" in finished(client, answer)
    assert "finished" in client.get("/intake").text


def test_an_intake_goes_on_after_the_program_was_stopped(
    stash: Stash, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = IntakeFolders(stash, Background())
    reached = threading.Event()
    real = intake

    def stopped_midway(*words: Any, report: Any, **more: Any) -> Any:
        def held(done: int, of: int, name: str) -> None:
            reached.set()
            while not first.background._stopping:
                pass
            report(done, of, name)

        return real(*words, report=held, **more)

    monkeypatch.setattr(room, "intake", stopped_midway)
    number = first.begin(UsualWords())
    first.send(number, [Upload(name, io.BytesIO(data)) for name, data in photos_in(folder)], None)
    first.start(number)
    assert reached.wait(30)
    first.background.close()
    assert len(list_pieces(stash, []).pieces) == 1
    monkeypatch.setattr(room, "intake", real)
    with client_of(stash) as client:  # opening the pages goes on with it
        address = f"/intake/{number}"
        while not client.get(address, headers=JSON).json()["finished"]:
            pass
        page = client.get(address).text
    assert "Took in 2 fabrics from 2 photos; 1 was on record already." in page
    assert len(list_pieces(stash, []).pieces) == 3


def test_photos_that_go_while_they_are_looked_at_are_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The last photo was taken in, and the folder is emptied, while a page asks how far it is."""
    (tmp_path / "photos" / "blue").mkdir(parents=True)
    (tmp_path / "photos" / "blue" / "navy.jpg").write_bytes(b"12345")
    assert photo_names(tmp_path) == {"blue/navy.jpg": 5}
    walk = Path.walk

    def gone_meanwhile(folder: Path) -> Iterator[Any]:
        for found in list(walk(folder)):
            shutil.rmtree(folder, ignore_errors=True)
            yield found

    monkeypatch.setattr(Path, "walk", gone_meanwhile)
    assert photo_names(tmp_path) == {}


def test_a_fault_ends_an_intake_with_a_sentence(
    client: TestClient, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_words: object, **_more: object) -> None:
        raise RuntimeError("a secret of the program")

    monkeypatch.setattr(room, "intake", broken)
    page = finished(client, send(client, parts("photo", *photos_in(folder))))
    assert "This is a fault in Stashkeeper, not yours." in page
    assert "secret" not in page


def test_an_intake_is_put_away(client: TestClient, stash: Stash, folder: Path) -> None:
    torn = ("torn.jpg", photos_in(folder)[0][1][:2000])
    answer = send(client, parts("photo", photos_in(folder)[1], torn))
    finished(client, answer)
    address = answer.headers["location"]
    away = client.post(f"{address}/away")
    assert told(client, away) == ["Put away. What was taken in stays in the stash."]
    assert client.get(address).status_code == 404
    assert not any((stash.home / "intakes").iterdir())
    piece = show(stash, "A1")
    assert client.get(f"/photo/{piece.photos[0].checksum}/640.webp").status_code == 200


def test_photos_are_not_kept_twice_when_all_is_well(
    client: TestClient, stash: Stash, folder: Path
) -> None:
    finished(client, send(client, parts("photo", *photos_in(folder))))
    left = [file.name for file in (stash.home / "intakes").rglob("*") if file.is_file()]
    assert left == ["intake.json"]


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("navy.jpg", "navy.jpg"),
        ("shelf/navy.jpg", "navy.jpg"),
        ("shelf/blue/navy.jpg", "blue/navy.jpg"),
        ("../../../etc/navy.jpg", "etc/navy.jpg"),
        ("/etc/passwd/navy.jpg", "etc/passwd/navy.jpg"),
        ("C:\\shelf\\blue\\navy.jpg", "shelf/blue/navy.jpg"),
        ("shelf/.../navy.jpg", "navy.jpg"),
        ("shelf/\0/<b>/navy.jpg", "photo/-b-/navy.jpg"),
    ],
)
def test_names_of_folders_lead_nowhere_else(sent: str, kept: str) -> None:
    path = harmless_path(sent)
    assert not path.is_absolute()
    assert ".." not in path.parts
    assert path.as_posix() == kept


def test_a_name_with_script_stays_words(client: TestClient, folder: Path) -> None:
    torn = photos_in(folder)[0][1][:2000]
    page = finished(client, send(client, parts("photo", ("<script>alert(1)<.jpg", torn))))
    assert "<script>alert" not in page


@pytest.mark.parametrize("number", ["x", "0" * 32, "A" * 32, "é" * 32])
def test_an_intake_that_is_not_there(client: TestClient, number: str) -> None:
    assert client.get(f"/intake/{number}").status_code == 404
    for deed in ("photos", "start", "away"):
        assert client.post(f"/intake/{number}/{deed}", data={}).status_code == 404


def test_a_record_that_is_damaged_is_passed_over(client: TestClient, stash: Stash) -> None:
    damaged = stash.home / "intakes" / ("a" * 32)
    damaged.mkdir(parents=True)
    (damaged / "intake.json").write_text("{", encoding="utf-8")
    assert client.get("/intake").status_code == 200
    assert client.get(f"/intake/{'a' * 32}").status_code == 404


def test_records_are_plain_json(client: TestClient, stash: Stash, folder: Path) -> None:
    finished(client, send(client, parts("photo", *photos_in(folder)), tags="a,b"))
    (record,) = (stash.home / "intakes").glob("*/intake.json")
    kept = json.loads(record.read_bytes())
    assert kept["words"] == {"size": "", "at": "", "tags": ["a", "b"]}
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT[\d:]+(\+\d\d:\d\d|-\d\d:\d\d)", kept["begun_at"])
