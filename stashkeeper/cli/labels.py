"""Labels on the command line: drawn, and read from a photo."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, Words, open_stash
from stashkeeper.cli.show import answer


def labels(
    context: typer.Context,
    out: Annotated[Path, typer.Argument(metavar="OUT", help="The file to draw: labels.pdf.")],
    words: Words = None,
    sheet: Annotated[
        str | None,
        typer.Option(
            "--sheet",
            metavar="WxH",
            help="The sheet of labels by the size of a label in millimetres: 63.5x38.1, 70x37, "
            "99.1x38.1, 99.1x67.7, 45.7x21.2, 38.1x21.2 (A4), 66.7x25.4, 101.6x50.8, 101.6x33.9 "
            'or of your own, with columns x rows: "70x42.3 3x7 a4 gap 0x0".',
            show_default=False,
        ),
    ] = None,
    start: Annotated[
        int, typer.Option("--start", metavar="N", help="The first label of the sheet still there.")
    ] = 1,
    address: Annotated[
        str | None,
        typer.Option(
            "--address",
            metavar="URL",
            help="Where your pages are, as `serve --lan` shows it: a phone then opens the piece. "
            "Without it, the code to scan holds code, name and size.",
            show_default=False,
        ),
    ] = None,
    outline: Annotated[
        bool,
        typer.Option("--outline", help="Draw the edges of the labels too, for a trial on paper."),
    ] = False,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Draw labels with a code to scan, on the sheets of labels that are sold."""
    from stashkeeper.actions import labels as deeds

    with open_stash(context, stash) as shelf:
        wanted = deeds.labels(
            shelf, words or [], sheet=sheet, start=start, address=address, outline=outline
        )
        drawn = deeds.write_labels(wanted, out)
    answer(drawn, as_json, drawn.sentences)
