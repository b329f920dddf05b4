"""The reference card: where on it everything lies, in millimetres from its top left.

Our own design. Four codes to scan mark the corners. Between them six greys lie twice, light to
dark along the top and dark to light along the bottom, so that the two of one grey lie opposite
through the middle: a light that falls off across the card shows as a difference between them, and
leaves their mean alone. The rest is bare paper, read in four places, with a line of known length
across the middle.
"""

import re
from dataclasses import dataclass
from typing import Final

WIDTH: Final = 150.0
HEIGHT: Final = 100.0
CODE_SIDE: Final = 24.0
CODE_MODULES: Final = 21
"""Modules across a code: version 1 (ISO/IEC 18004)."""
CODES: Final = {"A": (4.0, 4.0), "B": (122.0, 4.0), "C": (122.0, 72.0), "D": (4.0, 72.0)}
"""The top left corner of each code, named with the clock."""

NOMINAL: Final = (85.0, 69.0, 53.0, 37.0, 21.0, 6.0)
"""L* that the greys are drawn with."""
PRINTED_BLACK: Final = 22.0
PAPER_WHITE: Final = 94.0
"""L* of the blackest and the whitest a home printer makes on plain paper (ours, a guess: an unknown
card is that unsure)."""

LINE: Final = ((25.0, 56.0), (125.0, 56.0))
"""The line of 100 mm that shows whether the print kept the scale."""

VERSION: Final = "1"
_TEXT = re.compile(rf"SKC{VERSION}([A-D])([0-9A-Z]{{4}})")
ID_SIGNS: Final = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""What a card's name is made of: four signs, none of them easily taken for another."""


@dataclass(frozen=True, slots=True)
class Square:
    """A rectangle on the card, in millimetres."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """From top left with the clock."""
        return (
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        )

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def core(self, margin: float) -> "Square":
        """Return it without a margin."""
        return Square(
            self.left + margin, self.top + margin, self.right - margin, self.bottom - margin
        )


def grey_squares() -> tuple[tuple[Square, Square], ...]:
    """Return the two places of each grey, from light to dark."""
    wide = 14.0
    along = [33.0 + wide * place for place in range(6)]
    top = [Square(left, 6.0, left + wide, 26.0) for left in along]
    bottom = [Square(left, 74.0, left + wide, 94.0) for left in reversed(along)]
    return tuple(zip(top, bottom, strict=True))


def paper_squares() -> tuple[Square, ...]:
    """Return the places where bare paper is read; opposite ones lie opposite."""
    return (
        Square(8.0, 38.0, 22.0, 62.0),
        Square(128.0, 38.0, 142.0, 62.0),
        Square(45.0, 29.5, 105.0, 35.5),
        Square(45.0, 64.5, 105.0, 70.5),
    )


def code_text(corner: str, card_id: str) -> str:
    """Return what the code of a corner holds."""
    return f"SKC{VERSION}{corner}{card_id}"


def corner_and_id(text: str) -> tuple[str, str] | None:
    """Return the corner and the card that a code names; None where it is no card's code.

    >>> corner_and_id("SKC1A7F3K")
    ('A', '7F3K')
    """
    found = _TEXT.fullmatch(text)
    return (found[1], found[2]) if found else None


def code_modules(corner: str, card_id: str) -> list[list[bool]]:
    """Return the dark modules of a corner's code, row by row, without a quiet zone."""
    import segno

    code = segno.make(code_text(corner, card_id), version=1, error="h", micro=False, mask=0)
    return [[bool(module) for module in row] for row in code.matrix]


def usual_lightness() -> tuple[float, ...]:
    """Return L* of paper and greys of a card nobody measured: what a home printer may make of it.

    Black and white of the file are taken to come out as the printer's black and the paper's white.
    """
    scale = (PAPER_WHITE - PRINTED_BLACK) / 100.0
    return PAPER_WHITE, *(PRINTED_BLACK + scale * lightness for lightness in NOMINAL)
