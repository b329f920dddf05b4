"""Looking back on the command line: history and undo."""

import typer

from stashkeeper.cli.options import Code, Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def history(
    context: typer.Context, code: Code, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Tell all that happened to a piece and its fabric."""
    from stashkeeper.actions import history as deeds

    with open_stash(context, stash) as shelf:
        told = deeds.history(shelf, code)
    answer(told, as_json, told.sentences)


def undo(context: typer.Context, as_json: Json = False, stash: StashFolder = None) -> None:
    """Take back the last deed."""
    from stashkeeper.actions import history as deeds

    with open_stash(context, stash) as shelf:
        undone = deeds.undo(shelf)
    answer(undone, as_json, undone.sentences)
