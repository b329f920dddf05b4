"""The door: which requests are let through, and what every answer bears."""

import re

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.stash import Stash
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.keys import DEVICES, STAY, TRIES, WHILE, Keys
from tests.web.made import FOREIGN, PORT, client_of

PHONE = "192.168.7.20"
LAN_HOST = f"192.168.7.10:{PORT}"


class Clock:
    """A clock that is moved by hand."""

    def __init__(self) -> None:
        self.time = 0.0

    def __call__(self) -> float:
        return self.time


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def keys(clock: Clock) -> Keys:
    return Keys(now=clock)


def phone(stash: Stash, keys: Keys, device: str = PHONE) -> TestClient:
    """Return a phone of the home network in its browser."""
    client = client_of(stash, Access(loopback(PORT) | {LAN_HOST}, keys), device)
    client.base_url = f"http://{LAN_HOST}"
    client.headers["origin"] = f"http://{LAN_HOST}"
    return client


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",  # a foreign name made to lead here (DNS rebinding)
        f"evil.example:{PORT}",
        "127.0.0.1",  # another port's page
        "127.0.0.1:80",
        f"127.0.0.1:{PORT}.evil.example",
        f"192.168.7.10:{PORT}",  # the home network, which was not asked for
        "",
    ],
)
def test_a_wrong_host_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 403
    assert client.get("/static/base.css", headers={"host": host}).status_code == 403


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"LOCALHOST:{PORT}"])
def test_this_computers_own_names_are_good(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "origin",
    [
        f"http://{FOREIGN}",
        "null",  # a sandboxed frame, or a page that hides where it comes from
        f"https://127.0.0.1:{PORT}",
        "http://127.0.0.1:80",
        f"http://127.0.0.1:{PORT}.evil.example",
        "",
    ],
)
def test_a_form_from_elsewhere_is_refused(client: TestClient, origin: str) -> None:
    answer = client.post("/enter", data={"key": "x"}, headers={"origin": origin})
    assert answer.status_code == 403
    assert "was not sent from a page of the stash" in answer.text


@pytest.mark.parametrize(("site", "status"), [("same-origin", 303), ("cross-site", 403), ("", 403)])
def test_a_form_without_origin_is_judged_by_its_site(
    client: TestClient, site: str, status: int
) -> None:
    del client.headers["origin"]
    answer = client.post("/enter", data={"key": "x"}, headers={"sec-fetch-site": site})
    assert answer.status_code == status


def test_a_foreign_page_gets_no_pictures_but_may_link_here(client: TestClient) -> None:
    foreign = {"sec-fetch-site": "cross-site"}
    assert client.get("/", headers={**foreign, "sec-fetch-mode": "no-cors"}).status_code == 403
    assert client.get("/", headers={**foreign, "sec-fetch-mode": "navigate"}).status_code == 200


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_ways_of_asking_are_judged_like_forms(client: TestClient, method: str) -> None:
    assert client.request(method, "/", headers={"origin": f"http://{FOREIGN}"}).status_code == 403


def test_a_phone_without_a_key_sees_nothing(stash: Stash, keys: Keys) -> None:
    for path in ("/", "/piece/A1", "/swatch/A1/x/colour-160.webp", f"/photo/{'0' * 64}/640.webp"):
        answer = phone(stash, keys).get(path)
        assert answer.status_code == 403
        assert "not let in" in answer.text


def test_a_phone_sees_the_door_and_its_style(stash: Stash, keys: Keys) -> None:
    client = phone(stash, keys)
    style = re.search(r'href="(/static/base\.css[^"]*)"', client.get("/enter").text)
    assert style is not None
    assert client.get(style[1]).status_code == 200


