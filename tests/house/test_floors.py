"""Who may know whom: the floors of DEVELOPERS.md, as contracts the tools can check."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.conftest import Module

FACES = {"cli", "web", "__main__"}
ARITHMETIC = {"errors", "lengths", "cloth", "luminance", "cutting", "quilts", "choosing"}
FACE_LIBRARIES = {"typer", "click", "rich", "fastapi", "starlette"}
KEEPS_OR_TELLS_TIME = {
    "alembic", "asyncio", "logging", "platformdirs", "random", "sched", "shelve", "socket",
    "sqlalchemy", "sqlite3", "sqlmodel", "subprocess", "tempfile", "time", "tomlkit", "urllib",
}  # fmt: skip
LOADED_WHEN_ASKED = {"colour", "pillow_heif", "fpdf", "pypdfium2", "psycopg"}


def imported(tree: ast.AST) -> Iterator[str]:
    """Yield the outermost package of every import anywhere in `tree`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]


def imported_at_once(tree: ast.Module) -> Iterator[str]:
    """Yield the outermost package of every import that runs when the module is loaded."""
    for node in tree.body:
        if isinstance(node, ast.Import | ast.ImportFrom | ast.Try):
            yield from imported(node)


def called(tree: ast.AST) -> Iterator[str]:
    """Yield the plain or dotted name of every call in `tree`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
            yield ast.unparse(node.func)


def test_imports_go_down_the_floors_only(checkout: Path) -> None:
    linter = "from importlinter.cli import lint_imports_command as check; check()"
    run = subprocess.run(
        [sys.executable, "-c", linter, "--no-cache", "--no-logo", "pyproject.toml"],
        cwd=checkout, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout + run.stderr


def test_only_faces_print_or_ask(modules: list[Module]) -> None:
    below = [module for module in modules if module.room not in FACES]
    talk = {"print", "input", "sys.stdout.write", "sys.stderr.write", "getpass.getpass"}
    for module in below:
        assert not talk & set(called(module.tree)), module.name
        assert not FACE_LIBRARIES & set(imported(module.tree)), module.name


def test_a_craft_is_arithmetic(modules: list[Module]) -> None:
    for module in (module for module in modules if module.room in ARITHMETIC):
        assert not KEEPS_OR_TELLS_TIME & set(imported(module.tree)), module.name
        clock = {name for name in called(module.tree) if name.endswith((".now", ".today"))}
        assert not clock, f"{module.name} looks at the clock: {clock}"


def test_only_settings_and_faces_read_the_environment(modules: list[Module]) -> None:
    for module in (module for module in modules if module.room not in FACES | {"settings"}):
        text = ast.unparse(module.tree)
        assert "os.environ" not in text and "os.getenv" not in text, module.name


def test_heavy_libraries_load_only_when_asked(modules: list[Module]) -> None:
    for module in modules:
        heavy = LOADED_WHEN_ASKED & set(imported_at_once(module.tree))
        assert not heavy, f"{module.name} loads {heavy} before anyone asks for it"


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("import colour", {"colour"}),
        ("from fpdf.fonts import FontFace", {"fpdf"}),
        ("def draw():\n    import colour", set()),
        ("try:\n    import psycopg\nexcept ImportError:\n    pass", {"psycopg"}),
    ],
)
def test_the_look_at_imports_sees_what_runs_at_once(line: str, found: set[str]) -> None:
    assert LOADED_WHEN_ASKED & set(imported_at_once(ast.parse(line))) == found
