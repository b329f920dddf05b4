"""The words that several commands share, and the way from them to an open stash."""

import functools
import inspect
import os
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from stashkeeper.actions.stash import Stash


class By(StrEnum):
    """How `sort` and `sheet` make the three groups."""

    BANDS = "bands"
    SPLIT = "split"


def no_stray_options(words: list[str] | None) -> list[str] | None:
    """Refuse a misspelt option that would pass for a word to leave out."""
    for word in words or ():
        if word.startswith("--"):
            raise typer.BadParameter(f"there is no option {word}.")
    return words


StashFolder = Annotated[
    Path | None,
    typer.Option(
        "--stash",
        metavar="DIR",
        help="The folder your stash lives in (else STASHKEEPER_HOME, else your own data folder).",
        show_default=False,
    ),
]
Json = Annotated[
    bool, typer.Option("--json", help="Print JSON with unrounded numbers, for other programs.")
]
Code = Annotated[str, typer.Argument(metavar="CODE", help="The piece's code, as on its label: A7.")]
Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="WORDS",
        help="Search words: text, tag:, at:, value:, colour:, size:, washed:, ended:. "
        "A minus sign in front leaves out: -tag:scrap.",
        show_default=False,
        callback=no_stray_options,
    ),
]
Grouping = Annotated[
    By,
    typer.Option(
        "--by",
        help="bands: the same limits for the whole shelf. "
        "split: the best three groups of just these pieces.",
    ),
]
Crop = Annotated[
    str | None,
    typer.Option(
        metavar="L,T,R,B",
        help="The part of the photo that is cloth, as fractions left,top,right,bottom; "
        "0,0,1,1 is the whole photo.",
        show_default=False,
    ),
]


def open_stash(context: typer.Context, folder: Path | None) -> "Stash":
    """Open the stash named after the command, before it, or by the environment."""
    from stashkeeper.actions.stash import open_stash as open_it
    from stashkeeper.settings.load import load_settings

    return open_it(load_settings(folder or context.obj, os.environ))


def taking(bundle: type, name: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command the fields of a dataclass as options, in the place of one parameter.

    Args:
        bundle: a dataclass whose fields are options that several commands share.
        name: the parameter of the command that takes what was said.
    """

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        own, shared = inspect.signature(command), inspect.signature(bundle).parameters
        parameters = [
            one.replace(kind=inspect.Parameter.KEYWORD_ONLY)
            for known in own.parameters.values()
            for one in (shared.values() if known.name == name else (known,))
        ]

        @functools.wraps(command)
        def run(**said: Any) -> None:
            made = bundle(**{each: said.pop(each) for each in shared})
            command(**said, **{name: made})

        run.__signature__ = own.replace(parameters=parameters)  # type: ignore[attr-defined]
        run.__annotations__ = {one.name: one.annotation for one in parameters}
        return run

    return decorate