def test_a_key_lets_one_phone_in_and_is_spent(stash: Stash, keys: Keys) -> None:
    key, first, second = keys.key, phone(stash, keys), phone(stash, keys)
    assert first.get("/enter", params={"key": key}).status_code == 200  # looking spends nothing
    entered = first.post("/enter", data={"key": key})
    assert entered.status_code == 303
    assert first.get("/").status_code == 200
    assert second.post("/enter", data={"key": key}).status_code == 403
    assert second.get("/").status_code == 403
    assert keys.key != key


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(stash: Stash, keys: Keys) -> None:
    entered = phone(stash, keys).post("/enter", data={"key": keys.key})
    cookie = next(one for one in entered.headers.get_list("set-cookie") if "stashkeeper=" in one)
    assert "HttpOnly" in cookie
    assert "samesite=strict" in cookie.lower()
    assert "Path=/" in cookie


@pytest.mark.parametrize("secret", ["", "guessed", "x" * 4000, '"; Path=/', "é"])
def test_a_guessed_cookie_opens_nothing(stash: Stash, keys: Keys, secret: str) -> None:
    header = [(b"cookie", f"stashkeeper={secret}".encode())]
    assert phone(stash, keys).get("/", headers=header).status_code == 403


def test_a_device_that_stays_away_must_enter_again(stash: Stash, keys: Keys, clock: Clock) -> None:
    client = phone(stash, keys)
    client.post("/enter", data={"key": keys.key})
    clock.time += STAY - 1
    assert client.get("/").status_code == 200
    clock.time += STAY - 1  # it was heard of meanwhile
    assert client.get("/").status_code == 200
    clock.time += STAY + 1
    assert client.get("/").status_code == 403


def test_guessing_keys_is_stopped_for_a_while(stash: Stash, keys: Keys, clock: Clock) -> None:
    client = phone(stash, keys)
    for guess in range(TRIES):
        assert client.post("/enter", data={"key": f"guess {guess}"}).status_code == 403
    assert client.post("/enter", data={"key": keys.key}).status_code == 429
    neighbour = phone(stash, keys, "192.168.7.21")
    assert neighbour.post("/enter", data={"key": keys.key}).status_code == 303
    clock.time += WHILE + 1
    assert client.post("/enter", data={"key": keys.key}).status_code == 303


def test_only_so_many_devices_are_inside(keys: Keys) -> None:
    secrets = [keys.enter(keys.key, PHONE) for _ in range(DEVICES + 1)]
    assert not keys.knows(secrets[0])
    assert all(keys.knows(secret) for secret in secrets[1:])


def test_every_key_is_told_and_none_twice(clock: Clock) -> None:
    told: list[str] = []
    keys = Keys(told.append, clock)
    for _ in range(5):
        keys.enter(keys.key, PHONE)
    assert len(set(told)) == 6
    assert told[-1] == keys.key
    assert all(len(key) >= 22 for key in told)  # 128 bits in base64


def test_this_computer_needs_no_key(stash: Stash, keys: Keys) -> None:
    assert phone(stash, keys, "127.0.0.1").get("/").status_code == 200


@pytest.mark.parametrize(
    "name", ["x-forwarded-for", "forwarded", "x-real-ip", "x-client-ip", "x-forwarded-host"]
)
def test_no_header_makes_a_phone_this_computer(stash: Stash, keys: Keys, name: str) -> None:
    assert phone(stash, keys).get("/", headers={name: "127.0.0.1"}).status_code == 403


@pytest.mark.parametrize(
    "path", ["/", "/nowhere", "/enter", "/static/base.css", "/swatch/A1/x/colour-160.webp"]
)
def test_every_answer_bears_the_headers(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy and "*" not in policy and "http" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "cache-control" in headers
    assert "access-control-allow-origin" not in headers


def test_a_refusal_bears_the_headers_too(client: TestClient) -> None:
    answer = client.get("/", headers={"host": "evil.example"})
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]


def test_the_start_page_redirects_nowhere_else(client: TestClient) -> None:
    answer = client.post("/enter", data={"key": "x", "next": f"http://{FOREIGN}"})
    assert answer.headers["location"] == "/"
