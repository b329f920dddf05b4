"""Help comes at once: asking for it loads nothing heavy."""

import json
import subprocess
import sys

import pytest

# Not pydantic: typer itself may load it to read the words of a command.
HEAVY = {
    "sqlmodel", "sqlalchemy", "alembic", "numpy", "PIL", "pillow_heif", "colour",
    "scipy", "fpdf", "pypdfium2", "psycopg", "tomlkit",
}  # fmt: skip

ASK_FOR_HELP = """
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
        [sys.executable, "-c", ASK_FOR_HELP, json.dumps(words)],
        capture_output=True, text=True, check=True, encoding="utf-8",
    )  # fmt: skip
    told = json.loads(run.stdout)
    return told["said"], {name.split(".")[0] for name in told["loaded"]}


@pytest.mark.parametrize("words", [["--help"], ["add", "--help"], ["sort", "--help"]])
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    said, loaded = loaded_by(*words)
    assert "Usage" in said
    assert loaded & HEAVY == set()
