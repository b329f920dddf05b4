"""Labels on pages: printed with the same sentence as by the command, and read from a photo."""

import io
import re
from html import unescape
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.label_reading import code_of_label
from stashkeeper.actions.labels import labels, write_labels
from stashkeeper.actions.stash import Stash
from stashkeeper.pictures.canvas import page_images
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.keys import Keys
from tests.web.forms_sent import trouble
from tests.web.made import PORT, client_of, put

LAN = "192.0.2.7"
"""An address for documentation (RFC 5737)."""


def scanned(pdf: bytes) -> list[str]:
    """Return what ZXing, a decoder that is not ours, reads on the pages of a PDF."""
    return [one.text for page in page_images(pdf) for one in zxingcpp.read_barcodes(page)]


def save(client: TestClient, **asked: str) -> bytes:
    answer = client.get("/labels.pdf", params=asked)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    return answer.content


@pytest.fixture
def three(stash: Stash) -> list[str]:
    """Put three pieces on the shelf and return their codes."""
    return [put(stash, name, at="Shelf 2") for name in ("sage", "ink", "milk")]


def test_the_page_says_what_the_command_says(
    client: TestClient, stash: Stash, three: list[str]
) -> None:
    page = unescape(client.get("/labels", params={"q": "-ink", "start": "4"}).text)
    for sentence in labels(stash, "-ink", start=4).sentences:
        assert f"<p>{sentence}</p>" in page
    assert "2 labels, A1 to A3, on 1 sheet (66.7 × 25.4 mm, 30 a sheet on Letter)." in page
    assert "The next free label of the last sheet is number 6." in page


def test_page_and_command_draw_the_very_same(
    client: TestClient, stash: Stash, three: list[str], tmp_path: Path
) -> None:
    address = "http://localhost:8737"
    drawn = labels(stash, "", sheet="63.5x38.1", address=address, outline=True)
    write_labels(drawn, tmp_path / "labels.pdf")
    saved = save(client, sheet="63.5x38.1", address=address, outline="yes")
    assert saved == (tmp_path / "labels.pdf").read_bytes()


def test_the_file_to_save_is_named(client: TestClient, three: list[str]) -> None:
    said = client.get("/labels.pdf").headers["content-disposition"]
    assert said.startswith('attachment; filename="labels.pdf"')


def test_a_label_opens_its_piece_where_the_pages_are_visited(
    stash: Stash, three: list[str]
) -> None:
    hosts = loopback(PORT) | {f"{LAN}:{PORT}"}
    keys = Keys()
    inside = keys.enter(keys.key, LAN)
    client = client_of(stash, Access(hosts, keys), device=LAN)
    client.base_url = f"http://{LAN}:{PORT}"
    client.cookies.set("stashkeeper", inside)
    assert f'value="http://{LAN}:{PORT}"' in client.get("/labels").text
    texts = scanned(save(client))
    assert sorted(texts) == [f"http://{LAN}:{PORT}/piece/{code}" for code in three]


def test_this_computer_prints_the_address_of_the_home_network(
    stash: Stash, three: list[str]
) -> None:
    hosts = loopback(PORT) | {f"{LAN}:{PORT}"}
    client = client_of(stash, Access(hosts, Keys()))
    assert scanned(save(client))[0].startswith(f"http://{LAN}:{PORT}/piece/")


def test_without_a_network_a_label_holds_words(client: TestClient, three: list[str]) -> None:
    """No phone can open an address of this computer alone, so none is printed."""
    assert f"{PORT}" not in client.get("/labels").text
    assert min(scanned(save(client))) == "A1\nsage\n18 × 21 in"


def test_an_emptied_address_holds_words_too(stash: Stash, three: list[str]) -> None:
    client = client_of(stash, Access(loopback(PORT) | {f"{LAN}:{PORT}"}, Keys()))
    assert min(scanned(save(client, address=""))).startswith("A1\n")


def test_the_first_sheet_is_shown(client: TestClient, three: list[str]) -> None:
    page = client.get("/labels", params={"q": "sage", "outline": "yes"}).text
    address = re.search(r'src="(/labels/first.webp\?[^"]+)"', page)
    assert address
    picture = client.get(unescape(address[1]))
    with Image.open(io.BytesIO(picture.content)) as image:
        assert image.format == "WEBP"
        assert image.height / image.width == pytest.approx(11 / 8.5, abs=0.01)


@pytest.mark.parametrize(
    ("asked", "problem"),
    [
        ({"q": "no-such-cloth"}, "No piece answers, so there is no label to draw."),
        ({"q": "size:enormous"}, "is not a size"),
        ({"start": "31"}, "There is no label 31 on this sheet: it has 30."),
        ({"start": "x"}, "“x” is no label."),
        ({"start": "0"}, "There is no label 0"),
        ({"own": "1x1"}, "no sheet of labels known here"),
        ({"own": "100x100 3x3"}, "does not fit on its paper"),
        ({"address": "javascript:alert(1)"}, "is no address of a page"),
        ({"address": "http:// two words"}, "is no address of a page"),
    ],
)
def test_what_cannot_be_drawn_is_explained_in_place(
    client: TestClient, three: list[str], asked: dict[str, str], problem: str
) -> None:
    answer = client.get("/labels", params=asked)
    assert 400 <= answer.status_code < 500
    assert problem in trouble(answer)
    for typed in asked.values():  # nothing typed is lost
        assert f'value="{typed}"' in answer.text
    assert client.get("/labels.pdf", params=asked).status_code == answer.status_code


