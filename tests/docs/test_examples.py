"""The examples in the pages do what the pages say.

Every ```` ```console ```` block of a page is typed, from top to bottom, into one fresh stash:

* A line `$ stashkeeper …` is run. It must succeed; in ```` ```console fails ```` it must not.
* Lines below it are what it prints. `…` stands for anything in a line, and on a line of its own
  for any lines. With no lines below, nothing is asked of what it prints.
* A block with a file name after its language, such as ```` ```csv sizes.csv ````, is that file.
* The folder `sample_photos` is at hand, with the photos of the project.
"""

import re
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from stashkeeper.cli.app import app
from tests.docs.pages import CHECKOUT, PAGES, Block, blocks

PROMPT = "$ stashkeeper "


def with_examples(page: Path) -> bool:
    return any("console" in block.info for block in blocks(page.read_text(encoding="utf-8")))


def pattern(expected: str) -> str:
    """Return the pattern of an expected answer: `…` is anything in its line, or any lines."""
    lines = (
        r"(?:.*\n)*" if line.strip() == "…" else re.escape(line).replace("…", ".*") + r"[ ]*\n"
        for line in expected.rstrip("\n").split("\n")
    )
    return "".join(lines)


def examples(block: Block) -> list[tuple[str, str]]:
    """Return each command of a block, with what the page says it prints."""
    found: list[tuple[str, str]] = []
    for line in block.text.splitlines():
        if line.startswith(PROMPT):
            found.append((line.removeprefix(PROMPT), ""))
        else:
            assert found, f"line {block.line}: a console block starts with “{PROMPT}”"
            assert not line.startswith("$ "), f"only {PROMPT} can be tried, not {line}"
            found[-1] = (found[-1][0], found[-1][1] + line + "\n")
    return found


def run(block: Block) -> None:
    """Type the commands of a block, and compare what they print."""
    for words, expected in examples(block):
        result = CliRunner().invoke(app, shlex.split(words))
        said = result.output if result.output.endswith("\n") else result.output + "\n"
        where = f"line {block.line}: stashkeeper {words}\n{said}"
        assert (result.exit_code != 0) == ("fails" in block.info), where
        if expected:
            assert re.fullmatch(pattern(expected), said), where


@pytest.mark.parametrize(
    "page",
    [page for page in PAGES if with_examples(page)],
    ids=lambda page: str(page.relative_to(CHECKOUT)),
)
def test_the_examples_of_a_page_hold(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("STASHKEEPER_HOME", str(tmp_path / "stash"))
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.delenv("STASHKEEPER_DATABASE", raising=False)
    (tmp_path / "sample_photos").symlink_to(CHECKOUT / "sample_photos")
    for block in blocks(page.read_text(encoding="utf-8")):
        if "console" in block.info:
            run(block)
        elif len(block.info) == 2:
            (tmp_path / block.info[1]).write_text(block.text, encoding="utf-8")


@pytest.mark.parametrize(
    ("expected", "said", "holds"),
    [
        ("Added A1.\n", "Added A1.\n", True),
        ("Added A1.\n", "Added A2.\n", False),
        ("Added …\n", "Added A2, navy.\n", True),
        ("one\n…\nfour\n", "one\ntwo\nthree\nfour\n", True),
        ("one\n…\nfour\n", "one\ntwo\n", False),
        ("one\n", "one\ntwo\n", False),
    ],
)
def test_an_answer_is_held_to_what_the_page_says(expected: str, said: str, holds: bool) -> None:
    assert bool(re.fullmatch(pattern(expected), said)) == holds
