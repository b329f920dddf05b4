"""Sizes typed without quotation marks: the words of one size, put together again."""

import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

from typer.core import TyperCommand

_NUMBER: Final = re.compile(r"\d+([.,]\d+)?[½⅓⅔¼¾⅛⅜⅝⅞]?|\d+/\d+|[½⅓⅔¼¾⅛⅜⅝⅞]", re.ASCII)
_FRACTION: Final = re.compile(r"\d+/\d+(in|cm|mm|yd|m|\")?", re.ASCII)
_UNITS: Final = frozenset(
    ["in", "inch", "inches", "ft", "foot", "feet", "yd", "yds", "yard", "yards", "mm", "cm", "m"]
)
_TIMES: Final = frozenset(["x", "×", "*", "by"])
_FLAGS: Final = frozenset({"--json", "--help"})


class SizesCommand(TyperCommand):
    """A command whose options take sizes of several words: `--sash 2 in`, `--cut 3 1/2 x 5`.

    Without this, a shell's words after the first of an option would pass for more words of the
    argument, and change the size that stands there without a word.
    """

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the words of the command line, those of one size together."""
        return super().parse_args(ctx, _options_together(args))


def sizes_together(words: Iterable[str]) -> list[str]:
    """Return words with those of one size in one: `1 1/2 in 2 in` are `1 1/2 in` and `2 in`."""
    found: list[str] = []
    for word in words:
        if found and _goes_on(found[-1], word):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def _options_together(args: Sequence[str]) -> list[str]:
    found: list[str] = []
    in_option = False
    for number, word in enumerate(args):
        if word == "--":
            return [*found, *args[number:]]
        before = args[number - 1] if number else ""
        if before.startswith("--") and "=" not in before and before not in _FLAGS:
            in_option = True
            found.append(word)
        elif in_option and _goes_on(found[-1], word):
            found[-1] += f" {word}"
        else:
            in_option = False
            found.append(word)
    return found


def _goes_on(size: str, word: str) -> bool:
    """Tell whether a word goes on with the size typed so far."""
    last, word = size.casefold().split()[-1] if size.strip() else "", word.casefold()
    number = bool(_NUMBER.fullmatch(last))
    if last in _TIMES:
        return True
    if word in _UNITS:
        return number
    if word in _TIMES:
        return number or last in _UNITS
    return last.isdecimal() and bool(_FRACTION.fullmatch(word))
