"""A terminal on a stash of its own: words typed, what comes back, and what became of the stash."""

import hashlib
import json
import os
import shlex
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from stashkeeper.cli.app import app

FLAGS = {"squared", "raw", "washed", "unwashed", "about", "nominal"}
"""Columns of a table that are options without a value."""


@dataclass(frozen=True)
class Answer:
    """What came back: the exit status, the words on the answer and on the error stream."""

    status: int
    words: str
    errors: str

    @property
    def lines(self) -> list[str]:
        """The answer's lines, without blanks around them; empty ones left out."""
        return [line.strip() for line in self.words.splitlines() if line.strip()]


class Terminal:
    """Types commands as a person does. The stash lies in `home`."""

    def __init__(self, home: Path) -> None:
        self.home = home

    def __call__(self, line: str, *words: str | Path) -> str:
        """Type a command that works, `words` as they stand after it; return what it says."""
        answer = self.type(line, *words)
        assert answer.status == 0, f"{line}: {answer}"
        return answer.words

    def json(self, line: str, *words: str | Path) -> Any:
        """Type a command with --json and return what it says, read."""
        command, _, rest = line.partition(" ")
        return json.loads(self(f"{command} --json {rest}", *words))

    def refused(self, line: str, *words: str | Path) -> str:
        """Type a command that is refused: a sentence on what is wrong, one on what to do next.

        Nothing of the stash may have changed, and no half file may be left behind.
        """
        before = self.all_of_it()
        answer = self.type(line, *words)
        assert answer.status == 1, f"{line}: {answer}"
        assert answer.words == ""
        said = answer.errors.rstrip("\n").split("\n")
        assert len(said) >= 2, said
        for sentence in (said[0], said[-1]):
            assert sentence.endswith((".", "?", "`", '"', "C1")) or ":" in sentence, sentence
        assert "Traceback" not in answer.errors
        assert self.all_of_it() == before, "something changed although it was refused"
        return answer.errors

    def type(self, line: str, *words: str | Path) -> Answer:
        """Type a command and return whatever comes back."""
        result = CliRunner().invoke(app, [*shlex.split(line), *map(str, words)])
        assert isinstance(result.exception, SystemExit | None), result.exception
        return Answer(result.exit_code, result.stdout, result.stderr)

    def codes(self, search: str = "") -> list[str]:
        """Return the codes that a search finds."""
        return [piece["code"] for piece in self.json(f"list {search}")["pieces"]]

    def fill(self, table: str) -> None:
        """Add a piece for each row of a table in a docstring; its headings are options of `add`."""
        for row in rows_of(table):
            words = [row.pop("name")] if row.get("name") else []
            row.setdefault("size", "fat quarter")
            for option, cell in row.items():
                if option in FLAGS:
                    words += [f"--{option}"] if cell else []
                else:
                    parts = cell.split(",") if option == "tag" else [cell]
                    words += [word for part in parts if part for word in (f"--{option}", part)]
            self("add", *words)

    def all_of_it(self) -> tuple[str, tuple[str, ...]]:
        """Return all that the stash holds: its rows, in short, and its files by name."""
        file = self.home / "stash.db"
        rows = ""
        if file.exists():
            # In a read-only place only `immutable` opens it; nothing else is at work then.
            mode = "rw" if os.access(self.home, os.W_OK) else "ro&immutable=1"
            with closing(sqlite3.connect(f"file:{file}?mode={mode}", uri=True)) as database:
                rows = hashlib.sha256("\n".join(database.iterdump()).encode()).hexdigest()
        kept = self.home / "photos"
        return rows, tuple(sorted(str(path) for path in kept.rglob("*") if path.is_file()))


def rows_of(docstring: str) -> Iterator[dict[str, str]]:
    r"""Yield the rows of the table in a docstring: cells between bars, headings first.

    >>> list(rows_of("| name | size |\n| Moss | half yard |"))
    [{'name': 'Moss', 'size': 'half yard'}]
    """
    lines = [line.strip() for line in docstring.splitlines() if line.strip().startswith("|")]
    table = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    for cells in table[1:]:
        yield dict(zip(table[0], cells, strict=True))
