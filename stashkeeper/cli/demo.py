"""The demo on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json
from stashkeeper.cli.progress import progress_bar
from stashkeeper.cli.show import answer


def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="DIR", help="Where the demo may write; made if need be.")
    ] = Path("stashkeeper-demo"),
    as_json: Json = False,
) -> None:
    """Try it all on an invented shelf: intake, ranking, a weak pair and its cure, the sheets."""
    from stashkeeper.actions import demo as deeds

    with progress_bar("Measuring", hidden=as_json) as report:
        shown = deeds.demo(folder, report)
    answer(shown, as_json, shown.sentences)
