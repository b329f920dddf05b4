"""What is under version control: the agreed top level, nothing heavy, nothing of one machine."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE",
    "stashkeeper", "tests", "sample_photos", "docs",
}  # fmt: skip
LOCK_FILES = {"uv.lock", "pylock.toml", "poetry.lock", "Pipfile.lock", "requirements.txt"}
LARGEST_FILE = 1_000_000

KNOWN_HOSTS = {
    "cie.co.at",  # the standard behind L*
    "doi.org",  # published papers
    "www.w3.org",  # the name of the SVG format
    "host",  # a placeholder for the name of a database server
    "localhost",
    "127.0.0.1",
    "[::1]",
}
ADDRESS = re.compile(r"\b(?:https?|ftp|ssh|git|wss?|postgresql(?:\+\w+)?)://([^\s\"'`<>()]*)")

# Put together from halves, so that this file does not hold what it looks for.
REGISTRIES = ["py" + "pi.org", "python" + "hosted.org", "npm" + "js.", "cr" + "ates.io"]
WORDS = ["trans" + "cript", "seed" + " document"]
MACHINE_PATHS = ["/" + folder + "/" for folder in ("work", "farm", "root")]


def text_of(path: Path) -> str:
    """Return what a file says; nothing for a picture or another file that is no text."""
    data = path.read_bytes()
    return "" if b"\0" in data else data.decode("utf-8", errors="replace")


def host(rest: str) -> str:
    """Return the host of what follows `://` in an address, without user and port.

    >>> host("anna@localhost:5432/stash")
    'localhost'
    """
    authority = re.split(r"[/?#]", rest, maxsplit=1)[0].rpartition("@")[2]
    if authority.startswith("["):
        return authority.partition("]")[0] + "]"
    return authority.partition(":")[0].rstrip(".,;").lower()


def unknown_hosts(text: str) -> Iterator[str]:
    """Yield the hosts in `text` that are not known here; a `{placeholder}` names no host."""
    for rest in ADDRESS.findall(text):
        name = host(rest)
        if name and not name.startswith(("{", "$", "%", "…")) and name not in KNOWN_HOSTS:
            yield name


def holding(tracked: list[Path], checkout: Path, sought: list[str]) -> list[str]:
    """Return "file: what" for every tracked file that holds one of the `sought` words."""
    return [
        f"{path.relative_to(checkout)}: {word}"
        for path in tracked
        for word in sought
        if word.encode() in path.read_bytes().lower()
    ]


def test_the_visible_top_level_is_the_agreed_one(tracked: list[Path], checkout: Path) -> None:
    top = {path.relative_to(checkout).parts[0] for path in tracked}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_no_lock_file_is_tracked(tracked: list[Path]) -> None:
    assert [path.name for path in tracked if path.name in LOCK_FILES] == []


def test_addresses_lead_to_known_hosts_only(tracked: list[Path], checkout: Path) -> None:
    unknown = {
        f"{path.relative_to(checkout)}: {name}"
        for path in tracked
        for name in unknown_hosts(text_of(path))
    }
    assert unknown == set()


def test_no_registry_is_named(tracked: list[Path], checkout: Path) -> None:
    assert holding(tracked, checkout, REGISTRIES) == []


def test_nothing_belongs_to_one_machine(tracked: list[Path], checkout: Path) -> None:
    assert holding(tracked, checkout, MACHINE_PATHS) == []


def test_nothing_tells_of_its_making(tracked: list[Path], checkout: Path) -> None:
    assert holding(tracked, checkout, WORDS) == []


def test_no_tracked_file_is_heavy(tracked: list[Path], checkout: Path) -> None:
    heavy = {str(path.relative_to(checkout)): path.stat().st_size for path in tracked}
    assert {name: size for name, size in heavy.items() if size >= LARGEST_FILE} == {}


@pytest.mark.parametrize(
    ("address", "found"),
    [
        ("https" + "://shop.example/fabric", ["shop.example"]),
        ("http://www.w3.org/2000/svg", []),
        ("postgresql://anna@localhost:5432/stash", []),
        ("postgresql" + "://anna:secret@db.example/stash", ["db.example"]),
        ("http://{host}:8000/", []),
        ("sqlite:///stash.db", []),
        ("http" + "://[2001:db8::1]:80/", ["[2001:db8::1]"]),
    ],
)
def test_the_look_for_addresses_finds_them(address: str, found: list[str]) -> None:
    assert list(unknown_hosts(f"see {address}, or not")) == found
