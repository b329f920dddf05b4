"""Answers in general: errors in plain words, no folder named, sentences told once."""

import json
from http import HTTPStatus

import pytest
from fastapi.testclient import TestClient
from starlette.requests import Request

from stashkeeper.actions.stash import Stash
from stashkeeper.errors import (
    BadFileError,
    CannotWriteError,
    Mistake,
    NotFoundError,
    StashkeeperError,
)
from stashkeeper.web.show import Showing, go, without_paths
from stashkeeper.web.told import KEPT, MOST, Told
from tests.web.made import FOREIGN


class Failing:
    """A shelf that fails with an error."""

    def __init__(self, error: Exception) -> None:
        self.error = error

    def page(self, *_: object, **__: object) -> None:
        raise self.error


def failing(client: TestClient, error: Exception) -> TestClient:
    """Return the browser's stand-in with a shelf that fails."""
    client.app.state.shelf = Failing(error)  # type: ignore[attr-defined]
    return client


def test_a_page_that_is_not_there(client: TestClient) -> None:
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert "There is no such page." in answer.text


def test_a_fault_of_ours_tells_nothing_of_the_inside(client: TestClient) -> None:
    answer = failing(client, RuntimeError("/home/anna/secret/stash.db went away")).get("/")
    assert answer.status_code == 500
    assert "This is a fault in Stashkeeper, not yours." in answer.text
    assert "anna" not in answer.text and "RuntimeError" not in answer.text
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize(
    ("sentence", "shown"),
    [
        ("“/home/anna/my stash/photos/ab” cannot be written (disk full).", "“ab” cannot be"),
        ("“C:\\Users\\anna\\stash.db” is damaged.", "“stash.db” is damaged."),
        ("unable to open /home/anna/stash/stash.db here", "unable to open stash.db here"),
        ("Put it on “Shelf 2 / Blue box”, 1/2 yd.", "Put it on “Shelf 2 / Blue box”, 1/2 yd."),
        ("Use sqlite:////home/anna/stash.db or not.", "stash.db or not."),
        ("Give light/medium/dark.", "Give light/medium/dark."),
    ],
)
def test_no_sentence_names_a_folder(sentence: str, shown: str) -> None:
    plain = without_paths(sentence)
    assert shown in plain
    assert "anna" not in plain


def test_an_error_names_no_folder_of_this_computer(client: TestClient, stash: Stash) -> None:
    full = CannotWriteError(f"“{stash.home / 'photos'}” is full.", "Make room.")
    answer = failing(client, full).get("/")
    assert answer.status_code == 507
    assert "“photos” is full." in answer.text
    assert str(stash.home) not in answer.text


def test_a_script_reads_an_error_as_json(client: TestClient) -> None:
    answer = client.get("/nowhere", headers={"accept": "application/json"})
    assert answer.status_code == 404
    assert json.loads(answer.text) == {
        "problem": "There is no such page.",
        "remedy": "Begin at the shelf.",
        "mistakes": [],
    }


def test_all_mistakes_of_a_file_are_listed(client: TestClient) -> None:
    wrong = BadFileError("Bad list.", "Mend it.", [Mistake(3, "no <size>"), Mistake(0, "x")])
    showing: Showing = client.app.state.showing  # type: ignore[attr-defined]
    request = Request({"type": "http", "method": "GET", "path": "/", "headers": []})
    assert "<li>line 3: no &lt;size&gt;</li>" in bytes(showing.error(request, wrong).body).decode()


def test_sentences_of_a_deed_are_told_once(client: TestClient) -> None:
    client.post("/enter", data={"key": "x"})
    assert "This device is let in." in client.get("/").text
    assert "This device is let in." not in client.get("/").text


def test_the_told_cookie_holds_no_words(client: TestClient) -> None:
    cookie = client.post("/enter", data={"key": "x"}).headers["set-cookie"]
    assert "let in" not in cookie
    assert "HttpOnly" in cookie


def test_told_sentences_are_forgotten() -> None:
    clock = [0.0]
    told = Told(lambda: clock[0])
    late, early = told.keep(["late"]), told.keep(["early"])
    assert told.fetch(early) == ("early",)
    assert told.fetch(early) == ()
    clock[0] += KEPT + 1
    assert told.fetch(late) == ()
    numbers = [told.keep([str(number)]) for number in range(MOST + 1)]
    assert told.fetch(numbers[0]) == ()
    assert told.fetch(numbers[-1]) == (str(MOST),)


@pytest.mark.parametrize("path", [f"http://{FOREIGN}", f"//{FOREIGN}", "\\\\evil", "/\\evil"])
def test_no_answer_leads_away(path: str) -> None:
    with pytest.raises(NotFoundError, match="No page has that address"):
        go(None, path)  # type: ignore[arg-type]


def test_every_error_has_a_status_that_http_knows() -> None:
    for kind in StashkeeperError.__subclasses__():
        assert HTTPStatus(kind.http_status).is_client_error or kind.http_status >= 500
