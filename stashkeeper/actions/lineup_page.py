"""A line-up as its page looks at it: what was typed and dragged, read; mistakes told beside it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.lineup import NOBODY, propose
from stashkeeper.actions.lineup_view import LineUp
from stashkeeper.actions.pieces import list_pieces
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.luminance.lineup import MOST as MOST_STRIPS

TICKS: Final = 60
"""Pieces that are offered to be ticked at once."""


@dataclass(frozen=True, slots=True)
class LineUpWords:
    """What a page says of a line-up.

    Attributes:
        codes: of the strips in order, "-" for one of nobody; none where nobody is named.
        lines: as `propose` reads them; None where they are to be found.
        lying: whether those lines lie across the photo.
        count: how many strips are to be found; None where that is to be found as well.
    """

    codes: tuple[str, ...] = ()
    lines: str | None = None
    lying: bool = False
    count: int | None = None


@dataclass(frozen=True, slots=True)
class LookedAt:
    """What a photo shows, and what is wrong with what was said of it.

    Attributes:
        seen: the line-up; where something is wrong, without what is wrong; None for no photo.
        trouble: what is wrong; None where nothing is.
    """

    seen: LineUp | None
    trouble: StashkeeperError | None = None

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a person should know: pairs too close, doubts, whether the split is sure."""
        if self.seen is None:
            return ()
        return self.seen.sentences[1 + len(self.seen.strips) : -1]


@dataclass(frozen=True, slots=True)
class Tick:
    """A piece that can be ticked."""

    code: str
    name: str


def look_at_lineup(stash: Stash, file: Path, words: LineUpWords) -> LookedAt:
    """Return what a photo of a line-up shows, whatever was typed; nothing is written."""
    trouble: StashkeeperError | None = None
    for said in (words, LineUpWords((), words.lines, words.lying, words.count), LineUpWords()):
        try:
            return LookedAt(propose_said(stash, file, said), trouble)
        except StashkeeperError as error:
            trouble = trouble or error
    return LookedAt(None, trouble)


def propose_said(stash: Stash, file: Path, said: LineUpWords) -> LineUp:
    """Return the line-up that was said.

    Raises:
        StashkeeperError: as `propose`.
    """
    return propose(stash, file, said.codes, lines=said.lines, lying=said.lying, count=said.count)


def strip_codes(typed: Sequence[str], count: int | None = None) -> tuple[str, ...]:
    """Return the codes of strips as typed, "-" where one was left empty; none where all were.

    Args:
        typed: a code or several for each field, with blanks or commas between.
        count: as many as that are returned where it is given.
    """
    codes = [code for text in typed for code in re.split(r"[,;\s]+", text.strip()) or [""]]
    if count is not None:
        codes = (codes + [""] * count)[:count]
    return tuple(code or NOBODY for code in codes) if any(codes) else ()


def ticks(stash: Stash, words: str) -> tuple[Tick, ...]:
    """Return pieces to be ticked: the first that answer to search words.

    Raises:
        StashkeeperError: as `list_pieces`.
    """
    found = list_pieces(stash, [words] if words else []).pieces
    return tuple(Tick(piece.code, piece.name) for piece in found[:TICKS])


def strip_fields() -> range:
    """Return the numbers that strips can have."""
    return range(1, MOST_STRIPS + 1)
