"""Cuts typed as a list on a page: a line each, read as a whole before anything is planned."""

import re
from collections.abc import Iterator
from typing import Final

from stashkeeper.actions.cut_words import BETWEEN, FROM, MOST_CUTS, read_cut
from stashkeeper.errors import BadFileError, BadRequestError, Mistake, StashkeeperError
from stashkeeper.lengths.length import Length, Measure

_DIRECTIONAL: Final = re.compile(r"\bdirectional\b", re.IGNORECASE)


def cut_texts(
    text: str, source: str, directional: bool, measure: Measure, strip_length: Length
) -> tuple[str, ...]:
    """Return a list of cuts as texts of one cut each, every one of them readable.

    Args:
        text: one cut on each line, or several in words (“three 6½ in squares and five 1½ in
            strips”); empty lines and those that begin with `#` are left out.
        source: the cloth that cuts come from which name none; empty for any.
        directional: whether the length of every cut must run along the selvedge.
        measure: gives a size without a unit its unit.
        strip_length: how long a strip is that runs across the whole width of the fabric.

    Raises:
        BadFileError: lines cannot be read; all are told with their numbers.
        BadRequestError: there is no cut, or there are more than 60.
    """
    found, mistakes = list[str](), list[Mistake]()
    for number, line in enumerate(text.splitlines(), start=1):
        if not (said := line.strip()) or said.startswith("#"):
            continue
        try:
            for part in _parts(said, measure, strip_length):
                found.append(_completed(part, source, directional))
                read_cut(found[-1], measure, strip_length)
        except StashkeeperError as error:
            mistakes.append(Mistake(number, f"{error.problem} {error.on_page}"))
    if mistakes:
        raise BadFileError(
            "Some of it cannot be read." if len(mistakes) > 1 else "A line cannot be read.",
            "Write one cut on each line, such as 12 x 4 1/2 in square.",
            mistakes,
        )
    if not found:
        raise BadRequestError(
            "No cut was given.", "Type what you need, such as 12 x 4 1/2 in square."
        )
    if len(found) > MOST_CUTS:
        raise BadRequestError(
            f"{len(found)} different cuts were given.", f"Plan {MOST_CUTS} at a time at most."
        )
    return tuple(found)


def _parts(line: str, measure: Measure, strip_length: Length) -> Iterator[str]:
    """Yield a line as it is; where it cannot be read so, the several cuts it names in words."""
    parts = [part for part in BETWEEN.split(line) if part]
    try:
        read_cut(line, measure, strip_length)
    except StashkeeperError:
        if len(parts) < 2 or not all(_readable(part, measure, strip_length) for part in parts):
            raise
        yield from parts
    else:
        yield line


def _readable(part: str, measure: Measure, strip_length: Length) -> bool:
    try:
        read_cut(part, measure, strip_length)
    except StashkeeperError:
        return False
    return True


def _completed(part: str, source: str, directional: bool) -> str:
    """Return a cut with what holds for all of them, where it says nothing of its own."""
    told = f" from {source}" if source and not FROM.search(part) else ""
    told += " directional" if directional and not _DIRECTIONAL.search(part) else ""
    return f"{part}{told}"
