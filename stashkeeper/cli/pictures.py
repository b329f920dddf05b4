"""Pictures on the command line: the sheet."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import By, Grouping, Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer


def sheet(
    context: typer.Context,
    out: Annotated[
        Path, typer.Argument(metavar="OUT", help="The file to draw: sheet.pdf or sheet.png.")
    ],
    words: Words = None,
    by: Grouping = By.BANDS,
    title: Annotated[str | None, typer.Option("--title", help="What stands at its head.")] = None,
    paper: Annotated[
        str | None, typer.Option("--paper", metavar="PAPER", help="a4 or letter.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Draw the sheet: every piece on the value rule, in colour and in grey, to pin up."""
    from stashkeeper.actions import pictures

    with open_stash(context, stash) as shelf:
        drawn = pictures.sheet(shelf, out, words or [], by=by.value, title=title, paper=paper)
    answer(drawn, as_json, drawn.sentences)
