"""Pictures of cloth: small, without any record of the camera, and never another file's."""

import io
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import ExifTags, Image

from stashkeeper.actions.add import add
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.values import lightness
from stashkeeper.luminance.lightness import luminance_of_lightness
from tests.web.made import cloth_photo, put_photo

ELSEWHERE = [
    "/swatch/{code}/x/colour-161.webp",  # no width but the listed ones: the disk is not filled
    "/swatch/{code}/x/colour-0.webp",
    "/swatch/{code}/x/colour--160.webp",
    "/swatch/{code}/x/colour-99999999999999999999.webp",
    "/swatch/{code}/x/red-160.webp",
    "/swatch/Z99/x/colour-160.webp",
    "/swatch/..%2f..%2fstash.db/x/colour-160.webp",
    "/swatch/%00/x/colour-160.webp",
    "/photo/..%2f..%2f..%2fetc%2fpasswd/640.webp",
    "/photo/%2e%2e/640.webp",
    "/photo/zz/640.webp",
    "/photo/" + "0" * 64 + "/640.webp",
    "/static/..%2fapp.py",
    "/static/%2e%2e%2fapp.py",
    "/static/....//app.py",
    "/static/base.css%00.js",
    "/static/type/..%2f..%2fapp.woff",
    "//etc/passwd",
    "/previews/",
    "/photos/",
    "/stash.db",
]


def addresses(client: TestClient) -> list[str]:
    """Return the addresses of the swatches on the shelf page."""
    pages = (client.get(path).text for path in ("/", "/?grey=1"))
    return [address for page in pages for address in re.findall(r' src="(/swatch/[^"]+)"', page)]


@pytest.fixture
def code(stash: Stash, tmp_path: Path) -> str:
    """Put a fabric with a photo on the shelf and return its code."""
    return put_photo(stash, tmp_path, "checks", (200, 90, 60))


def opened(client: TestClient, address: str) -> Image.Image:
    """Return the picture at an address."""
    answer = client.get(address)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/webp"
    return Image.open(io.BytesIO(answer.content))


def test_a_swatch_comes_in_colour_and_in_grey(client: TestClient, code: str) -> None:
    colour, grey = addresses(client)
    assert f"/{code}/" in colour
    assert opened(client, colour).size == opened(client, grey).size == (160, 160)
    red, green, blue = opened(client, grey).convert("RGB").resize((1, 1)).getpixel((0, 0))  # type: ignore[misc]
    assert max(red, green, blue) - min(red, green, blue) <= 2


def test_the_grey_one_has_the_lightness_of_the_reading(
    client: TestClient, stash: Stash, code: str
) -> None:
    # sRGB decoding as in IEC 61966-2-1; L* 80 is Y 0.5668 by CIE 15: ((80 + 16) / 116) cubed.
    lightness(stash, code, "80")
    _colour, grey = addresses(client)
    coded = np.asarray(opened(client, grey.replace("-160", "-240")).convert("L")) / 255
    light = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    assert light.mean() == pytest.approx(luminance_of_lightness(80), abs=0.02)
    assert luminance_of_lightness(80) == pytest.approx(0.5668, abs=1e-4)


def test_an_address_lasts_until_the_swatch_changes(
    client: TestClient, stash: Stash, code: str
) -> None:
    before = addresses(client)[1]
    assert "immutable" in client.get(before).headers["cache-control"]
    lightness(stash, code, "20")
    after = addresses(client)[1]
    assert after != before
    assert "immutable" in client.get(after).headers["cache-control"]
    assert client.get(before).headers["cache-control"] == "private, no-store"


def test_previews_may_be_deleted_any_day(client: TestClient, stash: Stash, code: str) -> None:
    address = addresses(client)[0]
    first = client.get(address).content
    assert code
    shutil.rmtree(stash.home / "previews")
    assert client.get(address).content == first


def test_a_stash_whose_photo_is_gone_says_so(client: TestClient, stash: Stash, code: str) -> None:
    shutil.rmtree(stash.home / "photos")
    answer = client.get(addresses(client)[0])
    assert code
    assert answer.status_code == 404
    assert str(stash.home) not in answer.text


def test_nothing_the_camera_wrote_is_passed_on(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    record = Image.Exif()
    record[ExifTags.Base.Make] = "<script>alert(1)</script>"
    record[ExifTags.Base.Artist] = "somebody"
    record.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    file = cloth_photo(tmp_path / "x.jpg", (90, 160, 90), exif=record, comment=b"somebody")
    add(stash, PieceWords(name="x", size="18 x 21"), photos=[file])
    checksum = next((stash.home / "photos").rglob("*.jpg")).stem
    for address in (*addresses(client), f"/photo/{checksum}/640.webp"):
        answer = client.get(address)
        assert b"somebody" not in answer.content and b"<script>" not in answer.content
        assert not Image.open(io.BytesIO(answer.content)).getexif()


def test_no_address_leads_to_another_file(client: TestClient, code: str) -> None:
    for path in ELSEWHERE:
        answer = client.get(path.format(code=code))
        assert answer.status_code == 404, path
        assert "Traceback" not in answer.text and "root:" not in answer.text


def test_only_listed_widths_are_ever_written(client: TestClient, stash: Stash, code: str) -> None:
    for width in range(1, 700, 13):
        client.get(f"/swatch/{code}/x/grey-{width}.webp")
    for look in ("a", "b", "c"):
        client.get(f"/swatch/{code}/{look}/grey-160.webp")
    assert len(list((stash.home / "previews").rglob("*.webp"))) == 4
