"""A fabric measured beside the card or a chart, on its page: looked at first, kept on a yes."""

import re
from html import unescape
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from PIL import Image

from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from tests.luminance.test_chart import corners, drawn_chart
from tests.simulated_phone.posed import Pose, seen
from tests.web.forms_sent import field, photo_parts, told, trouble
from tests.web.made import cloth_photo, put, put_photo


@pytest.fixture(scope="module")
def beside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a photo of cloth beside the card, a little under-exposed."""
    file = tmp_path_factory.mktemp("photos") / "beside.jpg"
    picture = seen(Pose(80, turn=4, tilt=6), seed=3).image
    picture.point([round(0.9 * code) for code in range(256)] * 3).save(file, quality=92)
    return file


def choose(client: TestClient, code: str, photo: Path, kind: str = "card") -> Response:
    """Choose a photo and return the page that looks at it."""
    answer = client.post(
        f"/piece/{code}/reference/photo", data={"beside": kind}, files=photo_parts([photo])
    )
    assert answer.status_code == 303, trouble(answer)
    return client.get(answer.headers["location"])


def asked_of(page: Response) -> dict[str, str]:
    """Return the fields of a page as a browser would send them."""
    tags = re.findall(r'<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"', page.text)
    hidden = parse_qs(urlsplit(str(page.url)).query)
    return {**{name: one[0] for name, one in hidden.items()}, **dict(tags)}


def test_a_photo_is_looked_at_and_nothing_is_kept(
    client: TestClient, stash: Stash, beside: Path
) -> None:
    code = put(stash, "Moss")
    page = choose(client, code, beside)
    text = unescape(page.text)
    assert "reference card in the photo" in text
    assert "It seems to be about 5⅞ × 5⅞ in." in text
    assert "were never measured" in text
    assert field(page, "cloth-x1") != ""
    assert show(stash, code).reading is None
    assert show(stash, code).photos == ()


def test_on_a_yes_the_lightness_is_kept_without_the_size(
    client: TestClient, stash: Stash, beside: Path
) -> None:
    code = put(stash, "Moss")
    page = choose(client, code, beside)
    answer = client.post(f"/piece/{code}/reference", data=asked_of(page))
    assert told(client, answer)[0] == "Measured A1 “Moss” beside the card."
    shown = show(stash, code)
    assert shown.shown_size == "18 × 21 in"
    assert shown.reading is not None
    assert (shown.reading.method, shown.reading.provisional) == ("card", False)
    assert [photo.file_name for photo in shown.photos] == ["beside.jpg"]


def test_the_size_is_kept_where_that_was_agreed_to(
    client: TestClient, stash: Stash, beside: Path
) -> None:
    code = put(stash, "Moss")
    sent = {**asked_of(choose(client, code, beside)), "keep_size": "yes"}
    assert "Its size is about 5⅞ × 5⅞ in now." in told(
        client, client.post(f"/piece/{code}/reference", data=sent)
    )
    assert show(stash, code).shown_size == "5⅞ × 5⅞ in, about"


def test_a_photo_that_is_here_already_is_measured_again(
    client: TestClient, stash: Stash, beside: Path
) -> None:
    client.post("/add", data={"pick": "fat quarter", "name": "Moss"}, files=photo_parts([beside]))
    checksum = show(stash, "A1").photos[0].checksum
    answer = client.post("/piece/A1/reference/photo", data={"chosen": checksum, "beside": "card"})
    page = client.get(answer.headers["location"])
    assert "beside.jpg" in page.text
    client.post("/piece/A1/reference", data=asked_of(page))
    shown = show(stash, "A1")
    assert len(shown.readings) == 2  # the old one stays
    assert [one.counts for one in shown.readings].count(True) == 1
    assert shown.reading is not None and shown.reading.method == "card"


def test_corners_moved_give_another_size(client: TestClient, stash: Stash, beside: Path) -> None:
    code = put(stash, "Moss")
    sent = asked_of(choose(client, code, beside))
    right = {corner: float(sent[f"cloth-x{corner}"]) for corner in range(1, 5)}
    middle = sum(right.values()) / 4
    for corner, at in right.items():
        sent[f"cloth-x{corner}"] = f"{(at + middle) / 2:.2f}"
    page = client.get(f"/piece/{code}/reference", params=sent)
    assert re.search(r"It seems to be about [23]\S* × 5", page.text)


def chart_photo(file: Path) -> tuple[Path, dict[str, str]]:
    """Save a photo with a drawn chart above plain cloth; return the fields that mark both."""
    chart = drawn_chart()
    whole = Image.new("RGB", (chart.width, chart.height * 2), (90, 60, 60))
    whole.paste(chart, (0, 0))
    whole.save(file)
    marks = corners(chart) * (100, 50)
    fields = {f"chart-{axis}{n}": f"{at:.1f}" for n, xy in enumerate(marks, 1)
              for axis, at in zip("xy", xy, strict=True)}  # fmt: skip
    return file, {**fields, "left": "20", "top": "60", "right": "80", "bottom": "90"}


def test_beside_a_chart_its_corners_are_marked_first(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    code = put(stash, "Moss")
    photo, marks = chart_photo(tmp_path / "chart.png")
    page = choose(client, code, photo, "chart")
    assert "Mark the four outer corners of its patches" in page.text
    sent = {**asked_of(page), **marks}
    page = client.get(f"/piece/{code}/reference", params=sent)
    assert "chart in the photo" in page.text
    assert "Keep it, and the size" not in page.text
    answer = client.post(f"/piece/{code}/reference", data=asked_of(page))
    assert told(client, answer)[0] == "Measured A1 “Moss” beside the chart."


def test_beside_paper_it_is_weak_and_says_so(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    code = put(stash, "Moss")
    picture = Image.new("RGB", (400, 300), (90, 120, 60))
    picture.paste((225, 225, 225), (250, 0, 400, 300))
    picture.save(tmp_path / "paper.png")
    page = choose(client, code, tmp_path / "paper.png", "paper")
    assert "Mark a part that is paper" in page.text
    edges = {"left": "5", "top": "10", "right": "50", "bottom": "90"}
    paper = {"paper-left": "70", "paper-top": "10", "paper-right": "95", "paper-bottom": "90"}
    sent = {**asked_of(page), **edges, **paper}
    page = client.get(f"/piece/{code}/reference", params=sent)
    assert "Paper alone is weak" in page.text
    assert field(page, "paper-left") == "70"
    bad = client.get(f"/piece/{code}/reference", params={**sent, "lightness": "pale"})
    assert "“pale” is not a lightness." in trouble(bad)
    client.post(f"/piece/{code}/reference", data=sent)
    reading = show(stash, code).reading
    assert reading is not None
    assert (reading.method, reading.provisional) == ("paper", True)


@pytest.mark.parametrize(
    ("marks", "problem"),
    [
        ({"left": ""}, "is not a crop"),
        ({"left": "", "top": "", "right": "", "bottom": ""}, "Where the cloth is"),
        ({"chart-x1": "a lot"}, "is not four corners"),
        ({"chart-y2": ""}, "is not four corners"),
        ({"chart-x3": "130"}, "is not four corners"),
        ({"chart-x1": "20", "chart-y1": "60", "chart-y3": "80"}, "no chart of 24 known patches"),
    ],
)
def test_marks_that_make_no_sense_are_told_and_kept_to_be_changed(
    client: TestClient, stash: Stash, tmp_path: Path, marks: dict[str, str], problem: str
) -> None:
    code = put(stash, "Moss")
    photo, right = chart_photo(tmp_path / "chart.png")
    sent = {**asked_of(choose(client, code, photo, "chart")), **right, **marks}
    for answer in (
        client.get(f"/piece/{code}/reference", params=sent),
        client.post(f"/piece/{code}/reference", data=sent),
    ):
        assert answer.status_code == 400
        assert problem in trouble(answer)
        assert "--" not in trouble(answer)  # no words of the command line
        for name, typed in marks.items():
            assert field(answer, name) == typed
    assert show(stash, code).reading is None


def test_a_photo_without_a_card_says_what_to_do(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    code = put_photo(stash, tmp_path, "sage", (150, 170, 120))
    page = choose(client, code, cloth_photo(tmp_path / "bare.jpg", (90, 120, 60)))
    assert page.status_code == 400
    assert "No reference card can be found in bare.jpg" in trouble(page)


def test_what_is_no_photo_is_refused(client: TestClient, stash: Stash, tmp_path: Path) -> None:
    code = put(stash, "Moss")
    for name, content in (("a.svg", b"<svg><script>alert(1)</script></svg>"), ("a.jpg", b"")):
        (tmp_path / name).write_bytes(content)
        answer = client.post(f"/piece/{code}/reference/photo", files=photo_parts([tmp_path / name]))
        assert answer.status_code == 400
        assert name in trouble(answer)
        assert "<script>alert" not in answer.text
    answer = client.post(f"/piece/{code}/reference/photo", data={"beside": "card"})
    assert "No photo was given." in trouble(answer)


@pytest.mark.parametrize("key", ["0" * 64, "../../etc/passwd", "x", "*", "0" * 63 + "*"])
def test_a_photo_that_is_not_here_is_not_found(client: TestClient, stash: Stash, key: str) -> None:
    code = put(stash, "Moss")
    answer = client.get(f"/piece/{code}/reference", params={"photo": key, "beside": "card"})
    assert answer.status_code == 404
    assert "This photo is not here any more." in trouble(answer)
    assert client.post(f"/piece/{code}/reference", data={"photo": key}).status_code == 404


def test_the_photo_at_hand_is_shown_in_few_widths(
    client: TestClient, stash: Stash, beside: Path
) -> None:
    page = choose(client, put(stash, "Moss"), beside)
    address = re.search(r'src="(/at-hand/[0-9a-f]{64}/)640.webp"', page.text)
    assert address
    assert client.get(f"{address[1]}640.webp").headers["content-type"] == "image/webp"
    assert client.get(f"{address[1]}641.webp").status_code == 404
