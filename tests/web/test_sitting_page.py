"""Sittings and learnt phones on their pages, by the simulated phone."""

from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from sample_photos import phone as camera
from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from tests.cli.test_sitting_command import NOON, TRUE, plain
from tests.simulated_phone.snapped import Shot, alone, snapped_file
from tests.web.forms_sent import field, photo_parts, told, trouble


def snapped(file: Path, lightness: float, minutes: float = 0.0, brighter: float = 0.0) -> Path:
    """Write a photo of plain cloth, taken so many minutes after noon."""
    shot = Shot(brighter=brighter, seed=len(file.name))
    taken_at = NOON + timedelta(minutes=minutes)
    file.write_bytes(snapped_file(alone(plain(lightness)), shot, taken_at=taken_at).getvalue())
    return file


@pytest.fixture
def shelf(client: TestClient, tmp_path: Path) -> None:
    """Put three fabrics of one sitting on the shelf."""
    for minute, (name, lightness) in enumerate(TRUE.items()):
        photo = snapped(tmp_path / f"{name}.jpg", lightness, minute, 0.3 * minute)
        client.post("/add", data={"size": "10 x 10", "name": name}, files=photo_parts([photo]))


def chosen(client: TestClient, photo: Path, lightness: str = "") -> str:
    """Choose the photo of the paper and return the address of what it makes of its sitting."""
    answer = client.post(
        "/sitting/photo", data={"lightness": lightness}, files=photo_parts([photo])
    )
    assert answer.status_code == 303, trouble(answer)
    return answer.headers["location"]


def test_one_photo_of_paper_sets_the_scale_once_it_is_kept(
    client: TestClient, stash: Stash, shelf: None, tmp_path: Path
) -> None:
    paper = snapped(tmp_path / "paper.jpg", 94.0, 5, -0.5)
    address = chosen(client, paper)
    page = client.get(address)
    assert "3 photos of this sitting" in page.text
    assert "A1 “Moss”:" in page.text
    reading = show(stash, "A1").reading
    assert reading is not None and reading.method == "photo"
    answer = client.post("/sitting", data={"photo": field(page, "photo")})
    assert "3 photos of this sitting" in told(client, answer)[0]
    off = []
    for number, true in enumerate(TRUE.values(), 1):
        reading = show(stash, f"A{number}").reading
        assert reading is not None and reading.method == "sitting"
        off.append(abs(reading.lightness - true))
    assert np.mean(off) < 4.0


def test_a_photo_of_another_time_is_refused_where_it_was_chosen(
    client: TestClient, shelf: None, tmp_path: Path
) -> None:
    page = client.get(chosen(client, snapped(tmp_path / "late.jpg", 94.0, 300, -0.5), "90"))
    assert page.status_code == 400
    assert "within 40 minutes" in trouble(page)
    assert field(page, "lightness") == "90"


def test_no_photo_and_no_lightness_are_told(
    client: TestClient, shelf: None, tmp_path: Path
) -> None:
    assert "No photo was given." in trouble(client.post("/sitting/photo", data={}))
    paper = snapped(tmp_path / "paper.jpg", 94.0, 5, -0.5)
    page = client.get(chosen(client, paper, "pale"))
    assert "“pale” is not a lightness." in trouble(page)
    assert field(page, "lightness") == "pale"


def test_a_phone_is_learnt(client: TestClient, tmp_path: Path) -> None:
    metered = camera.expose(alone(plain(50.0)))
    photos = []
    for number, stops in enumerate(np.linspace(-2.6, 1.6, 7)):
        shot = Shot(brighter=float(stops), seed=number)
        file = tmp_path / f"step{number}.jpg"
        file.write_bytes(snapped_file(alone(plain(50.0)), shot, metered, NOON).getvalue())
        photos.append(file)
    assert "No phone was learnt yet." in client.get("/phone").text
    answer = client.post("/phone", files=photo_parts(photos))
    assert told(client, answer)[0].startswith("Learnt how Brindlewick Two bends tones")
    assert "Brindlewick Two" in client.get("/phone").text
    refused = client.post("/phone", files=photo_parts(photos[:2]))
    assert "too narrow" in trouble(refused)
    assert "Choose the photos" in trouble(client.post("/phone", data={}))
