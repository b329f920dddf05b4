"""Choosing on the command line: choose."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer

ProjectOption = Annotated[
    str, typer.Option("--project", "-p", metavar="PROJECT", help="The project it is for.")
]


def choose(
    context: typer.Context,
    words: Words = None,
    project: ProjectOption = "",
    need: Annotated[
        list[str] | None,
        typer.Option(
            "--need",
            "-n",
            metavar="NEED",
            help='What a role needs: "light: 4, each 10 x 6 1/2 in square" (four fabrics that '
            'give ten squares each), or "sky dark: 20 x 4 1/2 in square" (as many as it takes); '
            "may be repeated.",
        ),
    ] = None,
    sets: Annotated[
        int,
        typer.Option("--sets", metavar="N", min=0, help="So many sets, each of one colour family."),
    ] = 0,
    further: Annotated[
        list[str] | None,
        typer.Option("--further", metavar="NEED", help="A need outside the sets; repeatable."),
    ] = None,
    keep: Annotated[
        list[str] | None,
        typer.Option(
            "--keep", metavar="CODES", help='Pieces that must be in it: A7,B2 or "A7 for star".'
        ),
    ] = None,
    leave_out: Annotated[
        list[str] | None,
        typer.Option("--leave-out", metavar="CODES", help="Pieces whose fabrics must not be."),
    ] = None,
    free: Annotated[
        bool, typer.Option("--free", help="Leave out what other projects reserve.")
    ] = False,
    take: Annotated[
        int | None,
        typer.Option("--take", metavar="N", help="Keep this choice in the project."),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Choose fabrics whose values stay apart: for a project, or for needs typed.

    stashkeeper choose --project Harbour --take 1

    stashkeeper choose --sets 3 --need "light: 1, each 10 x 5 in square" --need "dark: 1"
    """
    from stashkeeper.actions.choose import ChooseWords, choose_fabrics

    asked = ChooseWords(
        project, need or (), sets, further or (), keep or (), leave_out or (), words or (), free
    )
    with open_stash(context, stash) as shelf:
        found = choose_fabrics(shelf, asked, take)
    answer(found, as_json, found.sentences)
