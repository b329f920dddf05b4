"""Folder intake on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.pieces import Place, Tags
from stashkeeper.cli.progress import progress_bar
from stashkeeper.cli.show import answer


def intake(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder of photos.")],
    sizes: Annotated[
        Path | None,
        typer.Option(
            "--sizes",
            metavar="CSV",
            help="A list with the columns photo and size, and if you like name, place, tags, crop.",
        ),
    ] = None,
    size: Annotated[
        str | None,
        typer.Option(
            "--size", "-s", metavar="SIZE", help="The size of those that have none of their own."
        ),
    ] = None,
    at: Place = None,
    tag: Tags = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Log a whole folder of photos, a piece each; stopped and started again, it goes on."""
    from stashkeeper.actions import intake as deeds

    with open_stash(context, stash) as shelf, progress_bar("Measuring", hidden=as_json) as report:
        taken = deeds.intake(
            shelf, folder, sizes=sizes, size=size, at=at, tags=tag or [], report=report
        )
    answer(taken, as_json, taken.sentences)
