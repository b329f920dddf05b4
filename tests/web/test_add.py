"""Adding pieces from a page: whole or not at all, and the next piece keeps what stays the same."""

import struct
import threading
import zlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from PIL import Image
from pillow_heif import from_pillow

from stashkeeper.actions import measuring
from stashkeeper.actions.decoding import AT_ONCE
from stashkeeper.actions.history import history
from stashkeeper.actions.pieces import list_pieces, show
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import field, photo_parts, send_add, told, trouble
from tests.web.made import client_of, cloth_photo, open_in, put

JSON = {"accept": "application/json"}


def codes(stash: Stash) -> list[str]:
    return [piece.code for piece in list_pieces(stash, ["ended:any"]).pieces]


def left_behind(stash: Stash) -> list[str]:
    """Return the files of the stash folder that belong to no piece's record."""
    folders = ("incoming", "photos")
    return [
        str(file.relative_to(stash.home))
        for folder in folders
        for file in (stash.home / folder).rglob("*")
        if file.is_file()
    ]


@pytest.fixture
def sage(tmp_path: Path) -> Path:
    return cloth_photo(tmp_path / "sage.jpg", (150, 170, 120))


def test_a_photo_a_size_and_a_place_make_a_piece(
    client: TestClient, stash: Stash, sage: Path
) -> None:
    answer = send_add(client, [sage], pick="fat quarter", at="Shelf 2 / Blue box", tags="a, b")
    sentences = told(client, answer)
    piece = show(stash, "A1")
    assert sentences[0] == f"Added A1 “{piece.name}”."
    assert piece.shown_size == "21 × 18 in, nominal, a selvedge edge"
    assert (piece.place, piece.tags) == ("Shelf 2 / Blue box", ("a", "b"))
    assert [photo.file_name for photo in piece.photos] == ["sage.jpg"]
    assert piece.reading is not None
    assert sentences[1] == f"Size {piece.shown_size}; usable: {piece.shown_usable}."
    assert sentences[2] == f"Lightness {piece.reading.sentence}."


def test_the_next_piece_keeps_size_place_and_tags_but_not_name_and_note(
    client: TestClient, sage: Path
) -> None:
    answer = send_add(
        client, [sage], size="9 7/8 x 10", at="Shelf 2", tags="a, b", name="Sage", note="soft"
    )
    page = client.get(answer.headers["location"])
    assert field(page, "at") == "Shelf 2"
    assert field(page, "tags") == "a, b"
    assert field(page, "kept") == "9 7/8 x 10"
    assert 'value="9 7/8 x 10" checked' in page.text
    assert field(page, "size") == field(page, "name") == ""
    assert "soft" not in page.text


def test_what_is_typed_goes_before_the_size_kept_from_the_last_piece(
    client: TestClient, stash: Stash
) -> None:
    kept = {"kept": "fat quarter", "pick": "fat quarter"}
    assert send_add(client, [], name="Moss", size="10 x 12", **kept).status_code == 303
    assert show(stash, "A1").shown_size == "10 × 12 in"


def test_a_size_typed_and_another_chosen_is_asked_about(client: TestClient, stash: Stash) -> None:
    answer = send_add(client, name="Moss", size="10 x 12", pick="half yard", kept="fat quarter")
    assert answer.status_code == 400
    assert "Two sizes were given: “half yard” and “10 x 12”." in trouble(answer)
    assert codes(stash) == []


def test_each_photo_is_a_piece_or_all_show_one(
    client: TestClient, stash: Stash, sage: Path, tmp_path: Path
) -> None:
    brick = cloth_photo(tmp_path / "brick.jpg", (160, 60, 50))
    assert told(client, send_add(client, [sage, brick], pick="fat quarter"))[0].startswith("Added")
    assert codes(stash) == ["A1", "A2"]
    assert history(stash).deeds[-1].summary == "Added A1 to A2, from 2 photos."
    plum = cloth_photo(tmp_path / "plum.jpg", (90, 40, 90))
    teal = cloth_photo(tmp_path / "teal.jpg", (20, 110, 110))
    assert send_add(client, [plum, teal], pick="fat quarter", each="no").status_code == 303
    assert codes(stash) == ["A1", "A2", "A3"]
    assert {photo.file_name for photo in show(stash, "A3").photos} == {"plum.jpg", "teal.jpg"}


def test_a_heic_photo_works(client: TestClient, stash: Stash, tmp_path: Path) -> None:
    file = tmp_path / "IMG_0001.HEIC"
    from_pillow(Image.new("RGB", (64, 48), (40, 60, 110))).save(file)
    assert send_add(client, [file], pick="fat quarter").status_code == 303
    (photo,) = show(stash, "A1").photos
    assert (photo.format, photo.file_name) == ("HEIF", "IMG_0001.HEIC")


