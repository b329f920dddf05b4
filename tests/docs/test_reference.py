"""The reference pages are what the program would write today, and leave nothing unexplained."""

from typing import Any

import pytest
from typer.main import get_command

from docs.write_reference import FOLDER, PAGES, SEARCHES
from stashkeeper.catalogue.filters import KEYS
from stashkeeper.cli.app import app

COMMANDS: dict[str, Any] = {"stashkeeper": get_command(app), **get_command(app).commands}  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_up_to_date(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert text == PAGES[name](), "run: uv run python docs/write_reference.py"


def test_no_page_is_left_over() -> None:
    assert {page.name for page in FOLDER.iterdir()} == set(PAGES)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_and_option_has_help(name: str) -> None:
    command = COMMANDS[name]
    assert command.help, name
    assert [each.name for each in command.params if not each.help] == []


def test_every_search_key_has_an_example() -> None:
    text = " ".join(SEARCHES)
    assert [key for key in KEYS if f"{key}:" not in text] == []
