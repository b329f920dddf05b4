"""A line-up on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def lineup(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo of fabrics side by side.")],
    codes: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="CODES",
            help="The pieces as they lie, from left to right or from top to bottom; - for one that "
            "is not on the shelf.",
            show_default=False,
        ),
    ] = None,
    lines: Annotated[
        str | None,
        typer.Option(
            "--lines",
            metavar="LINES",
            help="How far across each line is, as fractions, one more than there are fabrics: "
            "0.05 0.3 0.52/0.54 0.9, in quotes; start/end where a line is tilted.",
            show_default=False,
        ),
    ] = None,
    lying: Annotated[
        bool, typer.Option("--lying", help="Those lines lie across the photo, from the top down.")
    ] = False,
    count: Annotated[
        int | None, typer.Option("--count", metavar="N", help="How many fabrics there are.")
    ] = None,
    crop: Annotated[
        str | None,
        typer.Option(
            metavar="L,T,R,B",
            help="The part of the photo in which the fabrics lie, as fractions "
            "left,top,right,bottom.",
            show_default=False,
        ),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture",
            metavar="OUT",
            help="Draw the split over the photo: split.png.",
            show_default=False,
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="The split is right: keep it.")] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Split a photo of fabrics side by side, rank them, and with --yes keep it."""
    from stashkeeper.actions import lineup as deeds
    from stashkeeper.actions.lineup_picture import lineup_picture

    with open_stash(context, stash) as shelf:
        seen = deeds.propose(
            shelf, file, codes or [], lines=lines, lying=lying, count=count, crop=crop
        )
        drawn = lineup_picture(seen, picture) if picture else ()
        kept = deeds.keep(shelf, seen) if yes else None
    told = kept.sentences if kept else (NOTHING if codes else NAMELESS,)
    answer(kept or seen, as_json, (*seen.sentences, *drawn, *told))


NOTHING = "Nothing is on record yet: add --yes to keep it."
NAMELESS = "Nothing is on record yet: to keep it, add the codes as the pieces lie, and --yes."
