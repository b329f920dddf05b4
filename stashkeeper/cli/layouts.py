"""Layouts on the command line: layouts, layout."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.layout_preview import Columns, Exchange, Mirror, Rows, Turn
from stashkeeper.cli.options import Json
from stashkeeper.cli.show import answer


def layouts(as_json: Json = False) -> None:
    """List the traditional layouts: their size in units, how they grow, and their roles."""
    from stashkeeper.actions.layouts import list_all
    from stashkeeper.cli.show import table

    found = list_all()
    answer(found, as_json, [table(found.headings, found.rows())])


def layout(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="A traditional layout, or a layout file.")
    ],
    columns: Columns = None,
    rows: Rows = None,
    turn: Turn = None,
    mirror: Mirror = None,
    exchange: Exchange = None,
    copy_to: Annotated[
        Path | None,
        typer.Option("--copy-to", metavar="FILE", help="Write it to a new file, to change it."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Look at a layout or check a layout file: its units by kind, its roles, its text."""
    from stashkeeper.actions.layouts import look
    from stashkeeper.actions.project_words import ProjectWords

    words = ProjectWords(
        columns=columns, rows=rows, turn=turn, mirror=mirror, exchange=tuple(exchange or ())
    )
    seen = look(name, words, copy_to)
    answer(seen, as_json, seen.sentences)
