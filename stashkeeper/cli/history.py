"""Looking back on the command line: history and undo."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def history(
    context: typer.Context,
    code: Annotated[
        str | None,
        typer.Argument(
            metavar="CODE",
            help="The piece's code, as on its label; the whole stash of late when left out.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Tell all that happened to a piece and its fabric, or of late to the whole stash."""
    from stashkeeper.actions import history as deeds

    with open_stash(context, stash) as shelf:
        told = deeds.history(shelf, code)
    answer(told, as_json, told.sentences)


def undo(
    context: typer.Context,
    number: Annotated[
        int | None,
        typer.Argument(
            metavar="NUMBER",
            help="The deed of this number in `history`; the last one when left out.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Take back the last deed, or the one with a number."""
    from stashkeeper.actions import history as deeds

    with open_stash(context, stash) as shelf:
        undone = deeds.undo(shelf, number)
    answer(undone, as_json, undone.sentences)
