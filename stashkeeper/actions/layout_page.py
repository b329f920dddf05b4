"""Layouts as pages show them: drawn in the greys of their roles, looked at, checked, changed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.layouts import LayoutView, changed, view_of
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.quilt_subject import WISHED
from stashkeeper.cloth.value import Value
from stashkeeper.errors import (
    BadFileError,
    BadRequestError,
    BadSizeError,
    Mistake,
    StashkeeperError,
    quoted,
)
from stashkeeper.pictures.layout_drawing import LayoutDrawing, draw_layout
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Growth, Layout, Role, roles
from stashkeeper.quilts.layout_file import write_layout
from stashkeeper.quilts.layout_library import layout_names, layout_text, traditional_layout

MOST_LOOKED_AT: Final = 500
"""A page looks at no more columns or rows (ours): larger grids take too long."""

MOST_DRAWN: Final = 10_000
"""A grid of more cells is counted, and not drawn on a page (ours)."""

IN_THE_LIST: Final = 8
"""So many columns and rows show a pattern in the list (ours)."""

ANY: Final = 53.0
"""The lightness of a role for which any value will do (ours)."""

_COLUMN: Final = re.compile(r"column (\d+): ")


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """A traditional layout in the list: its name, its title, and a small drawing."""

    name: str
    title: str
    drawing: LayoutDrawing


@dataclass(frozen=True, slots=True)
class LayoutPage:
    """A layout looked at on a page.

    Attributes:
        view: what there is to say of it.
        drawing: None where the grid is too large to draw.
        pairs: the roles that can change places, as they are typed and as they are shown.
        text: its file as it is now; empty where the grid is too large to look at.
    """

    view: LayoutView
    drawing: LayoutDrawing | None
    pairs: tuple[tuple[str, str], ...]
    text: str


@dataclass(frozen=True, slots=True)
class ShownMistake:
    """A mistake of a layout file with the line it is in, parted before and behind the sign."""

    where: str
    text: str
    before: str
    sign: str
    behind: str


def listed() -> tuple[Thumbnail, ...]:
    """Return the traditional layouts with small drawings, in alphabetical order."""
    return tuple(_thumbnail(name) for name in layout_names())


def known_name(name: str) -> str:
    """Return the name of a traditional layout as it is written.

    Raises:
        NotFoundError: there is none of this name.
    """
    layout_text(name)
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())


def layout_page(text: str, words: ProjectWords) -> LayoutPage:
    """Return a layout for a page.

    Args:
        text: of its file.
        words: columns, rows, turn, mirror and exchange.

    Raises:
        BadFileError: it holds mistakes; all are told with line and column.
        BadRequestError, BadSizeError: a role, size or turn it cannot have.
    """
    for count in (words.columns, words.rows):
        if count is not None and count > MOST_LOOKED_AT:
            raise BadSizeError(
                f"{count:,} units in a row are too many for a page.",
                f"Give up to {MOST_LOOKED_AT}, or use the command line.",
            )
    block = changed(text, replace(words, columns=None, rows=None, turn=0, exchange=()))
    layout = changed(text, words)
    small = layout.columns * layout.rows <= MOST_DRAWN
    view = view_of(layout)
    return LayoutPage(
        view,
        draw_layout(layout, greys(layout)) if small else None,
        _pairs(block),
        view.text or (write_layout(layout) if small else ""),
    )


def field_of_layout(error: StashkeeperError, typed: Mapping[str, str]) -> str:
    """Return the field that an error of a changed layout is about; empty for none of them."""
    words = {name: typed.get(name, "") for name in ("columns", "rows", "turn", "exchange")}
    other = "exchange" if words["exchange"].strip() and "role" in error.problem else ""
    return field_about(error, words, ("columns", "rows")) or other


def shown_mistakes(text: str, error: BadFileError) -> tuple[ShownMistake, ...]:
    """Return the mistakes of a layout file, each with its line."""
    lines = ["", *text.removeprefix("\ufeff").splitlines()]
    return tuple(_mistake(one, lines) for one in error.mistakes)


def typed_count(typed: str, what: str) -> int | None:
    """Return a number of columns or rows as typed; None where nothing was.

    Raises:
        BadSizeError: it is no whole number.
    """
    words = typed.strip()
    if not words:
        return None
    if not (words.isascii() and words.isdigit() and len(words) <= 9):
        raise BadSizeError(f"{quoted(words)} is no number of {what}.", "Type a whole number.")
    return int(words)


def greys(layout: Layout) -> dict[Role, float]:
    """Return the lightness that stands for each role: by its wished value, no two quite alike."""
    wished = dict(layout.values)
    alike: dict[Value | None, list[str]] = {}
    for role in roles(layout):
        names = alike.setdefault(wished.get(role.name), [])
        if role.name not in names:
            names.append(role.name)
    found = {}
    for role in roles(layout):
        value = wished.get(role.name)
        names = alike[value]
        step = min(10.0, 30.0 / len(names))
        middle = WISHED[value] if value is not None else ANY
        beside = (names.index(role.name) - (len(names) - 1) / 2) * step
        in_set = 0.0 if role.set_number is None else (role.set_number % 3 - 1) * 5.0
        found[role] = middle + beside + in_set
    return found


@cache
def _thumbnail(name: str) -> Thumbnail:
    layout = traditional_layout(name)
    if layout.growth is Growth.REPEAT:
        across = max(2, IN_THE_LIST // layout.columns)
        down = max(2, IN_THE_LIST // layout.rows)
        shown = grown(layout, layout.columns * across, layout.rows * down)
    elif layout.growth is Growth.ENLARGE:
        shown = layout
    else:
        shown = grown(layout, IN_THE_LIST, IN_THE_LIST)
    return Thumbnail(name, layout.name, draw_layout(shown, greys(shown)))


def _pairs(block: Layout) -> tuple[tuple[str, str], ...]:
    names = list(dict.fromkeys(role.name for role in roles(block)))
    return tuple(
        (f"{one},{other}", f"{one} and {other}")
        for at, one in enumerate(names)
        for other in names[at + 1 :]
    )


def _mistake(mistake: Mistake, lines: list[str]) -> ShownMistake:
    line = lines[mistake.line] if 0 < mistake.line < len(lines) else ""
    found = _COLUMN.match(mistake.text)
    at = int(found[1]) - 1 if found else len(line)
    text = mistake.text[found.end() :] if found else mistake.text
    where = f"Line {mistake.line}" + (f", column {at + 1}" if found else "")
    return ShownMistake(
        where if mistake.line else "",
        text[:1].upper() + text[1:],
        line[:at],
        line[at : at + 1] if line else "",
        line[at + 1 :],
    )


def typed_words(typed: Mapping[str, str]) -> ProjectWords:
    """Return what becomes of a layout from the fields of a page.

    Raises:
        BadRequestError, BadSizeError: a field cannot be read.
    """
    turn = typed.get("turn", "").strip() or "0"
    if turn not in {"0", "1", "2", "3"}:
        raise BadRequestError(f"{quoted(turn)} is no number of quarter turns.", "Give 0 to 3.")
    exchange = typed.get("exchange", "").strip()
    return ProjectWords(
        columns=typed_count(typed.get("columns", ""), "columns"),
        rows=typed_count(typed.get("rows", ""), "rows"),
        turn=int(turn),
        mirror=bool(typed.get("mirror", "").strip()),
        exchange=(exchange,) if exchange else (),
    )
