"""Write the reference pages from the program itself.

    uv run python docs/write_reference.py

A test compares the pages with what this would write, so that they cannot fall behind.
"""

import inspect
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import EnumType
from itertools import groupby
from pathlib import Path
from typing import Any, Final

from typer.main import get_command

from stashkeeper import errors
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.cli import faults
from stashkeeper.cli.app import app
from stashkeeper.errors import BadSearchError, BadSizeError, StashkeeperError
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.settings.known import describe
from stashkeeper.settings.load import DATABASE_VARIABLE, FILE_NAME, HOME_VARIABLE
from stashkeeper.settings.settings import usual_settings

FOLDER: Final = Path(__file__).resolve().parent / "reference"

SIZES: Final = (
    ("Two sides, across the fabric first", (
        "18 x 21", '18"×21"', "18 by 21 inches", "9 7/8 x 10", "9-7/8 x 10", '9⅞" x 10"',
        "9.875 in x 10 in", "25 x 50 cm", "250 mm x 500 mm",
    )),
    ("Squares and strips", ("10 in square", "2½ in strip", "WOF x 18")),
    ("Trade names", ("fat quarter", "fat eighth", "half yard", "quarter yard")),
    ("A length off the bolt", ("1/2 yd", "1 1/2 yards", "0.5 m", "3 metres")),
    ("A guess", ("about 18 x 21",)),
)  # fmt: skip
"""What a quilter may type for a size; each is read by the program when the page is written."""

SEARCHES: Final = (
    "navy", '"navy dots"', "tag:blue", 'at:"Shelf 2"', "value:light", "value:medium,dark",
    "value:unknown", "colour:green", "size:10x10", 'size:"fat quarter"', "code:A7,A9",
    "washed:no", "ended:yes", "ended:sold", "tag:blue value:dark -washed:yes",
)  # fmt: skip
"""Search words, each explained by the program when the page is written."""

CLOSED_KEYS: Final = ("value", "colour", "washed", "ended")
"""The keys that take only certain words."""

REFUSED_SIZES: Final = ("18", "18 x", "-4 x 10", "9 9/8 x 10", "1,000 x 2", "300 yd")
"""What is no size, or could be two."""


def commands() -> str:
    """Return the page of commands: every one with its help, arguments and options."""
    top: Any = get_command(app)
    lines = [
        "# Commands",
        "",
        f"{top.help} `python -m stashkeeper` is the same as `stashkeeper`.",
        "",
        *_options("stashkeeper", top),
    ]
    panels = list(dict.fromkeys(each.rich_help_panel for each in top.commands.values()))
    members = sorted(top.commands.values(), key=lambda each: panels.index(each.rich_help_panel))
    for panel, under in groupby(members, key=lambda each: each.rich_help_panel):
        lines += [f"## {panel}", ""]
        for command in under:
            name = f"stashkeeper {command.name}"
            lines += [f"### {name}", "", command.help, "", *_options(name, command)]
            lines += _below(name, command)
    return _page(lines)


def error_codes() -> str:
    """Return the page of errors: each code with what it means, and the exit statuses."""
    lines = [
        "# Errors",
        "",
        "Every error is one sentence on what is wrong and one on what to do next. Nothing is half",
        "done when one is shown: a deed happens whole or not at all.",
        "",
        *_table(["code", "what it means"], _errors()),
        "",
        "## Exit statuses",
        "",
        *_table(
            ["status", "what it means"],
            [
                ("0", "Done."),
                (f"{faults.STATUS_OF_A_MISTAKE}", "One of the errors above; it was told."),
                ("2", "The words typed are no command or option; the nearest ones were shown."),
                (f"{faults.STATUS_OF_A_FAULT}", "A fault in Stashkeeper itself."),
                (f"{faults.STATUS_OF_A_STOP}", "Stopped by hand; what was finished is kept."),
            ],
        ),
    ]
    return _page(lines)


def sizes() -> str:
    """Return the page of sizes: examples of what may be typed, as the program reads them."""
    lines = [
        "# Sizes",
        "",
        "A size is width (selvedge to selvedge) × length (along the selvedge). A number without a",
        "unit is in inches, or in centimetres where that is the [measure](settings.md) you chose.",
        "What can be read in two ways is refused: a wrong size costs cloth, a refusal costs a few",
        "strokes of a key. Sizes are kept exactly and shown at a ruler mark, rounded down. How a",
        "size is known, and what can be used of it, is told in",
        "[How big a piece really is](../explain/sizes.md).",
    ]
    for heading, typed in SIZES:
        lines += ["", f"## {heading}", ""]
        lines += _table(["typed", "in inches", "in centimetres"], map(_size_row, typed))
    lines += ["", "## Refused", "", *_table(["typed", "why"], map(_refusal, REFUSED_SIZES))]
    return _page(lines)


def search_words() -> str:
    """Return the page of search words: examples with what they find, and what each key takes."""
    lines = [
        "# Search words",
        "",
        "`list`, `sort`, `sheet` and `contrast` take search words. All of them must hold. A word",
        "with a minus sign in front leaves out what answers to it. On the command line, put `--`",
        "before words that begin with a minus sign, and quotation marks round what has a blank in",
        "it: `stashkeeper list 'at:\"Shelf 2\"' -- -washed:yes`.",
        "",
        *_table(["typed", "what it finds"], map(_search_row, SEARCHES)),
        "",
        "Capitals do not matter, and pieces that ended are left out unless a word speaks of them.",
        "",
        "## What a key takes",
        "",
        *_table(["key", "takes"], [(f"`{key}:`", _takes(key)) for key in CLOSED_KEYS]),
    ]
    return _page(lines)


