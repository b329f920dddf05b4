"""Cutting on the command line: plan, plans, show-plan, steps, diagram, cut."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Code, Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer

Number = Annotated[int, typer.Argument(metavar="PLAN", help="The number of the plan.")]


def plan(
    context: typer.Context,
    words: Words = None,
    cut: Annotated[
        list[str] | None,
        typer.Option(
            "--cut",
            "-c",
            metavar="CUT",
            help='What you need: "12 x 4 1/2 in square from value:dark directional"; '
            "may be repeated.",
        ),
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option("--file", "-f", metavar="FILE", help="A text file with one cut on each line."),
    ] = None,
    project: Annotated[
        str,
        typer.Option(
            "--project",
            "-p",
            metavar="PROJECT",
            help="The parts of this project, each from the pieces chosen for its role.",
        ),
    ] = "",
    spare: Annotated[
        int | None,
        typer.Option(
            "--spare", metavar="N", min=0, help="One spare for every N; 0 for none. Else as set."
        ),
    ] = None,
    seconds: Annotated[
        float | None,
        typer.Option("--seconds", metavar="S", min=0.1, max=600, help="How long to search."),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Plan the cutting, two ways: scraps first, and least cloth; nothing is cut by it."""
    from stashkeeper.actions.cutting import plan_pieces
    from stashkeeper.cli.show import table
    from stashkeeper.cli.stopping import asked_to_stop, told_meanwhile

    with (
        open_stash(context, stash) as shelf,
        asked_to_stop() as stop,
        told_meanwhile("Looking for a plan", as_json) as tell,
    ):
        made = plan_pieces(
            shelf, words or [], cuts=cut or [], file=file, project=project, spare=spare,
            seconds=seconds, stop=stop, progress=lambda found: tell(found.words),
        )  # fmt: skip
    answer(made, as_json, [table(made.headings, made.rows()), *made.sentences])


def stack(
    context: typer.Context,
    words: Words = None,
    cut: Annotated[
        list[str] | None,
        typer.Option(
            "--cut", "-c", metavar="CUT", help='What each gives: "4 x 5 in square"; repeatable.'
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Plan the same cuts from every piece that answers, several layers at once."""
    from stashkeeper.actions.stacking import plan_stacks
    from stashkeeper.cli.stopping import asked_to_stop

    with open_stash(context, stash) as shelf, asked_to_stop() as stop:
        made = plan_stacks(shelf, words or [], cuts=cut or [], stop=stop)
    answer(made, as_json, made.sentences)


def plans(context: typer.Context, as_json: Json = False, stash: StashFolder = None) -> None:
    """List the cutting plans, newest first, and how far each is."""
    from stashkeeper.actions.plans import list_all
    from stashkeeper.cli.show import table

    with open_stash(context, stash) as shelf:
        found = list_all(shelf)
    rows = found.rows()
    answer(found, as_json, [table(found.headings, rows) if rows else "", *found.sentences])


def show_plan(
    context: typer.Context, number: Number, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Show a plan: what each piece gives, what goes back, and how its pieces stand now."""
    from stashkeeper.actions import plans as on_record
    from stashkeeper.cli.show import table

    with open_stash(context, stash) as shelf:
        found = on_record.show_plan(shelf, number)
    facts = [fact for fact in found.facts() if fact[0] != "saved as"]
    answer(found, as_json, [*found.sentences, table(("", ""), facts)])


def drop_plan(
    context: typer.Context, number: Number, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Drop a plan that was not begun; nothing on the shelf changes."""
    from stashkeeper.actions import plans as on_record

    with open_stash(context, stash) as shelf:
        dropped = on_record.drop(shelf, number)
    answer(dropped, as_json, dropped.sentences)


def steps(
    context: typer.Context,
    number: Number,
    code: Annotated[
        str | None,
        typer.Argument(metavar="CODE", help="Only this piece of it.", show_default=False),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Tell what to do with ruler and cutter, piece by piece."""
    from stashkeeper.actions import plan_steps

    with open_stash(context, stash) as shelf:
        told = plan_steps.steps(shelf, number, code)
    answer(told, as_json, told.sentences)


def diagram(
    context: typer.Context,
    number: Number,
    out: Annotated[
        Path,
        typer.Argument(
            metavar="OUT",
            help="The file to draw: plan.pdf or plan.png; plan.svg for bare diagrams.",
        ),
    ],
    code: Annotated[
        str | None,
        typer.Argument(metavar="CODE", help="Only this piece of it.", show_default=False),
    ] = None,
    paper: Annotated[
        str | None, typer.Option("--paper", metavar="PAPER", help="a4 or letter.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Draw the cutting pages of a plan: each piece to scale, with its steps to tick."""
    from stashkeeper.actions import plan_pictures

    with open_stash(context, stash) as shelf:
        drawn = plan_pictures.draw_plan(shelf, number, out, code, paper)
    answer(drawn, as_json, drawn.sentences)


def cut(
    context: typer.Context,
    number: Number,
    code: Code,
    as_planned: Annotated[
        bool, typer.Option("--as-planned", help="It came out as planned; also when left out.")
    ] = False,
    only: Annotated[
        str | None,
        typer.Option(
            "--only",
            metavar="WHAT",
            help='What came out: 2 for only the first two cuts of the diagram, or "3 x A, B".',
        ),
    ] = None,
    off_cut: Annotated[
        list[str] | None,
        typer.Option(
            "--off-cut",
            metavar="SIZE",
            help="What was really left over and is kept; may be repeated; none for nothing. "
            "An irregular one counts as the largest rectangle it holds.",
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Confirm that a piece of a plan is cut; its off-cuts go back on the shelf."""
    from stashkeeper.actions import confirming

    with open_stash(context, stash) as shelf:
        done = confirming.cut(
            shelf, number, code, as_planned=as_planned, only=only, off_cuts=off_cut or []
        )
    answer(done, as_json, done.sentences)
