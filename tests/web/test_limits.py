"""How much a page takes: counted while it comes in."""

import asyncio
import re
import tracemalloc
from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient
from starlette.types import Message, Scope

from stashkeeper.actions.stash import Stash
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.app import build_app
from stashkeeper.web.limits import FIELDS, FORM, SWALLOWED
from tests.web.made import HOME, PORT

WORDS = {"content-type": "application/x-www-form-urlencoded"}
GIGABYTE = 1 << 30


def portions(total: int, portion: bytes = b"x" * 65_536) -> Iterator[bytes]:
    """Yield a body of `total` bytes without ever holding it."""
    for start in range(0, total, len(portion)):
        yield portion[: total - start]


def asked_by_hand(stash: Stash, headers: dict[str, str], total: int) -> tuple[int, int]:
    """Send a body in portions straight to the application.

    Returns:
        The status of the answer, and how many bytes were taken before it came.
    """
    taken, status = 0, 0
    body = portions(total)

    async def receive() -> Message:
        nonlocal taken
        portion = next(body, b"")
        taken += len(portion)
        return {"type": "http.request", "body": portion, "more_body": bool(portion)}

    async def send(message: Message) -> None:
        nonlocal status
        status = message.get("status", status)

    named = {"host": f"127.0.0.1:{PORT}", "origin": HOME, **headers}
    scope: Scope = {
        "type": "http", "http_version": "1.1", "method": "POST", "path": "/enter",
        "raw_path": b"/enter", "root_path": "", "scheme": "http", "query_string": b"",
        "headers": [(name.encode(), value.encode()) for name, value in named.items()],
        "client": ("127.0.0.1", 50_000), "server": ("127.0.0.1", PORT),
    }  # fmt: skip
    app = build_app(stash, Access(loopback(PORT)))
    asyncio.run(app(scope, receive, send))
    return status, taken


def test_a_body_of_a_gigabyte_that_says_so_is_refused_unread(stash: Stash) -> None:
    status, taken = asked_by_hand(stash, {**WORDS, "content-length": str(GIGABYTE)}, GIGABYTE)
    assert (status, taken) == (413, 0)
    assert GIGABYTE > SWALLOWED


@pytest.mark.parametrize("kind", [WORDS["content-type"], "multipart/form-data; boundary=b"])
def test_a_body_of_a_gigabyte_that_hides_it_is_refused_soon(stash: Stash, kind: str) -> None:
    status, taken = asked_by_hand(
        stash, {"content-type": kind, "transfer-encoding": "chunked"}, GIGABYTE
    )
    assert status in {400, 413}
    assert taken <= FORM + 65_536


def test_a_body_that_lies_about_its_length_is_refused(stash: Stash) -> None:
    status, taken = asked_by_hand(stash, {**WORDS, "content-length": "10"}, GIGABYTE)
    assert status == 413
    assert taken <= FORM + 65_536


def test_a_browser_that_sends_somewhat_too_much_comes_to_read_why(stash: Stash) -> None:
    much = 40 << 20
    tracemalloc.start()
    status, taken = asked_by_hand(stash, {**WORDS, "content-length": str(much)}, much)
    _now, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert (status, taken) == (413, much)
    assert peak < much // 4  # read, and none of it kept


@pytest.mark.parametrize("length", ["-1", "1e9", "", "abc", "9" * 30, "+5", "1 "])
def test_a_length_that_is_no_number_is_refused(stash: Stash, length: str) -> None:
    status, _taken = asked_by_hand(stash, {**WORDS, "content-length": length}, 10)
    assert status in {400, 413}


def test_the_refusal_is_a_page_in_plain_words(client: TestClient) -> None:
    answer = client.post("/enter", content=portions(2 * FORM), headers=WORDS)
    assert answer.status_code == 413
    assert re.search(r"<h1>What was sent is larger than the page takes", answer.text)


def test_a_form_of_very_many_fields_is_refused(client: TestClient) -> None:
    answer = client.post("/enter", content="&".join(["a=b"] * (FIELDS + 1)), headers=WORDS)
    assert answer.status_code == 400


@pytest.mark.parametrize(
    "body",
    [b"--b\r\n", b"--b--", b"\r\n--b\r\nContent-Disposition: form-data\r\n\r\nx\r\n--b--", b""],
)
def test_a_broken_form_is_refused_in_words(client: TestClient, body: bytes) -> None:
    headers = {"content-type": "multipart/form-data; boundary=b"}
    answer = client.post("/enter", content=body, headers=headers)
    assert answer.status_code in {303, 400}
    assert "Traceback" not in answer.text
