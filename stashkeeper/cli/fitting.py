"""Size to fit on the command line: fit bed, fit cloth, fit border."""

from typing import Annotated

import typer

from stashkeeper.cli.layout_preview import Borders, Columns, Rows, Unit
from stashkeeper.cli.options import Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer, table

fit = typer.Typer(no_args_is_help=True, rich_markup_mode="rich")

Name = Annotated[
    str, typer.Argument(metavar="NAME", help="A project, a traditional layout, or a layout file.")
]


@fit.callback()
def start(context: typer.Context, stash: StashFolder = None) -> None:
    """Fit a quilt to a bed or to its cloth, or piece a border from off-cuts."""
    context.obj = stash or context.obj


@fit.command("bed")
def bed(
    context: typer.Context,
    name: Name,
    wanted: Annotated[
        str,
        typer.Argument(metavar="BED", help="A bed such as queen, or a finished size: 84 x 92."),
    ],
    drop: Annotated[
        str | None,
        typer.Option("--drop", metavar="LENGTH", help="How far it hangs down; 0 for not at all."),
    ] = None,
    foot: Annotated[
        bool, typer.Option("--foot/--no-foot", help="Whether it hangs down at the foot.")
    ] = True,
    border: Annotated[
        str | None,
        typer.Option("--border", metavar="LENGTH", help="A border of this width all around."),
    ] = None,
    unit: Unit = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """How many units, and which borders, cover a bed."""
    from stashkeeper.actions.fitting_bed import fit_bed
    from stashkeeper.actions.preview_words import PreviewWords
    from stashkeeper.actions.project_words import ProjectWords

    words = PreviewWords(name, making=ProjectWords(unit=unit))
    with open_stash(context, stash) as shelf:
        fitted = fit_bed(shelf, words, wanted, drop, border, foot)
    answer(fitted, as_json, fitted.sentences)


@fit.command("cloth")
def cloth(
    context: typer.Context,
    name: Name,
    fabric: Annotated[
        list[str] | None,
        typer.Option("--fabric", metavar="ROLE=CODE", help="Which piece plays a role: star=A7."),
    ] = None,
    columns: Columns = None,
    rows: Rows = None,
    border: Borders = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """The largest unit that the chosen pieces allow."""
    from stashkeeper.actions.fitting_cloth import fit_cloth
    from stashkeeper.actions.preview_words import PreviewWords
    from stashkeeper.actions.project_words import ProjectWords
    from stashkeeper.cli.stopping import asked_to_stop, told_meanwhile

    making = ProjectWords(columns=columns, rows=rows, borders=tuple(border or ()))
    words = PreviewWords(name, tuple(fabric or ()), making=making)
    with (
        open_stash(context, stash) as shelf,
        asked_to_stop() as stop,
        told_meanwhile("Looking for the largest unit", as_json) as tell,
    ):
        fitted = fit_cloth(shelf, words, stop=stop, progress=tell)
    answer(fitted, as_json, fitted.sentences)


@fit.command("border", context_settings={"ignore_unknown_options": True})
def border(
    context: typer.Context,
    around: Annotated[
        str, typer.Argument(metavar="NAME", help="A project or layout, or a size: 60 x 72.")
    ],
    words: Words = None,
    widest: Annotated[
        str | None, typer.Option("--widest", metavar="LENGTH", help="No wider than this.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """The widest border pieced from off-cuts, from which strips, and the new size."""
    from stashkeeper.actions.fitting_border import fit_border

    with open_stash(context, stash) as shelf:
        fitted = fit_border(shelf, around, words or [], widest)
    answer(fitted, as_json, [table(fitted.headings, fitted.rows()), *fitted.sentences])
