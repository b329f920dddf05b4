"""Which field of a form an error is about: the one whose words it quotes, or which it names."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from stashkeeper.errors import StashkeeperError, quoted

_BETWEEN: Final = re.compile(r"[\n,;=]+|\s+")


def field_about(
    error: StashkeeperError, typed: Mapping[str, str], named: Iterable[str] = ()
) -> str:
    """Return the field that an error quotes, or else names; empty where it does neither.

    Args:
        error: what went wrong.
        typed: the text of every field, by its name, those looked at first in front.
        named: fields that an error may name by the words they are called by, or whose number it
            gives without quotation marks.
    """
    problem = error.problem.casefold()
    for parts in (_whole, _parts):
        for name, said in typed.items():
            if any(quoted(part).casefold() in problem for part in parts(said)):
                return name
    filled = {name: typed[name].strip() for name in named if typed.get(name, "").strip()}
    plain = problem.replace(",", "")
    for name, said in filled.items():
        if name in problem or re.search(rf"(?<!\S){re.escape(said)}(?!\S)", plain):
            return name
    return ""


def _whole(said: str) -> Iterator[str]:
    """Yield a field as typed, and each of its lines."""
    yield from (line.strip() for line in (said, *said.splitlines()) if line.strip())


def _parts(said: str) -> Iterator[str]:
    """Yield the words of a field, and what stands between its signs."""
    yield from (part for part in _BETWEEN.split(said) if part)
    yield from (part.strip() for part in re.split(r"[\n,;:=]", said) if part.strip())
