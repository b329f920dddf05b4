"""The traditional layouts that come with the program, drawn by us from their geometry."""

from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from stashkeeper.errors import NotFoundError, quoted
from stashkeeper.quilts.layout import Layout
from stashkeeper.quilts.layout_file import read_layout
from stashkeeper.quilts.unit_words import nearest


@cache
def layout_names() -> tuple[str, ...]:
    """Return the names of the traditional layouts, in alphabetical order."""
    names = (entry.name for entry in _folder().iterdir() if entry.name.endswith(".txt"))
    return tuple(sorted(name.removesuffix(".txt").replace("_", " ") for name in names))


@cache
def traditional_layout(name: str) -> Layout:
    """Return the traditional layout that goes by this name, whatever its capitals.

    Raises:
        NotFoundError: no layout has this name.
    """
    return read_layout(layout_text(name), name)


def layout_text(name: str) -> str:
    """Return the text of the file of a traditional layout, to copy and change.

    Raises:
        NotFoundError: no layout has this name.
    """
    file = f"{layout_called(name).replace(' ', '_')}.txt"
    return _folder().joinpath(file).read_text(encoding="utf-8")


def layout_called(name: str) -> str:
    """Return the name of a traditional layout as `layout_names` has it.

    Raises:
        NotFoundError: no layout has this name.
    """
    wanted = " ".join(name.casefold().replace("_", " ").replace("-", " ").split())
    if wanted not in layout_names():
        hint = nearest(wanted, layout_names())
        raise NotFoundError(f"No layout is called {quoted(name)}.", hint)
    return wanted


def _folder() -> Traversable:
    return files("stashkeeper.quilts").joinpath("layouts")
