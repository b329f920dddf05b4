"""Which photo of a folder each row of a list of sizes means."""

import difflib
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.errors import Mistake, quoted
from stashkeeper.luminance.region import Crop
from stashkeeper.transfer.size_list import SizeRow

GUESSES: Final = 20
"""How many rows get a guess at the name that was meant; each costs a look at every name."""


@dataclass(frozen=True, slots=True)
class MatchedRows:
    """The rows by the photo they mean, and a mistake for each row that means none.

    Attributes:
        by_photo: each photo that is named, with its rows in the order of the list.
        mistakes: rows that name no photo of the folder, or more than one, or repeat a row.
    """

    by_photo: Mapping[Path, tuple[SizeRow, ...]]
    mistakes: tuple[Mistake, ...]


def match_rows(rows: Sequence[SizeRow], folder: Path, photos: Sequence[Path]) -> MatchedRows:
    """Return which of the `photos` in `folder` each row names.

    A photo answers to its path below the folder and to its bare name, each with or without the
    ending; capitals and the two ways of storing an accent do not matter.
    """
    answering = _names(folder, photos)
    by_photo: dict[Path, tuple[SizeRow, ...]] = {}
    mistakes: list[Mistake] = []
    seen: dict[tuple[Path, Crop | None], int] = {}
    for row in rows:
        found = answering.get(_plain(row.photo), ())
        if len(found) != 1:
            near = _nearest(row.photo, answering) if len(mistakes) < GUESSES else None
            mistakes.append(Mistake(row.line, _not_one(row.photo, folder, found, near)))
        elif (first := seen.setdefault((found[0], row.crop), row.line)) != row.line:
            text = f"{quoted(row.photo)} with the same crop is in line {first} already."
            mistakes.append(Mistake(row.line, text))
        else:
            by_photo[found[0]] = (*by_photo.get(found[0], ()), row)
    return MatchedRows(by_photo, tuple(mistakes))


def _names(folder: Path, photos: Sequence[Path]) -> dict[str, tuple[Path, ...]]:
    """Return the photos that answer to each name; the longest name of a photo goes first."""
    answering: dict[str, tuple[Path, ...]] = {}
    below = {photo: photo.relative_to(folder) for photo in photos}
    for spell in (Path.as_posix, _name, _path_without_ending, _name_without_ending):
        taken = dict(answering)
        for photo in photos:
            name = _plain(spell(below[photo]))
            if name not in taken:
                answering[name] = (*answering.get(name, ()), photo)
    return answering


def _name(path: Path) -> str:
    return path.name


def _path_without_ending(path: Path) -> str:
    return path.with_suffix("").as_posix()


def _name_without_ending(path: Path) -> str:
    return path.stem


def _plain(name: str) -> str:
    slashed = unicodedata.normalize("NFC", name).replace("\\", "/").strip()
    return slashed.removeprefix("./").casefold()


def _nearest(typed: str, answering: Mapping[str, object]) -> str | None:
    near = difflib.get_close_matches(_plain(typed)[:255], answering, n=1, cutoff=0.8)
    return near[0] if near else None


def _not_one(typed: str, folder: Path, found: Sequence[Path], near: str | None) -> str:
    if found:
        told = " and ".join(quoted(path.relative_to(folder).as_posix()) for path in found[:2])
        return f"{len(found)} photos answer to {quoted(typed)}, {told}: give the whole name."
    meant = f" Did you mean {quoted(near)}?" if near else ""
    return f"No photo in the folder is called {quoted(typed)}.{meant}"
