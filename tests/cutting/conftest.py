"""What the cutting tests share: one solver for all of them, and cloth in inches."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from stashkeeper.cutting.engine import Engine

HERE = Path(__file__).parent


def read_json(name: str) -> Any:
    """Return what a file of numbers beside the tests says."""
    return json.loads((HERE / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="session")
def engine() -> Iterator[Engine]:
    """Return a running solver, shared by all tests."""
    with Engine() as running:
        yield running
