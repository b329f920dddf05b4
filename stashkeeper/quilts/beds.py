"""Beds: mattress sizes, and the size of a cover that hangs down as far as wished.

Sizes in inches are the usual United States ones ("Quick Reference Chart for Standard Mattress
Sizes", thesprucecrafts.com/standard-mattress-sizes-4145709; they vary by an inch from maker to
maker; older pages give a long twin of 36 in, and the wider covers either). Sizes in centimetres
are the usual European ones (common practice, from memory). Measure the bed where it matters.
"""

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final

from stashkeeper.errors import BadSizeError, NotFoundError, quoted
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.sewing import checked


def _inches(width: int, length: int) -> Size:
    return Size(Length.from_inches(width), Length.from_inches(length))


def _centimetres(width: int, length: int) -> Size:
    return Size(Length.from_millimetres(width * 10), Length.from_millimetres(length * 10))


BEDS: Final[Mapping[str, Size]] = MappingProxyType(
    {
        "crib": _inches(28, 52),
        "twin": _inches(39, 75),
        "long twin": _inches(39, 80),
        "full": _inches(54, 75),
        "queen": _inches(60, 80),
        "king": _inches(76, 80),
        "california king": _inches(72, 84),
        "70 x 140 cm": _centimetres(70, 140),
        "90 x 200 cm": _centimetres(90, 200),
        "120 x 200 cm": _centimetres(120, 200),
        "140 x 200 cm": _centimetres(140, 200),
        "160 x 200 cm": _centimetres(160, 200),
        "180 x 200 cm": _centimetres(180, 200),
    }
)
"""The top of a mattress, width × length, by its usual name."""

_ALSO_CALLED: Final = MappingProxyType(
    {
        "single": "twin",
        "twin xl": "long twin",
        "xl twin": "long twin",
        "twin extra long": "long twin",
        "extra long twin": "long twin",
        "double": "full",
        "cal king": "california king",
    }
)
"""Other names of these beds in the trade ("Standard Mattress Sizes",
sewwhatquiltshop.blogspot.com, September 2010; "Conventional Mattress Sizes", shopbedding.com)."""

USUAL_DROP: Final = Length.from_inches(12)
"""How far a cover hangs down unless said otherwise: about the depth of a mattress (common
practice, "Standard Mattress Sizes", sewwhatquiltshop.blogspot.com, September 2010)."""


def bed(name: str) -> Size:
    """Return the top of the mattress that goes by this name, whatever its capitals.

    Its other names in the trade will do, and so will "bed", "size" or "mattress" behind it.

    Raises:
        NotFoundError: no bed has this name.
    """
    words = name.casefold().replace("×", " x ").replace("-", " ").split()
    while len(words) > 1 and words[-1] in {"bed", "size", "sized", "mattress"}:
        words.pop()
    wanted = " ".join(words)
    wanted = _ALSO_CALLED.get(wanted, wanted)
    if wanted in BEDS:
        return BEDS[wanted]
    near = get_close_matches(wanted, BEDS, n=1)
    named = ", ".join(one for one in BEDS if one[0].isalpha())
    known = f"Type one of {named}, or a mattress size such as 60 x 80."
    hint = f"Did you mean {quoted(near[0])}?" if near else known
    raise NotFoundError(f"No bed is called {quoted(name)}.", hint)


def cover(
    mattress: Size, drop: Length = USUAL_DROP, foot: bool = True, tuck: Length | None = None
) -> Size:
    """Return the finished size of a cover: the mattress, a drop on both sides and at the foot.

    Args:
        mattress: the top of the mattress.
        drop: how far the cover hangs down; zero for none.
        foot: whether it hangs down at the foot as well.
        tuck: more at the head, to tuck under the pillows.

    Raises:
        BadSizeError: a mattress that is none, or a drop or tuck below zero.
    """
    if drop.ticks < 0 or (tuck is not None and tuck.ticks < 0):
        raise BadSizeError("A cover cannot hang down by less than nothing.", "Give a drop from 0.")
    width = checked(mattress.width, "mattress") + drop * 2
    length = checked(mattress.length, "mattress") + (drop if foot else Length(0))
    return Size(checked(width, "cover"), checked(length + (tuck or Length(0)), "cover"))
