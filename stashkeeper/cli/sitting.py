"""A sitting on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Crop, Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def sitting(
    context: typer.Context,
    photo: Annotated[
        Path,
        typer.Argument(
            metavar="PHOTO",
            help="A photo of the same sitting that shows white paper or the reference card.",
        ),
    ],
    crop: Crop = None,
    lightness: Annotated[
        str | None,
        typer.Option(
            "--lightness",
            metavar="L",
            help="L* of what the photo shows, where it is not white paper.",
            show_default=False,
        ),
    ] = None,
    look: Annotated[
        bool, typer.Option("--look", help="Only tell what would come out; keep nothing.")
    ] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Set all photos of a sitting right by one photo of white paper (an experiment)."""
    from stashkeeper.actions import sitting as deeds

    with open_stash(context, stash) as shelf:
        seen = deeds.look_at_sitting(shelf, photo, crop=crop, lightness=lightness)
        done = seen if look else deeds.keep_sitting(shelf, seen)
    answer(done, as_json, done.sentences)