def test_two_photos_with_the_name_a_phone_gives_to_all_are_two(
    client: TestClient, stash: Stash, sage: Path, tmp_path: Path
) -> None:
    brick = cloth_photo(tmp_path / "brick.jpg", (160, 60, 50))
    parts = [("photo", ("image.jpg", one.read_bytes(), "image/jpeg")) for one in (sage, brick)]
    assert client.post("/add", data={"pick": "fat quarter"}, files=parts).status_code == 303
    assert codes(stash) == ["A1", "A2"]


@pytest.mark.parametrize(
    ("fields", "status", "said"),
    [
        ({}, 400, "A piece needs a size. Choose one, or type it: 18 x 21."),
        ({"size": "eighteen"}, 400, "“eighteen”"),
        ({"size": "18 x 21", "name": "x" * 201}, 400, "201 signs long"),
        ({"size": "18 x 21", "at": "Shelf /"}, 303, ""),
        ({"size": "18 x 21", "at": "a//b"}, 400, "The place is empty."),
        ({"size": "18 x 21", "lightness": "200"}, 400, "200"),
        ({"size": "18 x 21", "count": "many"}, 400, "“many” is no count."),
        ({"size": "18 x 21", "count": "1000"}, 400, "1000 pieces cannot be added at once."),
        ({"size": "18 x 21", "selvedges": "3"}, 400, "3 selvedges"),
        ({"size": "18 x 21", "fabric": "A9"}, 404, "No piece has the code “A9”."),
    ],
)
def test_what_cannot_be_read_adds_nothing_and_all_that_was_typed_stands_again(
    client: TestClient, stash: Stash, sage: Path, fields: dict[str, str], status: int, said: str
) -> None:
    typed = {"at": "Shelf <2>", "tags": 'a "quoted" tag', "note": "soft & <b>worn</b>", **fields}
    answer = send_add(client, [sage], **typed)
    assert answer.status_code == status
    if status == 303:
        return
    assert said in trouble(answer)
    assert (codes(stash), left_behind(stash)) == ([], [])
    for name in ("at", "tags"):
        assert field(answer, name) == typed[name]
    assert "soft &amp; &lt;b&gt;worn&lt;/b&gt;" in answer.text


def test_no_sentence_of_the_page_speaks_of_the_command_line(
    client: TestClient, stash: Stash
) -> None:
    put(stash, "Moss")
    for fields in ({}, {"size": "fq"}, {"size": "fq", "fabric": "A1", "name": "x"},
                   {"size": "fq", "count": "2.5"}):  # fmt: skip
        answer = send_add(client, [], **fields)
        assert answer.status_code == 400
        assert "--" not in trouble(answer)
        assert "stashkeeper " not in trouble(answer)