def settings_page() -> str:
    """Return the page of settings: each with what it is at first and what it means."""
    folder = Path("stash").resolve()
    known = describe(usual_settings(folder))
    lines = [
        "# Settings",
        "",
        f"Your own habits, kept in `{FILE_NAME}` in the stash folder. `stashkeeper settings`",
        "shows them, `stashkeeper settings NAME VALUE` changes one. What everyone sharing a stash",
        "must agree on, the limits of light and dark, is set with `stashkeeper bands`.",
        "",
        *_table(
            ["name", "at first", "what it means"],
            [
                (f"`{each.name}`", each.usual.replace(str(folder), "DIR"), each.explanation)
                for each in known
            ],
        ),
        "",
        "## From the environment",
        "",
        *_table(
            ["variable", "what it means"],
            [
                (f"`{HOME_VARIABLE}`", "The stash folder, where no `--stash` is typed."),
                (
                    f"`{DATABASE_VARIABLE}`",
                    "The database's URL; goes before the setting `database`.",
                ),
            ],
        ),
    ]
    return _page(lines)


PAGES: Final[dict[str, Callable[[], str]]] = {
    "commands.md": commands,
    "errors.md": error_codes,
    "search-words.md": search_words,
    "settings.md": settings_page,
    "sizes.md": sizes,
}
"""Every reference page, by its file name, with the function that returns its text."""


def _errors() -> Iterator[tuple[str, str]]:
    for kind in vars(errors).values():
        of_ours = inspect.isclass(kind) and issubclass(kind, StashkeeperError)
        if of_ours and kind is not StashkeeperError:
            yield f"`{kind.code}`", _first_paragraph(kind)


def _first_paragraph(thing: object) -> str:
    return " ".join((inspect.getdoc(thing) or "").split("\n\n")[0].split())


def _options(name: str, command: Any) -> list[str]:
    """Return the usage line of a command, and the table of its arguments and options."""
    shown = [each for each in command.params if not each.hidden]
    arguments = [each for each in shown if each.param_type_name == "argument"]
    options = [each for each in shown if each.param_type_name != "argument"]
    needed = [each for each in options if each.required]
    others = [each for each in options if not each.required]
    words = [name, *map(_argument, arguments), *(_spelled(each)[0] for each in needed)]
    usage = " ".join([*words, "[OPTIONS]"] if others else words)
    rows = [(_how_typed(each), _meaning(each)) for each in (*arguments, *needed, *others)]
    return ["```text", usage, "```", "", *_table(["word", "meaning"], rows), ""]


def _below(name: str, group: Any) -> Iterator[str]:
    """Yield the subcommands of a command, where it has some."""
    for below in group.list_commands(None) if hasattr(group, "list_commands") else ():
        command = group.get_command(None, below)
        yield from (f"#### {name} {below}", "", command.help, "")
        yield from _options(f"{name} {below}", command)


def _how_typed(parameter: Any) -> str:
    if parameter.param_type_name == "argument":
        return f"`{_argument(parameter)}`"
    return ", ".join(f"`{spelling}`" for spelling in _spelled(parameter))


def _argument(parameter: Any) -> str:
    name = str(parameter.metavar or parameter.name.upper())
    return name if parameter.required or name.startswith("[") else f"[{name}]"


def _spelled(option: Any) -> list[str]:
    takes = "" if option.is_flag else f" {option.metavar or _kind(option)}"
    return [f"{spelling}{takes}" for spelling in (*option.opts, *option.secondary_opts)]


def _kind(parameter: Any) -> str:
    kind = parameter.type_descriptor.annotation
    if isinstance(kind, EnumType):
        return "|".join(kind)
    return {int: "NUMBER", float: "NUMBER"}.get(kind, "TEXT")


def _meaning(parameter: Any) -> str:
    told = [parameter.help or ""]
    if parameter.multiple:
        told.append("May be given several times.")
    default = getattr(parameter.default, "value", parameter.default)
    if parameter.show_default and default not in {None, False, ()} and not callable(default):
        told.append(f"If left out: `{default}`.")
    return " ".join(told)


def _search_row(words: str) -> tuple[str, str]:
    return f"`{words}`", explain(parse_search(words, Measure.INCHES))


def _takes(key: str) -> str:
    """Return the words a key takes, as the program tells someone who typed another."""
    try:
        parse_search(f"{key}:?", Measure.INCHES)
    except BadSearchError as error:
        return error.remedy
    raise AssertionError(f"{key}: takes any word")


def _size_row(text: str) -> tuple[str, str, str]:
    return f"`{text}`", _as_read(text, Measure.INCHES), _as_read(text, Measure.CENTIMETRES)


def _as_read(text: str, measure: Measure) -> str:
    typed = parse_size(text, measure)
    selvedges = {0: "", 1: "one selvedge", 2: "two selvedges"}[len(typed.selvedges)]
    told = (format_size(typed.size, measure), typed.basis or "", selvedges)
    return ", ".join(word for word in told if word)


def _refusal(text: str) -> tuple[str, str]:
    try:
        return f"`{text}`", _as_read(text, Measure.INCHES)
    except BadSizeError as error:
        return f"`{text}`", error.problem


def _table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    def line(cells: Sequence[str]) -> str:
        return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"

    return [line(headings), line(["---"] * len(headings)), *map(line, rows)]


def _page(lines: Sequence[str]) -> str:
    return "\n".join(lines).rstrip() + "\n"


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(exist_ok=True)
    for name, text in PAGES.items():
        (FOLDER / name).write_text(text(), encoding="utf-8")


if __name__ == "__main__":
    main()
