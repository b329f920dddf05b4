"""Photos on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Code, Crop, Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def photo(
    context: typer.Context,
    code: Code,
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="Photos of the fabric.")],
    crop: Crop = None,
    back: Annotated[bool, typer.Option("--back", help="They show the wrong side.")] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Measure more photos of a piece's fabric; the surest reading counts, then the newest."""
    from stashkeeper.actions import photos

    with open_stash(context, stash) as shelf:
        measured = photos.photo(shelf, code, files, crop=crop, back=back)
    answer(measured.piece, as_json, measured.sentences)


def region(
    context: typer.Context,
    code: Code,
    crop: Annotated[
        str,
        typer.Argument(
            metavar="L,T,R,B",
            help="The part of the photo that is cloth, as fractions left,top,right,bottom.",
        ),
    ],
    photo: Annotated[
        str | None,
        typer.Option("--photo", "-p", metavar="NAME", help="Which photo, where there are several."),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Measure another part of a photo on record, in place of the part measured before."""
    from stashkeeper.actions import region as deeds

    with open_stash(context, stash) as shelf:
        measured = deeds.region(shelf, code, crop, photo=photo)
    answer(measured.piece, as_json, measured.sentences)
