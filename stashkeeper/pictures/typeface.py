"""Words fitted to their place: signs the typeface has, one line's room, several lines."""

import unicodedata
from collections.abc import Callable, Collection
from typing import Final

MISSING: Final = "☐"
"""What stands for a run of signs the typeface lacks."""

ELLIPSIS: Final = "…"


def shown(words: str, glyphs: Collection[int]) -> str:
    """Return `words` in the signs of a typeface, on one line.

    A run of signs the typeface lacks (emoji, other scripts) becomes one `MISSING`; signs without
    a shape of their own (joiners, direction marks, control codes) are left out.

    Args:
        words: any text.
        glyphs: the code points the typeface has.
    """
    kept: list[str] = []
    for sign in " ".join(unicodedata.normalize("NFC", words).split()):
        if ord(sign) in glyphs:
            kept.append(sign)
        elif not _shapeless(sign) and kept[-1:] != [MISSING]:
            kept.append(MISSING)
    return "".join(kept)


def _shapeless(sign: str) -> bool:
    return unicodedata.category(sign) in {"Cc", "Cf", "Mn", "Me"}


def shortened(words: str, room: float, measure: Callable[[str], float]) -> str:
    """Return `words`, cut with an ellipsis where `measure` says they are wider than `room`."""
    if measure(words) <= room:
        return words
    fits, too_long = 0, min(len(words), 400)
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if measure(words[:middle].rstrip() + ELLIPSIS) <= room:
            fits = middle
        else:
            too_long = middle
    return words[:fits].rstrip() + ELLIPSIS


def wrapped(words: str, room: float, measure: Callable[[str], float]) -> list[str]:
    """Return `words` broken between words into lines no wider than `room`.

    A single word wider than the room is shortened.
    """
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and measure(longer) > room:
            lines.append(line)
            longer = word
        line = shortened(longer, room, measure)
    return [*lines, line] if line else lines
