"""Choosing on the command line: choose, seams, replace."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer, table

ProjectOption = Annotated[
    str, typer.Option("--project", "-p", metavar="PROJECT", help="The project it is for.")
]
Name = Annotated[str, typer.Argument(metavar="PROJECT", help="What the project is called.")]


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


def seams(
    context: typer.Context, name: Name, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Judge every seam of a project: do its fabrics stay apart wherever they meet?"""
    from stashkeeper.actions.seams import seams as judged

    with open_stash(context, stash) as shelf:
        found = judged(shelf, name)
    rows = found.rows()
    answer(found, as_json, [table(found.headings, rows) if rows else "", " ", *found.sentences])


def replace(
    context: typer.Context,
    name: Name,
    old: Annotated[str, typer.Argument(metavar="OLD", help="A piece of the fabric that goes.")],
    new: Annotated[
        str, typer.Argument(metavar="NEW", help="The piece that comes; B2,B3 for two of it.")
    ],
    role: Annotated[str, typer.Option("--role", metavar="ROLE", help="Only in this role.")] = "",
    yes: Annotated[bool, typer.Option("--yes", help="Do it; else it is only shown.")] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Replace one fabric of a project: shows what changes at every seam, and does it with --yes."""
    from stashkeeper.actions.replacing import replace_fabric

    with open_stash(context, stash) as shelf:
        done = replace_fabric(shelf, name, old, new, role=role, keep=yes)
    answer(done, as_json, done.sentences)
