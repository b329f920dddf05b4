"""Seeing a quilt first, on the command line: preview."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer

Unit = Annotated[
    str | None, typer.Option("--unit", metavar="SIZE", help="The finished side of a unit: 4 in.")
]
Columns = Annotated[
    int | None, typer.Option("--columns", metavar="N", help="Units across; as in the layout.")
]
Rows = Annotated[
    int | None, typer.Option("--rows", metavar="N", help="Units down; as in the layout.")
]
Turn = Annotated[int | None, typer.Option("--turn", metavar="N", help="Quarter turns, clockwise.")]
Mirror = Annotated[
    bool | None, typer.Option("--mirror", help="Exchange left and right.", show_default=False)
]
Exchange = Annotated[
    list[str] | None,
    typer.Option(
        "--exchange", metavar="ROLE,ROLE", help="Two roles that change places: star,background."
    ),
]
Borders = Annotated[
    list[str] | None,
    typer.Option(
        "--border", metavar="BORDER", help='A border, the innermost first: "frame: 2 in mitred".'
    ),
]


def preview(
    context: typer.Context,
    name: Annotated[
        str,
        typer.Argument(metavar="NAME", help="A project, a traditional layout, or a layout file."),
    ],
    out: Annotated[
        Path, typer.Argument(metavar="OUT", help="The file to draw: a .pdf, .png or .svg.")
    ],
    fabric: Annotated[
        list[str] | None,
        typer.Option("--fabric", metavar="ROLE=CODE", help="Which piece plays a role: star=A7."),
    ] = None,
    instead: Annotated[
        list[str] | None,
        typer.Option(
            "--instead",
            metavar="ROLE=CODE",
            help='Show it beside the first with other fabrics: "star=A7; background=B1".',
        ),
    ] = None,
    outline: Annotated[
        bool, typer.Option("--outline", help="Only the lines, to be coloured by hand.")
    ] = False,
    unit: Unit = None,
    columns: Columns = None,
    rows: Rows = None,
    turn: Turn = None,
    mirror: Mirror = None,
    exchange: Exchange = None,
    border: Borders = None,
    title: Annotated[str, typer.Option("--title", help="What stands at its head.")] = "",
    paper: Annotated[
        str | None, typer.Option("--paper", metavar="PAPER", help="a4 or letter.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """See a quilt before it is sewn: in your fabrics, in colour and in grey, on the value rule."""
    from stashkeeper.actions.layout_preview import preview as draw
    from stashkeeper.actions.preview_words import PreviewWords
    from stashkeeper.actions.project_words import ProjectWords

    making = ProjectWords(
        unit=unit, columns=columns, rows=rows, turn=turn, mirror=mirror,
        exchange=tuple(exchange or ()), borders=tuple(border or ()),
    )  # fmt: skip
    words = PreviewWords(
        name, tuple(fabric or ()), tuple(instead or ()), making, title, paper, outline
    )
    with open_stash(context, stash) as shelf:
        drawn = draw(shelf, out, words)
    answer(drawn, as_json, drawn.sentences)
