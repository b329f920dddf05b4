"""A fabric beside the reference card, a chart or paper, on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Code, Crop, Json, StashFolder, open_stash
from stashkeeper.cli.show import answer

CORNERS = "x,y four times, as fractions of the upright photo, in quotes."


def reference(
    context: typer.Context,
    code: Code,
    file: Annotated[Path, typer.Argument(metavar="PHOTO", help="Cloth and card in one photo.")],
    crop: Crop = None,
    cloth: Annotated[
        str | None,
        typer.Option(
            "--cloth",
            metavar="CORNERS",
            help=f"The corners of the piece, where they are not found: {CORNERS}",
            show_default=False,
        ),
    ] = None,
    chart: Annotated[
        str | None,
        typer.Option(
            "--chart",
            metavar="CORNERS",
            help=f"The corners of a chart of 24 patches in place of the card: {CORNERS}",
            show_default=False,
        ),
    ] = None,
    paper: Annotated[
        str | None,
        typer.Option(
            "--paper",
            metavar="L,T,R,B",
            help="The part that is white paper or a grey card, for want of better: weak.",
            show_default=False,
        ),
    ] = None,
    lightness: Annotated[
        str | None,
        typer.Option(
            "--paper-lightness",
            metavar="L",
            help="L* of what --paper shows, where it is not white paper (94).",
            show_default=False,
        ),
    ] = None,
    keep_size: Annotated[
        bool, typer.Option("--keep-size", help="Write down the size that the photo shows.")
    ] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Measure a fabric beside the reference card, a chart of 24 patches, or plain paper."""
    from stashkeeper.actions import reference as deeds

    with open_stash(context, stash) as shelf:
        seen = deeds.look_beside(
            shelf, file, crop=crop, cloth=cloth, chart=chart, paper=paper, lightness=lightness
        )
        done = deeds.keep_beside(shelf, code, seen, keep_size=keep_size)
        size = "" if keep_size else deeds.offered_size(shelf, seen)
    offer = f"It seems to be about {size}; add --keep-size to write that down." if size else ""
    answer(done.piece, as_json, (*done.sentences, offer))
