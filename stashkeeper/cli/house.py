"""The house on the command line: settings, and bringing a shared database up to date."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder
from stashkeeper.cli.show import answer


def settings(
    context: typer.Context,
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="The setting, such as measure.")
    ] = None,
    value: Annotated[
        str | None, typer.Argument(metavar="VALUE", help="Its new value, such as centimetres.")
    ] = None,
    reset: Annotated[
        bool, typer.Option("--reset", help="Go back to what it was at first.")
    ] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Show your settings, or change one: inches or centimetres, allowances, paper."""
    import os

    from stashkeeper.actions import house

    known = house.settings(stash or context.obj, os.environ, name, value, reset=reset)
    answer(known, as_json, known.sentences)


def migrate(context: typer.Context, as_json: Json = False, stash: StashFolder = None) -> None:
    """Bring a shared database up to this version (a stash in a folder does it by itself)."""
    import os

    from stashkeeper.actions import house

    done = house.migrate(stash or context.obj, os.environ)
    answer(done, as_json, done.sentences)
