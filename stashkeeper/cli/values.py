"""Value on the command line: lightness, bands, sort, contrast."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import (
    By,
    Code,
    Grouping,
    Json,
    StashFolder,
    Words,
    no_stray_options,
    open_stash,
)
from stashkeeper.cli.show import answer


def lightness(
    context: typer.Context,
    code: Code,
    number: Annotated[
        str | None,
        typer.Argument(metavar="L", help="L*, from 0 (black) to 100 (white).", show_default=False),
    ] = None,
    lrv: Annotated[
        str | None,
        typer.Option(
            "--lrv",
            metavar="PERCENT",
            help="A light reflectance value in place of L*, as paint shops print it.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Type a fabric's lightness by hand, from an instrument or a swatch book."""
    from stashkeeper.actions import values

    with open_stash(context, stash) as shelf:
        piece = values.lightness(shelf, code, number, lrv=lrv)
    answer(piece, as_json, piece.sentences)


def bands(
    context: typer.Context,
    dark_below: Annotated[
        float | None, typer.Option("--dark-below", metavar="L", help="Darker than this is dark.")
    ] = None,
    light_from: Annotated[
        float | None, typer.Option("--light-from", metavar="L", help="From here on it is light.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Show or set the limits of light, medium and dark that everyone sharing the stash uses."""
    from stashkeeper.actions import values

    with open_stash(context, stash) as shelf:
        limits = values.bands(shelf, dark_below=dark_below, light_from=light_from)
    answer(limits, as_json, limits.sentences)


def sort(
    context: typer.Context,
    words: Words = None,
    by: Grouping = By.BANDS,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Rank pieces from light to dark, in three groups, and say where contrast is weak."""
    from stashkeeper.actions import values

    with open_stash(context, stash) as shelf:
        ranking = values.sort(shelf, words or [], by=by.value)
    answer(ranking, as_json, ranking.sentences)


def contrast(
    context: typer.Context,
    groups: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="LIGHT MEDIUM DARK",
            help='Three groups, each codes or search words: A1,A2 "B1 B2" tag:navy.',
            show_default=False,
            callback=no_stray_options,
        ),
    ] = None,
    light: Annotated[
        list[str] | None, typer.Option("--light", metavar="GROUP", help="The light group.")
    ] = None,
    medium: Annotated[
        list[str] | None, typer.Option("--medium", metavar="GROUP", help="The medium group.")
    ] = None,
    dark: Annotated[
        list[str] | None, typer.Option("--dark", metavar="GROUP", help="The dark group.")
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="OUT", help="Draw it as a sheet too: choice.pdf."),
    ] = None,
    title: Annotated[
        str | None, typer.Option("--title", help="What stands at the head of that sheet.")
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Judge three groups of your choice: the gaps, the weak pairs, and what would cure them."""
    from stashkeeper.actions import pictures, values

    with open_stash(context, stash) as shelf:
        ranking = values.contrast(
            shelf, groups or [], light=light or [], medium=medium or [], dark=dark or []
        )
        drawn = pictures.choice_sheet(shelf, ranking, sheet, title) if sheet else None
    told = (" ", *drawn.sentences) if drawn else ()
    answer(ranking, as_json, (*ranking.sentences, *told))
