"""How a person cuts: the hand, the tools, how many layers, what is kept."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.errors import BadSettingError, quoted
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length, parse_size
from stashkeeper.lengths.size import Size

MOST_LAYERS: Final = 12
"""More layers than any rotary cutter goes through (ours)."""

MOST_ONE_IN: Final = 1000
"""The rarest spare (ours)."""

_PATCH: Final = Length.from_inches(5)
_STRIP: Final = Size(Length.from_inches("3/2"), Length.from_inches(10))


class Hand(StrEnum):
    """The hand that holds the cutter."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class Habits:
    """How a person cuts.

    Attributes:
        hand: the one that holds the cutter.
        ruler: width × length of the longest ruler; None where nobody said.
        mat: width × length of the cutting mat; None where nobody said.
        layers, flannel_layers: how many are cut at once (4 and 2, common practice).
        spare: one cut more for every so many; 0 for no spares (one in twenty, ours).
        keep_patch: an off-cut is kept if both sides are at least this (5 in, common practice).
        keep_strip: an off-cut is kept if it is at least so wide and so long (1½ × 10 in, common
            practice).
    """

    hand: Hand = Hand.RIGHT
    ruler: Size | None = None
    mat: Size | None = None
    layers: int = 4
    flannel_layers: int = 2
    spare: int = 20
    keep_patch: Length = _PATCH
    keep_strip: Size = _STRIP


def read_hand(text: str, _measure: Measure) -> Hand:
    """Return the hand typed.

    Raises:
        BadSettingError: it is neither.
    """
    word = text.strip().casefold().removesuffix("-handed")
    if word in list(Hand):
        return Hand(word)
    raise BadSettingError(f"{quoted(text)} is not a hand.", "Type right or left.")


def read_tool(text: str, measure: Measure) -> Size | None:
    """Return the size of a ruler or mat, rounded down; None for `unknown`.

    Raises:
        BadSizeError: it is no size.
    """
    if text.strip().casefold() in {"unknown", "none", ""}:
        return None
    size = parse_size(text, measure, Rounding.DOWN).size
    return size if size.width <= size.length else size.turned()


def read_count(least: int, most: int) -> Callable[[str, Measure], int]:
    """Return a reader of whole numbers from `least` to `most`; `none` is 0 where that may be."""

    def read(text: str, _measure: Measure) -> int:
        word = text.strip().casefold()
        word = "0" if word == "none" else word.removeprefix("one in ").strip()
        if word.isascii() and word.isdecimal() and least <= int(word[:9]) <= most:
            return int(word)
        raise BadSettingError(
            f"{quoted(text)} is not a whole number from {least} to {most}.",
            f"Type one such as {max(least, 4)}.",
        )

    return read


def read_patch(text: str, measure: Measure) -> Length:
    """Return the least side of an off-cut that is kept, rounded up.

    Raises:
        BadSizeError: it is no length.
    """
    return parse_length(text, measure, Rounding.UP)


def read_strip(text: str, measure: Measure) -> Size:
    """Return the least width and length of a strip that is kept, rounded up.

    Raises:
        BadSizeError: it is no size.
    """
    size = parse_size(text, measure, Rounding.UP).size
    return size if size.width <= size.length else size.turned()
