"""Errors meet the command line here, and nowhere else."""

import sys
import tempfile
import traceback
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup

from stashkeeper.errors import BadFileError, NoChoiceError, NoPlanError, StashkeeperError, quoted

STATUS_OF_A_MISTAKE = 1
STATUS_OF_A_FAULT = 70
STATUS_OF_A_STOP = 130


class SpeakingGroup(TyperGroup):
    """A command group that turns every error into sentences and an exit status."""

    def invoke(self, ctx: typer.Context) -> Any:  # type: ignore[override]
        """Run the command; say what went wrong in words, never in a traceback."""
        try:
            return super().invoke(ctx)
        except StashkeeperError as error:
            _say_error(error)
            raise typer.Exit(STATUS_OF_A_MISTAKE) from error
        except KeyboardInterrupt as stop:
            _say("Stopped. What was finished before is kept; nothing is half done.")
            raise typer.Exit(STATUS_OF_A_STOP) from stop
        except (typer.Exit, typer.Abort, BrokenPipeError):
            raise
        except Exception as fault:
            if _is_about_usage(fault):
                _say_what_was_typed(fault)
                raise
            _say(f"This is a fault in Stashkeeper, not yours: {type(fault).__name__}.")
            _say(f"Your stash is as it was. Please send the details: {_keep_details(fault)}")
            raise typer.Exit(STATUS_OF_A_FAULT) from fault


def _say(sentence: str) -> None:
    typer.echo(sentence, err=True)


def _say_error(error: StashkeeperError) -> None:
    _say(error.problem)
    if isinstance(error, BadFileError):
        for mistake in error.mistakes:
            _say(f"  line {mistake.line}: {mistake.text}" if mistake.line else f"  {mistake.text}")
    if isinstance(error, NoChoiceError):
        for line in error.nearest:
            if line != error.problem:
                _say(f"  {line}")
    _say(error.remedy)
    if isinstance(error, NoPlanError) and error.smaller is not None:
        for number, command in enumerate(error.smaller.commands):
            _say(f"{'Then' if number else 'To plan that'}: {command}")


def _is_about_usage(fault: Exception) -> bool:
    """Tell whether the command line parser raised it: it shows those itself, with exit 2."""
    return hasattr(fault, "exit_code") and hasattr(fault, "show")


def _say_what_was_typed(fault: Any) -> None:
    """Put a value that is no number, or none of the words there are, in a person's words."""
    said = getattr(fault, "message", "")
    if said.startswith("Got unexpected extra argument") and not said.endswith("."):
        fault.message = f'{said}. Put quotation marks around what has several words, as in "4 in".'
    tell = getattr(fault.__cause__, "errors", None)
    for one in tell()[:1] if tell else ():
        typed = quoted(str(one["input"]))
        least = one.get("ctx", {}).get("ge")
        most = one.get("ctx", {}).get("le")
        fault.message = {
            "int_parsing": f"{typed} is no whole number. Type one such as 2.",
            "int_from_float": f"{typed} is no whole number. Type one such as 2.",
            "float_parsing": f"{typed} is no number. Type one such as 2.5.",
            "less_than_equal": f"{typed} is too many. Type {most} at most.",
            "greater_than_equal": f"{typed} is too few. Type {least} at least.",
        }.get(one["type"], fault.message.removeprefix("Value error, "))


def _keep_details(fault: Exception) -> Path:
    text = "".join(traceback.format_exception(fault))
    with tempfile.NamedTemporaryFile(
        "w", prefix="stashkeeper-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as details:
        details.write(f"{sys.version}\n{text}")
    return Path(details.name)
