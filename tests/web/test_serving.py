"""Starting to serve: where it listens, what it says, and that it stops."""

import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import takewhile
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest

from stashkeeper.errors import BadRequestError
from stashkeeper.web import serving
from stashkeeper.web.serving import Listening, lan_address, listen


@contextmanager
def program(stash: Path, *words: str) -> Iterator[subprocess.Popen[str]]:
    """Run `stashkeeper serve` and stop it afterwards as Ctrl-C does."""
    command = [sys.executable, "-u", "-m", "stashkeeper", "--stash", str(stash), "serve", *words]
    started = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8"
    )
    try:
        yield started
    finally:
        started.kill()
        started.communicate()


def answer(address: str) -> tuple[int, str]:
    """Return status and text of what an address answers."""
    try:
        with urlopen(Request(address), timeout=30) as got:
            return got.status, got.read().decode()
    except HTTPError as refused:
        with refused:
            return refused.code, refused.read().decode()


def test_serve_says_where_it_is_and_stops_in_words(tmp_path: Path) -> None:
    with program(tmp_path, "--port", "0") as started:
        assert started.stdout is not None
        said = started.stdout.readline()
        address = re.search(r"is at (\S+) on this computer", said)
        assert address is not None
        status, page = answer(address[1])
        assert (status, "<h1>The shelf</h1>" in page) == (200, True)
        started.send_signal(signal.SIGINT)
        _out, errors = started.communicate(timeout=30)
    assert errors.strip() == "Stopped. What was finished before is kept; nothing is half done."
    assert started.returncode == 130


def test_it_listens_on_this_computer_alone() -> None:
    listening = listen(0, lan=False)
    names = [one.getsockname()[0] for one in listening.sockets]
    for one in listening.sockets:
        one.close()
    assert names == ["127.0.0.1"]


def test_on_the_home_network_it_listens_on_one_more_address() -> None:
    try:
        address = lan_address()
    except BadRequestError:
        pytest.skip("this computer is in no network, so there is no address to listen on")
    listening = listen(0, lan=True)
    names = [one.getsockname() for one in listening.sockets]
    for one in listening.sockets:
        one.close()
    assert names == [("127.0.0.1", listening.port), (address, listening.port)]


def test_who_opens_the_home_network_is_told_that_nothing_is_encrypted(tmp_path: Path) -> None:
    try:
        lan_address()
    except BadRequestError:
        pytest.skip("this computer is in no network, so there is no address to listen on")
    with program(tmp_path, "--port", "0", "--lan") as started:
        assert started.stdout is not None
        said = takewhile(lambda line: "Ctrl-C" not in line, started.stdout)
        assert any("not encrypted" in line for line in said)


def test_each_key_is_shown_as_an_address_to_scan() -> None:
    shown: list[str] = []
    listening = Listening((), 8737, "192.168.7.10")
    access = listening.access(lambda key: shown.append(listening.entrance(key)))
    assert access.keys is not None
    assert shown == [f"http://{'192.168.7.10'}:8737/enter?key={access.keys.key}"]
    assert "192.168.7.10:8737" in access.hosts
    assert Listening((), 8737).access(shown.append).keys is None


def test_a_taken_port_is_told_in_words() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(BadRequestError, match=f"Port {port} is taken by another program"):
            listen(port, lan=False)


def test_a_computer_in_no_network_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "SOMEWHERE", ("127.0.0.1", 9))
    with pytest.raises(BadRequestError, match="in no network"):
        lan_address()
