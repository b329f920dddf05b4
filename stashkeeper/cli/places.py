"""Places on the command line."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def places(
    context: typer.Context,
    place: Annotated[
        str | None, typer.Argument(metavar="PLACE", help='One place: "Shelf 2 / Blue box".')
    ] = None,
    make: Annotated[bool, typer.Option("--make", help="Make it: it is new.")] = False,
    rename: Annotated[
        str | None, typer.Option("--rename", metavar="NAME", help="Give it another name.")
    ] = None,
    into: Annotated[
        str | None,
        typer.Option("--into", metavar="PLACE", help="Move it, and all in it, into another place."),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """List the places and how many pieces lie in each; make, rename or move one."""
    from stashkeeper.actions import places as deeds

    with open_stash(context, stash) as shelf:
        known = deeds.places(shelf, place, make=make, rename=rename, into=into)
    answer(known, as_json, known.sentences)