def test_an_empty_shelf_asks_for_nothing_yet(client: TestClient) -> None:
    answer = client.get("/labels")
    assert answer.status_code == 200
    assert "Say which pieces want a label." in answer.text
    assert client.get("/labels?q=").status_code == 400


def test_the_sheet_that_is_drawn_is_the_one_shown_chosen(
    client: TestClient, three: list[str]
) -> None:
    for asked, chosen in [({}, "66.7x25.4"), ({"sheet": "70x37"}, "70x37")]:
        page = client.get("/labels", params=asked).text
        assert f'<option value="{chosen}" selected>' in page


def test_another_sheet_is_typed(client: TestClient, three: list[str]) -> None:
    page = unescape(client.get("/labels", params={"own": "70x42.3 3x7 a4"}).text)
    assert "3 labels, A1 to A3, on 1 sheet (70 × 42.3 mm, 21 a sheet on A4)." in page
    with pypdfium2.PdfDocument(save(client, own="70x42.3 3x7 a4")) as document:
        width, height = document[0].get_size()
    assert (width / 72 * 25.4, height / 72 * 25.4) == pytest.approx((210, 297), abs=0.2)


# Reading.


def photo_of(client: TestClient, **asked: str) -> bytes:
    """Return a photo of a sheet of labels."""
    picture = page_images(save(client, **asked))[0].convert("RGB")
    packed = io.BytesIO()
    picture.save(packed, "JPEG", quality=80)
    return packed.getvalue()


def read(client: TestClient, photo: bytes, name: str = "label.jpg") -> tuple[int, str, str]:
    """Send a photo to be read; return the status, where it leads, and what is shown."""
    answer = client.post("/read-label", files={"photo": (name, photo)})
    return answer.status_code, answer.headers.get("location", ""), unescape(answer.text)


def test_a_photo_of_a_label_opens_its_piece(client: TestClient, three: list[str]) -> None:
    for asked in ({"q": "ink"}, {"q": "ink", "address": "http://localhost:1/home"}):
        assert read(client, photo_of(client, **asked))[:2] == (303, "/piece/A2")


def test_a_photo_of_several_labels_shows_them_all(client: TestClient, three: list[str]) -> None:
    status, _, page = read(client, photo_of(client))
    assert status == 200
    assert sorted(re.findall(r'href="/piece/(\w+)"', page)) == three


def test_a_code_typed_as_it_is_printed_opens_its_piece(
    client: TestClient, three: list[str]
) -> None:
    answer = client.post("/read-label", data={"code": " a 3"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/piece/A3")


@pytest.mark.parametrize(
    ("photo", "problem"),
    [
        (b"no photo", "label.jpg"),
        (b"", "label.jpg"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", "label.jpg"),
    ],
)
def test_what_is_no_photo_is_refused(
    client: TestClient, three: list[str], photo: bytes, problem: str
) -> None:
    status, _, page = read(client, photo)
    assert 400 <= status < 500
    assert problem in page
    assert "<script>alert" not in page


def test_neither_photo_nor_code_is_refused(client: TestClient) -> None:
    answer = client.post("/read-label", data={"code": " "})
    assert answer.status_code == 400
    assert "There is no photo and no code." in trouble(answer)


def test_a_photo_without_a_label_says_what_to_do(client: TestClient, three: list[str]) -> None:
    packed = io.BytesIO()
    Image.new("RGB", (300, 200), (90, 120, 90)).save(packed, "JPEG")
    status, _, page = read(client, packed.getvalue())
    assert status == 404
    assert "No label can be read in “label.jpg”." in page


def test_a_label_of_another_stash_is_no_piece_here(
    client: TestClient, stash: Stash, three: list[str]
) -> None:
    photo = photo_of(client, q="milk")
    other = client_of(stash)
    assert read(other, photo)[1] == "/piece/A3"
    status, _, page = read(client, code_photo("http://localhost:8737/piece/B9"))
    assert status == 404
    assert "B9" in page
    status, _, page = read(client, code_photo("http://localhost/a-menu"))
    assert status == 404
    assert "is no label of a stash: it says “http:" in page


def code_photo(text: str) -> bytes:
    """Return a photo of a code that ZXing made: not even the encoder is ours."""
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode)
    image = Image.fromarray(zxingcpp.write_barcode_to_image(code, scale=6, add_quiet_zones=True))
    packed = io.BytesIO()
    image.convert("RGB").save(packed, "PNG")
    return packed.getvalue()


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("http://localhost:8737/piece/A7", "A7"),
        ("http://localhost/piece/AA12/", "AA12"),
        ("http://localhost/home/piece/a7?from=label#x", "A7"),
        ("A7\nNight garden\n18 × 21 in", "A7"),
        ("a 7", "A7"),
        ("http://localhost/piece/", None),
        ("http://localhost/places/A7", None),
        ("WIFI:S:home;;", None),
        ("", None),
        ("x" * 4000, None),
    ],
)
def test_the_code_on_a_label_is_found(text: str, code: str | None) -> None:
    assert code_of_label(text) == code
