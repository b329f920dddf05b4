"""The trade's names for sizes.

All are common practice in countries that sell cloth by the yard: a fat quarter is half a yard cut
along the selvedge and halved across its width, a fat eighth half of that, a fat sixteenth a
quarter of it. Where cloth is sold by the metre the same names mean slightly larger pieces (a fat
quarter of 50 × 55 cm), so the yard's sizes never promise cloth that is not there. Names that
belong to one maker are left out.
"""

from fractions import Fraction
from typing import Final

from stashkeeper.lengths.amounts import Words
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size, TypedSize
from stashkeeper.lengths.tokens import SEVERAL_PIECES, UnreadableError

WIDTH_OF_FABRIC: Final = Length.from_inches(42)
"""The nominal width of quilting cotton, selvedge to selvedge (42 to 44 in, common practice)."""

_ABBREVIATIONS: Final = {"fq": Fraction(1, 4), "f8": Fraction(1, 8)}
_PARTS: Final = {
    "quarter": Fraction(1, 4),
    "quarters": Fraction(1, 4),
    "eighth": Fraction(1, 8),
    "eighths": Fraction(1, 8),
    "sixteenth": Fraction(1, 16),
    "sixteenths": Fraction(1, 16),
}


def off_the_bolt(length: Length) -> TypedSize:
    """Return a cut across the whole width of the fabric, `length` along the selvedge."""
    size = Size(WIDTH_OF_FABRIC, length)
    return TypedSize(size, Basis.NOMINAL, frozenset({Edge.LEFT, Edge.RIGHT}))


def _with_one_selvedge(width: str, length: int) -> TypedSize:
    size = Size(Length.from_inches(width), Length.from_inches(length))
    return TypedSize(size, Basis.NOMINAL, frozenset({Edge.LEFT}))


FAT_SIZES: Final = {
    Fraction(1, 4): _with_one_selvedge("21", 18),
    Fraction(1, 8): _with_one_selvedge("21", 9),
    Fraction(1, 16): _with_one_selvedge("21/2", 9),
}
"""A fat quarter, eighth and sixteenth of a yard: width × length, one edge a selvedge."""

_LONG_SIZES: Final = {"long quarter": Fraction(1, 4), "long eighth": Fraction(1, 8)}
_NAMES: Final = ("fat", *_ABBREVIATIONS, *_LONG_SIZES)


def sized_by_name(words: Words) -> TypedSize | None:
    """Return the size of a trade name and go past it; None where the words begin with no name.

    `fat quarter`, `FQ`, `fat 1/4`, `F8`, `fat sixteenth`; `skinny quarter` or `long quarter` for
    a quarter yard off the bolt. A half yard is a plain length off the bolt: no name is needed.

    Raises:
        UnreadableError: the words speak of several pieces, or no such part has a name.
    """
    if not words.named(*_NAMES):
        return None
    several = (words.take("a") is None) and words.number() not in {None, 1}
    if several:
        raise UnreadableError(SEVERAL_PIECES)
    name = words.take(*_NAMES) or ""
    if name in _LONG_SIZES:
        return off_the_bolt(Length.from_inches(_LONG_SIZES[name] * 36))
    part = _ABBREVIATIONS.get(name) or _part(words)
    if part not in FAT_SIZES:
        raise UnreadableError
    return FAT_SIZES[part]


def _part(words: Words) -> Fraction | None:
    word = words.take(*_PARTS)
    return _PARTS[word] if word else words.number()