def bomb(file: Path) -> Path:
    """Save a PNG of a few kilobytes whose picture would fill 40 gigabytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    file.write_bytes(
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    )
    return file


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("cloth.svg", SVG, "cloth.svg is not a photo: it holds text."),
        ("cloth.jpg", SVG, "cloth.jpg is not a photo: it holds text."),
        ("cloth.jpg", b"", "cloth.jpg is empty"),
        ("cloth.jpg", b"%PDF-1.7 ...", "cloth.jpg is not a photo: it is a PDF."),
        ("cloth.html", b"<script>alert(1)</script>", "cloth.html is not a photo: it holds text."),
    ],
)
def test_what_is_no_photo_is_refused_whatever_it_says_it_is(
    client: TestClient, stash: Stash, name: str, content: bytes, said: str
) -> None:
    parts = [("photo", (name, content, "image/jpeg"))]
    answer = client.post("/add", data={"size": "18 x 21"}, files=parts)
    assert answer.status_code == 400
    assert said in trouble(answer)
    assert (codes(stash), left_behind(stash)) == ([], [])


def test_a_picture_bomb_and_a_photo_cut_off_are_refused(
    client: TestClient, stash: Stash, sage: Path, tmp_path: Path
) -> None:
    answer = send_add(client, [bomb(tmp_path / "bomb.png")], size="18 x 21")
    assert answer.status_code == 400
    assert "bomb.png has" in trouble(answer)
    half = tmp_path / "half.jpg"
    half.write_bytes(sage.read_bytes()[:-400])
    answer = send_add(client, [sage, half], size="18 x 21")
    assert "half.jpg is cut off or damaged" in trouble(answer)
    assert (codes(stash), left_behind(stash)) == ([], []), "the good one is not added either"


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("../../../../etc/cron.d/evil.jpg", "evil.jpg"),
        ("..\\..\\windows\\evil.jpg", "evil.jpg"),
        ("/etc/passwd", "passwd"),
        ("..", "photo"),
        (".bashrc", "bashrc"),
        ("<img src=x onerror=alert(1)>.jpg", "-img src=x onerror=alert(1)-.jpg"),
        ("evil\u202egpj.exe", "evilgpj.exe"),
        ("NUL\u0000byte.jpg", "NUL%00byte.jpg"),
        ("x" * 4_000 + ".jpg", "x" * 120 + ".jpg"),
        ("蓝色花布.jpg", "蓝色花布.jpg"),
    ],
)
def test_a_file_name_leads_nowhere_and_runs_nothing(
    client: TestClient, stash: Stash, sage: Path, sent: str, kept: str
) -> None:
    parts = [("photo", (sent, sage.read_bytes(), "image/jpeg"))]
    answer = client.post("/add", data={"size": "18 x 21"}, files=parts)
    assert answer.status_code == 303
    assert [photo.file_name for photo in show(stash, "A1").photos] == [kept]
    outside = [file for file in stash.home.parent.rglob("*") if file.name in {kept, "evil.jpg"}]
    assert outside == []
    page = client.get("/piece/A1").text
    assert "<img src=x" not in page


SCRIPT = "<script>alert(1)</script>\"' onload=alert(1) {{ 7 * 7 }}"


def test_script_in_words_and_in_the_record_of_the_camera_is_only_text(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    exif = Image.Exif()
    exif[0x010F] = exif[0x0110] = exif[0x010E] = exif[0x9286] = SCRIPT
    photo = cloth_photo(tmp_path / "cloth.jpg", (150, 170, 120), exif=exif)
    words = {"name": SCRIPT, "tags": "<script>tag", "note": SCRIPT, "at": "<script>box",
             "fibre": SCRIPT, "source": SCRIPT}  # fmt: skip
    assert send_add(client, [photo], size="18 x 21", **words).status_code == 303
    assert show(stash, "A1").name == SCRIPT
    for path in ("/", "/piece/A1", "/piece/A1/change", "/places", "/history", "/add?added=A1"):
        page = client.get(path)
        assert page.status_code == 200, path
        assert "<script>alert" not in page.text, path
        assert "<script>tag" not in page.text, path
        assert "<script>box" not in page.text, path
        assert "49" not in page.text or "{{ 7" in page.text, path
        assert "'unsafe" not in page.headers["content-security-policy"]


def test_a_photo_of_more_than_its_share_is_refused(
    client: TestClient, stash: Stash, monkeypatch: pytest.MonkeyPatch, sage: Path
) -> None:
    monkeypatch.setattr("stashkeeper.web.uploads.PHOTO", 1_000)
    answer = send_add(client, [sage], size="18 x 21", at="Shelf 2")
    assert answer.status_code == 413
    assert "“sage.jpg” has more than" in trouble(answer)
    assert field(answer, "at") == "Shelf 2"
    assert (codes(stash), left_behind(stash)) == ([], [])


def endless(most: int) -> Iterator[bytes]:
    """Yield a form whose photo does not end before `most` bytes."""
    yield b'--x\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
    for _ in range(most // 65_536):
        yield b"x" * 65_536


def test_a_form_of_a_gigabyte_is_refused_and_nothing_of_it_stays(
    client: TestClient, stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    kind = {"content-type": "multipart/form-data; boundary=x"}
    said = {**kind, "content-length": str(1 << 30)}
    assert client.post("/add", content=b"--x", headers=said).status_code == 413
    monkeypatch.setattr("stashkeeper.web.limits.UPLOAD", 1 << 20)
    assert client.post("/add", content=endless(1 << 24), headers=kind).status_code == 413
    assert client.post("/piece/A1/photo", content=endless(1 << 24), headers=kind).status_code == 413
    assert (codes(stash), left_behind(stash)) == ([], [])


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data; boundary=x", b"--x\r\nnonsense"),
        ("multipart/form-data", b"--x\r\n"),
        ("multipart/form-data; boundary=" + "x" * 5_000, b""),
        ("application/json", b'{"size": "18 x 21"}'),
        ("text/plain", b"size=18 x 21"),
        ("application/x-www-form-urlencoded", b"size=%FF%FE&name=%00&photo=no+file"),
        ("", b"\x00\xff"),
    ],
)
def test_a_body_that_is_no_form_is_answered_in_words(
    client: TestClient, stash: Stash, kind: str, body: bytes
) -> None:
    answer = client.post("/add", content=body, headers={"content-type": kind})
    assert answer.status_code == 400
    assert "<h1>" in answer.text
    assert codes(stash) == []


def test_a_stash_that_cannot_be_written_says_so_and_keeps_nothing(
    client: TestClient, stash: Stash, monkeypatch: pytest.MonkeyPatch, sage: Path
) -> None:
    def full(*_anything: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("stashkeeper.catalogue.photo_files.put_whole", full)
    answer = send_add(client, [sage], size="18 x 21")
    assert answer.status_code == 507
    assert "No space left on device" in trouble(answer)
    assert str(stash.home) not in answer.text
    assert (codes(stash), left_behind(stash)) == ([], [])


def test_the_same_photo_again_is_refused_and_its_piece_named(
    client: TestClient, stash: Stash, sage: Path
) -> None:
    send_add(client, [sage], size="18 x 21")
    answer = send_add(client, [sage], size="18 x 21")
    assert answer.status_code == 409
    assert "is on record already, for A1." in trouble(answer)
    assert codes(stash) == ["A1"]


def test_a_script_is_told_in_json(client: TestClient, stash: Stash, sage: Path) -> None:
    parts = photo_parts([sage])
    answer = client.post("/add", data={"size": "18 x 21"}, files=parts, headers=JSON)
    assert answer.status_code == 201
    (piece,) = answer.json()["pieces"]
    assert piece["code"] == "A1"
    assert answer.json()["sentences"][0] == f"Added A1 “{piece['name']}”."
    assert client.get(piece["swatch"]).headers["content-type"] == "image/webp"
    refused = client.post("/add", data={"size": "many"}, files=parts, headers=JSON)
    assert refused.status_code == 400
    assert refused.json()["problem"].startswith("“many”")


def test_what_a_script_sends_twice_is_added_once(client: TestClient, stash: Stash) -> None:
    fields = {"size": "18 x 21", "name": "Moss", "once": "0123456789abcdef-twice"}
    first = client.post("/add", data=fields, headers=JSON)
    again = client.post("/add", data=fields, headers=JSON)
    assert first.json() == again.json()
    assert codes(stash) == ["A1"]
    other = client.post("/add", data={**fields, "once": "another-number"}, headers=JSON)
    assert other.json()["pieces"][0]["code"] == "A2"


def test_what_failed_may_be_sent_again_under_its_number(client: TestClient, stash: Stash) -> None:
    number = {"once": "0123456789abcdef-failed", "name": "Moss"}
    assert client.post("/add", data={**number, "size": "x"}, headers=JSON).status_code == 400
    assert client.post("/add", data={**number, "size": "fq"}, headers=JSON).status_code == 201
    assert codes(stash) == ["A1"]


def phone_photo(file: Path, number: int) -> Path:
    """Save a photo of 12 megapixels, as a phone takes them, unlike any other."""
    random = np.random.default_rng(number)
    weave = random.integers(0, 40, (24, 32, 3), dtype=np.uint8) + np.uint8(5 * number + 40)
    Image.fromarray(np.tile(weave, (125, 125, 1))).save(file, quality=85)
    return file


def test_twenty_photos_of_12_megapixels_at_once_all_arrive(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    photos = [phone_photo(tmp_path / f"phone-{number}.jpg", number) for number in range(20)]
    held, most, lock = 0, 0, threading.Lock()
    measure = measuring.measure_file

    def counted(*given: Any) -> Any:
        nonlocal held, most
        with lock:
            held += 1
            most = max(most, held)
        try:
            return measure(*given)
        finally:
            with lock:
                held -= 1

    monkeypatch.setattr(measuring, "measure_file", counted)
    with open_in(tmp_path) as stash, client_of(stash) as client:

        def sent(photo: Path) -> Response:
            return send_add(client, [photo], pick="fat quarter", at="Shelf 2")

        with ThreadPoolExecutor(20) as phones:
            answers = list(phones.map(sent, photos))
        assert [answer.status_code for answer in answers] == [303] * 20
        assert len(codes(stash)) == 20
        names = {photo.file_name for code in codes(stash) for photo in show(stash, code).photos}
        assert names == {photo.name for photo in photos}
        assert list((stash.home / "incoming").iterdir()) == []
    assert most <= AT_ONCE, "no more photos than this are held in memory"


def test_the_form_for_another_piece_of_a_fabric_asks_for_no_name(
    client: TestClient, stash: Stash
) -> None:
    put(stash, "Moss", tags=["green"])
    page = client.get("/add?fabric=a1")
    assert "The same fabric as" in page.text
    assert 'name="name"' not in page.text
    assert send_add(client, fabric="A1", pick="half yard").status_code == 303
    assert (show(stash, "A2").name, show(stash, "A2").alike) == ("Moss", ("A1",))
    assert client.get("/add?fabric=Z99&added=Z99").status_code == 200
