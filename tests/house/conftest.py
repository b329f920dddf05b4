"""The house as it stands: its tracked files, and its modules read as syntax trees."""

import ast
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = CHECKOUT / "stashkeeper"


@dataclass(frozen=True)
class Module:
    """One module: its name below the checkout, its lines, its syntax tree."""

    name: str
    lines: tuple[str, ...]
    tree: ast.Module

    @property
    def room(self) -> str:
        """The room it is in: the folder below stashkeeper/, or the name of a lone file."""
        return Path(self.name).parts[1].removesuffix(".py")


def read_module(path: Path) -> Module:
    """Return the module in the file `path`."""
    text = path.read_text(encoding="utf-8")
    return Module(path.relative_to(CHECKOUT).as_posix(), tuple(text.splitlines()), ast.parse(text))


@pytest.fixture(scope="session")
def checkout() -> Path:
    """Return the folder that holds the project."""
    return CHECKOUT


@pytest.fixture(scope="session")
def modules() -> list[Module]:
    """Return every module of the program, by name."""
    return [read_module(path) for path in sorted(PACKAGE.rglob("*.py"))]


@pytest.fixture(scope="session")
def tracked() -> list[Path]:
    """Return every file under version control; skip in a copy without its history."""
    if not (CHECKOUT / ".git").exists():
        pytest.skip("this copy of the project is no git checkout, so there is nothing to list")
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=CHECKOUT, capture_output=True, check=True, text=True
    )
    names = [name for name in listed.stdout.split("\0") if name]
    return [CHECKOUT / name for name in names if (CHECKOUT / name).is_file()]
