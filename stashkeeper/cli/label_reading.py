"""A label read from a photo, on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def read_label(
    context: typer.Context,
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo with a label in it.")],
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Read the label in a photo, and show the piece it belongs to."""
    from stashkeeper.actions import label_reading

    with open_stash(context, stash) as shelf:
        read = label_reading.read_label(shelf, photo)
    answer(read, as_json, read.sentences)
