"""Sending forms as a browser does, and reading what their pages tell."""

import html
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from httpx2 import Response

ANY = "application/octet-stream"


def photo_parts(photos: Iterable[Path], name: str = "photo") -> list[tuple[str, Any]]:
    """Return photos as the parts of a form, under their own names."""
    return [(name, (photo.name, photo.read_bytes(), ANY)) for photo in photos]


def send_add(client: TestClient, photos: Iterable[Path] = (), **fields: str) -> Response:
    """Send the form of the page Add, its photos and what was typed."""
    parts = photo_parts(photos) or [("photo", ("", b"", ANY))]
    return client.post("/add", data=fields, files=parts)


def told(client: TestClient, answer: Response) -> list[str]:
    """Follow the answer to a form and return the sentences that the next page tells."""
    assert answer.status_code == 303, (answer.status_code, trouble(answer))
    page = client.get(answer.headers["location"])
    assert page.status_code == 200
    box = re.search(r'<div class="told" role="status">(.*?)</div>', page.text, re.DOTALL)
    lines = re.findall(r"<p>(.*?)</p>", box[1], re.DOTALL) if box else []
    return [html.unescape(line) for line in lines]


def trouble(answer: Response) -> str:
    """Return what a page says is wrong, as a person reads it."""
    boxes = re.findall(r'role="alert"[^>]*>(.*?)</p>', answer.text, re.DOTALL)
    title = re.search(r"<h1>(.*?)</h1>", answer.text, re.DOTALL)
    words = " ".join([*boxes, title[1] if title else ""])
    return html.unescape(re.sub(r"<[^>]+>", "", words))


def field(answer: Response, name: str) -> str:
    """Return what stands in a field of a page."""
    tag = re.search(rf'<input[^>]* name="{name}"[^>]*>', answer.text)
    assert tag, f"no field {name}"
    value = re.search(r' value="([^"]*)"', tag[0])
    return html.unescape(value[1]) if value else ""


def finished(client: TestClient, address: str) -> Response:
    """Look until the work of an address is done."""
    for _ in range(40):
        answer = client.get(address)
        if 'class="progress"' not in answer.text:
            return answer
    raise AssertionError("the work does not end")
