"""The command line: every command, in the order and under the headings of the help page."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli import (
    card,
    choosing,
    cutting,
    demo,
    finding,
    fitting,
    history,
    house,
    intake,
    label_reading,
    labels,
    layout_preview,
    layouts,
    lineup,
    phone,
    photos,
    pictures,
    pieces,
    places,
    projects,
    reference,
    scraps,
    serve,
    sitting,
    sums,
    values,
)
from stashkeeper.cli.faults import SpeakingGroup
from stashkeeper.cli.options import StashFolder

app = typer.Typer(
    cls=SpeakingGroup,
    no_args_is_help=True,
    rich_markup_mode="rich",
    pretty_exceptions_enable=False,
)

WITH_MINUS_SIGNS = {"ignore_unknown_options": True}
"""Words may begin with a minus sign: -tag:scrap leaves out, and -5 is a number, if no lightness."""

SEARCHES = {
    "list", "sort", "sheet", "contrast", "labels", "lightness", "find", "plan", "stack", "choose",
}  # fmt: skip

SHELF = "The shelf"
VALUE = "Value"
CUTTING = "Cutting"
QUILTS = "Quilts"
BACK = "Looking back"
HOUSE = "The house"

for panel, name, command in (
    (SHELF, "add", pieces.add),
    (SHELF, "intake", intake.intake),
    (SHELF, "list", pieces.list_pieces),
    (SHELF, "show", pieces.show),
    (SHELF, "change", pieces.change),
    (SHELF, "end", pieces.end),
    (SHELF, "photo", photos.photo),
    (SHELF, "region", photos.region),
    (SHELF, "places", places.places),
    (SHELF, "labels", labels.labels),
    (SHELF, "read-label", label_reading.read_label),
    (VALUE, "sort", values.sort),
    (VALUE, "contrast", values.contrast),
    (VALUE, "sheet", pictures.sheet),
    (VALUE, "lightness", values.lightness),
    (VALUE, "bands", values.bands),
    (VALUE, "card", card.card),
    (VALUE, "reference", reference.reference),
    (VALUE, "lineup", lineup.lineup),
    (VALUE, "sitting", sitting.sitting),
    (VALUE, "phone", phone.phone),
    (CUTTING, "find", finding.find),
    (CUTTING, "plan", cutting.plan),
    (CUTTING, "stack", cutting.stack),
    (CUTTING, "plans", cutting.plans),
    (CUTTING, "show-plan", cutting.show_plan),
    (CUTTING, "drop-plan", cutting.drop_plan),
    (CUTTING, "steps", cutting.steps),
    (CUTTING, "diagram", cutting.diagram),
    (CUTTING, "cut", cutting.cut),
    (CUTTING, "scraps", scraps.scraps),
    (QUILTS, "choose", choosing.choose),
    (QUILTS, "seams", choosing.seams),
    (QUILTS, "replace", choosing.replace),
    (QUILTS, "projects", projects.list_projects),
    (QUILTS, "layouts", layouts.layouts),
    (QUILTS, "layout", layouts.layout),
    (QUILTS, "preview", layout_preview.preview),
    (BACK, "history", history.history),
    (BACK, "undo", history.undo),
    (HOUSE, "demo", demo.demo),
    (HOUSE, "serve", serve.serve),
    (HOUSE, "settings", house.settings),
    (HOUSE, "migrate", house.migrate),
):
    minus = WITH_MINUS_SIGNS if name in SEARCHES else None
    app.command(name, rich_help_panel=panel, context_settings=minus)(command)

app.add_typer(fitting.fit, name="fit", rich_help_panel=QUILTS)
app.add_typer(sums.sums, name="sums", rich_help_panel=QUILTS)
app.add_typer(projects.project, name="project", rich_help_panel=QUILTS)


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"stashkeeper {version('stashkeeper')}")
        raise typer.Exit


@app.callback()
def start(
    context: typer.Context,
    stash: StashFolder = None,
    version: Annotated[  # noqa: ARG001 - the callback answers it
        bool,
        typer.Option(
            "--version", help="Print the version and stop.", callback=_print_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Log your fabric, see its value, and keep light, medium and dark apart."""
    context.obj = stash
    if isinstance(stash, Path):
        context.obj = stash.expanduser()
