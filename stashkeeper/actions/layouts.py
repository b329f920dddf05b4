"""Layouts: the traditional ones, and one of them or a file looked at, checked, changed, copied."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from stashkeeper.actions.layout_source import read_source
from stashkeeper.actions.making import Making, arranged
from stashkeeper.actions.project_words import ProjectWords, read_making
from stashkeeper.cloth.value import Value
from stashkeeper.errors import AlreadyThereError, quoted
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.quilts.layout import LONGEST_SIDE, Layout, roles, unit_counts
from stashkeeper.quilts.layout_file import read_layout, write_layout
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.sewing import whole_number
from stashkeeper.whole_file import write_whole

WIDEST_SHOWN: Final = 40
"""A grid of more columns or rows is not printed, only counted."""


@dataclass(frozen=True, slots=True)
class ListedLayout:
    """A traditional layout in the list.

    Attributes:
        name: by which it is asked for.
        columns, rows: its smallest size.
        grows: how it grows to any size, in the words of a layout file.
        roles: with the value wished for each, in words.
        about: a sentence on it.
    """

    name: str
    columns: int
    rows: int
    grows: str
    roles: tuple[str, ...]
    about: str


@dataclass(frozen=True, slots=True)
class LayoutList:
    """The traditional layouts."""

    layouts: tuple[ListedLayout, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("layout", "units", "grows", "roles")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each layout."""
        return [
            (one.name, f"{one.columns} × {one.rows}", one.grows, ", ".join(one.roles))
            for one in self.layouts
        ]


@dataclass(frozen=True, slots=True)
class LayoutView:
    """A layout looked at.

    Attributes:
        name: what it is called.
        about: a sentence on it; may be empty.
        columns, rows: its size in units of its grid.
        grows: how it grows, in the words of a layout file.
        roles: the value wished for each, by its name with its set; None where any will do.
        units: how many of each kind.
        text: its file; empty where the grid is too large to look at.
        copied: the file it was copied to; None where it was not.
    """

    name: str
    about: str
    columns: int
    rows: int
    grows: str
    roles: Mapping[str, Value | None]
    units: Mapping[str, int]
    text: str
    copied: Path | None = None

    @property
    def sentences(self) -> tuple[str, ...]:
        """The layout in words, and its file."""
        counts = ", ".join(f"{count:,} × {kind}" for kind, count in self.units.items())
        names = ", ".join(_named(role, value) for role, value in self.roles.items())
        return (
            f"{self.name}, {self.columns:,} × {self.rows:,} units",
            self.about,
            f"Units: {counts}.",
            f"Roles: {names}.",
            f"Copied to {self.copied}" if self.copied else f" \n{self.text}" if self.text else "",
        )


def list_all() -> LayoutList:
    """Return the traditional layouts, in alphabetical order."""
    return LayoutList(tuple(_listed(name) for name in layout_names()))


def look(typed: str, words: ProjectWords, copy_to: Path | None = None) -> LayoutView:
    """Return a layout, grown, turned, mirrored and with roles exchanged as wished.

    Args:
        typed: a traditional layout by its name, or a layout file.
        words: columns, rows, turn, mirror and exchange.
        copy_to: a new file to write it to.

    Raises:
        NotFoundError: there is no such layout, or the file cannot be read.
        BadFileError: it holds mistakes; all are told with line and column.
        BadRequestError, BadSizeError: a role, size or turn it cannot have.
        AlreadyThereError: there is a file of that name already.
        CannotWriteError: the file cannot be written.
    """
    layout = changed(read_source(typed.strip()), words)
    if copy_to is not None:
        if copy_to.exists():
            raise AlreadyThereError(
                f"{quoted(str(copy_to))} is there already.", "Give a name that is free."
            )
        write_whole(copy_to, [write_layout(layout).encode("utf-8")])
    return replace(view_of(layout), copied=copy_to)


def changed(text: str, words: ProjectWords) -> Layout:
    """Return the layout of a file's text, grown, turned, mirrored and exchanged as wished.

    Raises:
        BadFileError: it holds mistakes; all are told with line and column.
        BadRequestError, BadSizeError: a role, size or turn it cannot have.
    """
    making = read_making(replace(checked_grid(words), unit="1 in"), None, Measure.INCHES)
    return looked_at(text, making)


def view_of(layout: Layout) -> LayoutView:
    """Return what there is to say of a layout."""
    small = max(layout.columns, layout.rows) <= WIDEST_SHOWN
    return LayoutView(
        layout.name,
        layout.about,
        layout.columns,
        layout.rows,
        str(layout.growth),
        _values(layout),
        {str(kind): count for kind, count in unit_counts(layout).most_common()},
        write_layout(layout) if small else "",
    )


def looked_at(text: str, making: Making | None = None) -> Layout:
    """Return the layout of a file's text, changed as wished.

    Raises:
        BadFileError: it holds mistakes; all are told with line and column.
        BadRequestError, BadSizeError: a role, size or turn it cannot have.
    """
    return arranged(read_layout(text), making or Making(Length.from_inches(1)))


def checked_grid(words: ProjectWords) -> ProjectWords:
    """Return the words if the columns and rows that were typed can be those of a layout.

    Raises:
        BadSizeError: no columns, no rows, or more than a thousand.
    """
    for count, what in ((words.columns, "columns"), (words.rows, "rows")):
        if count is not None:
            whole_number(count, what, 1, LONGEST_SIDE)
    return words


def _listed(name: str) -> ListedLayout:
    layout = traditional_layout(name)
    told = tuple(_named(role, value) for role, value in layout.values)
    return ListedLayout(
        name, layout.columns, layout.rows, str(layout.growth), told, layout.about
    )  # fmt: skip


def _values(layout: Layout) -> dict[str, Value | None]:
    wished = dict(layout.values)
    return {str(role): wished.get(role.name) for role in roles(layout)}


def _named(role: str, value: Value | None) -> str:
    return role if value is None or str(value) == role else f"{role} ({value})"
