"""Bags of scraps on the command line: scraps."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def scraps(
    context: typer.Context,
    code: Annotated[
        str | None,
        typer.Argument(metavar="CODE", help="The bag's code, as on its label.", show_default=False),
    ] = None,
    new: Annotated[
        str | None, typer.Option("--new", metavar="NAME", help="Begin a new bag of this name.")
    ] = None,
    put: Annotated[
        list[str] | None,
        typer.Option(
            "--put",
            metavar="SCRAPS",
            help='Count in: "3 x 2 1/2 in strip", "12 x 3 in square"; an irregular one by the '
            "largest rectangle in it.",
        ),
    ] = None,
    take: Annotated[
        list[str] | None,
        typer.Option("--take", metavar="SCRAPS", help="Count out, in the same words."),
    ] = None,
    crumbs: Annotated[
        str | None,
        typer.Option("--crumbs", metavar="WEIGHT", help="What the rest weighs now: 150 g, 5 oz."),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="PLACE", help="Where the bag lies.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Count scraps into a bag and out of it: strips by width, squares by size, crumbs by weight."""
    from stashkeeper.actions import scraps as bags

    with open_stash(context, stash) as shelf:
        found = bags.scraps(
            shelf, code, new=new, put=put or [], take=take or [], crumbs=crumbs, at=at
        )
    answer(found, as_json, found.sentences)
