"""Quilt arithmetic on the command line: a subcommand for each sum, made from what it asks for."""

import inspect
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer
from typer.core import TyperGroup
from typer.main import get_command

from stashkeeper.cli.options import Json, StashFolder
from stashkeeper.cli.show import answer
from stashkeeper.cli.typed_sizes import SizesCommand, sizes_together

if TYPE_CHECKING:
    from stashkeeper.actions.sum_given import Sum
    from stashkeeper.actions.sum_words import Field

WITH_MINUS_SIGNS: Final = {"ignore_unknown_options": True}
"""A size below zero gets its sentence, and is no unknown option."""

Measure = Annotated[
    str | None,
    typer.Option("--measure", help="inches or centimetres; your setting where left out."),
]


class SumsGroup(TyperGroup):
    """The sums; what they ask for is looked up when one of them, or their list, is asked for."""

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ARG002 - the parser's own name
        """Return the name of every sum."""
        return list(self._all())

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002
        """Return the command of a sum; None where there is none."""
        return self._all().get(cmd_name)

    def _all(self) -> Mapping[str, Any]:
        if not self.commands:
            from stashkeeper.actions.sums import SUMS

            made = typer.Typer()
            for one in SUMS.values():
                typed = made.command(
                    one.name,
                    cls=SizesCommand,
                    context_settings=WITH_MINUS_SIGNS,
                    help=one.about,
                )
                typed(_run(one))
            self.commands = get_command(made).commands  # type: ignore[attr-defined]
        return self.commands


sums = typer.Typer(cls=SumsGroup, no_args_is_help=True, rich_markup_mode="rich")


@sums.callback()
def start(context: typer.Context, stash: StashFolder = None) -> None:
    """Work out sizes: triangles, geese, borders, backing, binding, yards and more."""
    context.obj = stash or context.obj


def _run(one: "Sum") -> Callable[..., None]:
    """Return the function of a sum's subcommand, with the signature that its fields ask for."""

    def run(context: typer.Context, **words: Any) -> None:
        import os
        from dataclasses import replace

        from stashkeeper.actions.sums import work_out
        from stashkeeper.settings.known import find_setting
        from stashkeeper.settings.load import load_settings

        settings = load_settings(words.pop("stash") or context.obj, os.environ)
        if measure := words.pop("measure"):
            read = find_setting("measure").read
            settings = replace(settings, measure=read(measure, settings.measure))
        as_json = words.pop("as_json")
        typed = {field.name: _typed(field, words[_key(field)]) for field in one.fields}
        worked = work_out(one.name, typed, settings)
        answer(worked, as_json, worked.sentences)

    parameters = [_parameter("context", typer.Context)]
    for number, field in enumerate(one.fields):
        parameters.append(_of_field(field, first=number == 0))
    parameters.append(_parameter("measure", Measure, None))
    parameters.append(_parameter("as_json", Json, False))
    parameters.append(_parameter("stash", StashFolder, None))
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {one.name: one.annotation for one in parameters}
    return run


def _of_field(field: "Field", first: bool) -> inspect.Parameter:
    """Return the parameter of a field: what is needed first is an argument, the rest options."""
    usual = field.usual if isinstance(field.usual, str) else " or ".join(field.usual)
    told = f" If left out: {usual}." if usual and not field.needed else ""
    metavar = "|".join(field.choices) or field.kind.name
    several = field.kind.name == "LENGTHS"
    if first and field.needed:
        about: Any = typer.Argument(metavar=field.name.upper(), help=field.about)
        return _parameter(_key(field), Annotated[list[str], about])
    about = typer.Option(f"--{field.name}", metavar=metavar, help=field.about + told)
    kind: Any = list[str] if several else str
    if field.needed:
        return _parameter(_key(field), Annotated[kind, about])
    return _parameter(_key(field), Annotated[kind | None, about], None)


def _parameter(
    name: str, annotation: Any, default: Any = inspect.Parameter.empty
) -> inspect.Parameter:
    kind = inspect.Parameter.KEYWORD_ONLY
    return inspect.Parameter(name, kind, default=default, annotation=annotation)


def _key(field: "Field") -> str:
    return f"word_{field.name.replace('-', '_')}"


def _typed(field: "Field", words: Any) -> str:
    """Return what was typed; the words of a single size belong together without quotes."""
    if isinstance(words, str):
        return words
    if field.kind.name == "LENGTHS":
        return "; ".join(sizes_together(words or ()))
    return " ".join(words or ())
