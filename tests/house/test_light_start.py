"""Help comes at once, a list soon: nothing heavy is loaded before it is needed."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

# Not pydantic: typer itself may load it to read the words of a command.
HEAVY = {
    "sqlmodel", "sqlalchemy", "alembic", "numpy", "PIL", "pillow_heif", "colour",
    "scipy", "fpdf", "pypdfium2", "psycopg", "tomlkit", "fastapi", "starlette", "jinja2", "uvicorn",
    "segno", "fontTools",
}  # fmt: skip
HEAVIEST = {"pillow_heif", "colour", "scipy", "fpdf", "pypdfium2", "alembic"}

RUN = """
import contextlib, io, json, sys
sys.argv = ["stashkeeper", *json.loads(sys.argv[1])]
from stashkeeper.__main__ import main
said = io.StringIO()
with contextlib.redirect_stdout(said), contextlib.suppress(SystemExit):
    main()
print(json.dumps({"said": said.getvalue(), "loaded": sorted(sys.modules)}))
"""


def loaded_by(*words: str) -> tuple[str, set[str]]:
    """Return what the command with these `words` says, and the outermost modules it loads."""
    run = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(words)],
        capture_output=True, text=True, check=True, encoding="utf-8",
    )  # fmt: skip
    told = json.loads(run.stdout)
    return told["said"], {name.split(".")[0] for name in told["loaded"]}


@pytest.mark.parametrize(
    "words", [["--help"], ["add", "--help"], ["sort", "--help"], ["serve", "--help"]]
)
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    said, loaded = loaded_by(*words)
    assert "Usage" in said
    assert loaded & HEAVY == set()


def test_a_list_loads_nothing_it_does_not_need(tmp_path: Path) -> None:
    loaded_by("--stash", str(tmp_path), "add", "Sage", "--size", "18 x 21")
    said, loaded = loaded_by("--stash", str(tmp_path), "list")
    assert "Sage" in said
    assert loaded & HEAVIEST == set()
