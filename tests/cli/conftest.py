"""A terminal on a temporary stash, filled from the table in the test's own docstring."""

import shutil
from pathlib import Path

import pytest

from stashkeeper.actions.stash import open_stash
from stashkeeper.settings.load import load_settings
from tests.cli.terminal import Terminal
from tests.one_compiler import share_it


@pytest.fixture(scope="session")
def empty_stash(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return an empty stash; to copy it is quicker than to make it anew for every test."""
    share_it()
    home = tmp_path_factory.mktemp("empty") / "stash"
    open_stash(load_settings(home, {})).__exit__(None, None, None)
    return home


@pytest.fixture
def run(
    request: pytest.FixtureRequest,
    empty_stash: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> Terminal:
    """Return a terminal in an empty folder, with a stash of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("STASHKEEPER_HOME", str(tmp_path / "stash"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    shutil.copytree(empty_stash, tmp_path / "stash")
    terminal = Terminal(tmp_path / "stash")
    terminal.fill(request.function.__doc__ or "")
    return terminal
