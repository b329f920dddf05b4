"""Finding on the command line: find."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer

Cuts = Annotated[
    list[str] | None,
    typer.Option(
        "--cut",
        metavar="CUT",
        help='A cut with its count: "3 x 6 1/2 in square"; may be repeated.',
    ),
]


def find(
    context: typer.Context,
    size: Annotated[
        str | None,
        typer.Argument(
            metavar="SIZE",
            help='The size of the cut: "4 1/2 in square", or a set: '
            '"three 6 1/2 in squares and five 1 1/2 in strips". Left out where --cut says all.',
            show_default=False,
        ),
    ] = None,
    words: Words = None,
    count: Annotated[
        int | None,
        typer.Option("--count", metavar="K", help="How many one piece must hold.", min=None),
    ] = None,
    allowance: Annotated[
        str | None,
        typer.Option(
            "--allowance",
            metavar="A",
            help="Take just this off each direction of a piece; 0 takes nothing off at all.",
        ),
    ] = None,
    directional: Annotated[
        bool,
        typer.Option("--directional", help="The cut's length must run along the selvedge."),
    ] = False,
    cut: Cuts = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Find the pieces big enough for a cut, the smallest first."""
    from stashkeeper.actions.finding import find_pieces
    from stashkeeper.cli.show import table

    with open_stash(context, stash) as shelf:
        found = find_pieces(
            shelf, size or "", words or [], count=count, allowance=allowance,
            directional=directional, cuts=cut or [],
        )  # fmt: skip
    rows = found.rows()
    answer(found, as_json, [table(found.headings, rows) if rows else "", *found.sentences])
