"""A length or size as a person reads it: at a ruler mark, never beyond the truth."""

from fractions import Fraction
from typing import Final

from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size

RULER_MARK: Final = {
    Measure.INCHES: Length.from_inches("1/8"),
    Measure.CENTIMETRES: Length.from_millimetres(1),
}
"""The finest mark of the rulers quilters use (common practice), in each measure."""

UNIT_NAME: Final = {Measure.INCHES: "in", Measure.CENTIMETRES: "cm"}
"""The unit written behind a number in each measure."""

_EIGHTHS: Final = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def format_length(length: Length, measure: Measure, rounding: Rounding = Rounding.DOWN) -> str:
    """Return a length at a ruler mark: `9⅞ in` or `25.1 cm`.

    What we have rounds down, what we need rounds up, so that no screen promises cloth that is
    not there.
    """
    return f"{_number(length, measure, rounding)} {UNIT_NAME[measure]}"


def format_size(size: Size, measure: Measure, rounding: Rounding = Rounding.DOWN) -> str:
    """Return a size at ruler marks, width first: `21 × 18 in` or `53.3 × 45.7 cm`."""
    width = _number(size.width, measure, rounding)
    length = _number(size.length, measure, rounding)
    return f"{width} × {length} {UNIT_NAME[measure]}"


def format_exactly(length: Length, measure: Measure) -> str:
    """Return a length with nothing rounded away: `9 1/16 in`, `25.12 cm`.

    Whoever types it back gets the very same length. Centimetres may need up to seven decimals,
    inches a denominator of up to 8128.
    """
    sign, size = ("−", -length) if length.ticks < 0 else ("", length)
    if measure is Measure.CENTIMETRES:
        return f"{sign}{_decimal(size.millimetres / 10, 7)} cm"
    whole, part = divmod(size.inches, 1)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    number = f"{whole} {fraction}" if whole and part else fraction or str(whole)
    return f"{sign}{number} in"


def _number(length: Length, measure: Measure, rounding: Rounding) -> str:
    shown = length.rounded_to(RULER_MARK[measure], rounding)
    sign, size = ("−", -shown) if shown.ticks < 0 else ("", shown)
    if measure is Measure.CENTIMETRES:
        return sign + _decimal(size.millimetres / 10, 1)
    whole, eighths = divmod(int(size.inches * 8), 8)
    return sign + (f"{whole or ''}{_EIGHTHS[eighths]}" or "0")


def _decimal(number: Fraction, places: int) -> str:
    """Write a non-negative number that `places` decimals hold exactly, without trailing zeros."""
    digits = f"{int(number * 10**places):0{places + 1}d}"
    return f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")
