"""A stash of its own for each test of a page, and a browser's stand-in that looks at it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from stashkeeper.actions.stash import Stash
from tests.web.made import client_of, open_in


@pytest.fixture
def stash(tmp_path: Path) -> Iterator[Stash]:
    """Return an empty stash."""
    with open_in(tmp_path) as opened:
        yield opened


@pytest.fixture
def client(stash: Stash) -> TestClient:
    """Return a browser's stand-in on this computer."""
    return client_of(stash)
