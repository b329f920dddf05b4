"""Lengths and sizes from every way a quilter types them.

A length is a number and its unit; a number alone takes the unit of the person's measure. A size is
width × length, a square, a strip, a trade name, or a length off the bolt in yards or metres (then
the width is the width of the fabric). What cannot be read in exactly one way is refused with the
reason: a wrong size on the shelf costs cloth, a refusal costs a few strokes of a key.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.errors import BadSizeError, quoted
from stashkeeper.lengths.amounts import MILLIMETRES, Amount, Words, amount
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.format import RULER_MARK, UNIT_NAME, format_exactly
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.named_sizes import off_the_bolt, sized_by_name
from stashkeeper.lengths.size import Size, TypedSize
from stashkeeper.lengths.tokens import UnreadableError, tokens

LONGEST_LENGTH: Final = Length.from_inches(200 * 36)
"""Two hundred yards: more than a full bolt (ours)."""

LENGTH_EXAMPLES: Final = {
    Measure.INCHES: ("9 7/8 in", "1/2 yd"),
    Measure.CENTIMETRES: ("25.1 cm", "0.5 m"),
}
"""Two lengths shown to a person whose own could not be read."""

SIZE_EXAMPLES: Final = {
    Measure.INCHES: ("18 x 21", "fat quarter"),
    Measure.CENTIMETRES: ("45 x 53", "0.5 m"),
}
"""Two sizes shown to a person whose own could not be read."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a rectangle as typed, with the word `wide` or `long` behind it, if any."""

    typed: Amount
    label: str | None


_BOLT_UNITS: Final = frozenset({"yd", "m"})
_LARGE_UNITS: Final = frozenset({"yd", "m", "ft"})
_WIDEST_CLOTH: Final = 5 * MILLIMETRES["yd"]


def parse_length(text: str, measure: Measure, rounding: Rounding = Rounding.DOWN) -> Length:
    """Return the length a person typed, exact wherever a whole tick holds it.

    Args:
        text: such as `9 7/8`, `9-7/8"`, `25.1 cm`, `9,5cm`, `1/2 yd`, `3 ft 6 in`.
        measure: gives a number without a unit its unit.
        rounding: for what no tick holds (1/3 in): down for cloth owned, up for cloth needed.

    Raises:
        BadSizeError: the text is no length, or not one from above zero to 200 yards.
    """

    def read(words: Words) -> Length:
        typed = amount(words)
        if "x" in words:
            raise UnreadableError("is a size, and one length is needed here")
        return _length(typed, typed.unit or UNIT_NAME[measure], rounding)

    return _read(text, "length", LENGTH_EXAMPLES[measure], read)


def parse_size(text: str, measure: Measure, rounding: Rounding = Rounding.DOWN) -> TypedSize:
    """Return the size a person typed, with the basis and the selvedges their words imply.

    Args:
        text: such as `18 x 21`, `18"×21"`, `45 by 53 cm`, `fat quarter`, `1/2 yd`, `0.5 m`,
            `10 in square`, `2½ in strip`, `WOF x 18`, `about 18 x 21`.
        measure: gives numbers without a unit their unit.
        rounding: for what no tick holds (1/3 in): down for cloth owned, up for cloth needed.

    Raises:
        BadSizeError: the text is no size, or a side is not from above zero to 200 yards.
    """
    return _read(
        text, "size", SIZE_EXAMPLES[measure], lambda words: _any_size(words, measure, rounding)
    )


def parse_piece_size(text: str, measure: Measure) -> TypedSize:
    """Return the size of a piece of cloth a person owns, read as `parse_size` reads it.

    Raises:
        BadSizeError: the text is no size, or one that no piece of cloth has: narrower than any
            mark of a ruler, or wider than five yards both ways.
    """

    def read(words: Words) -> TypedSize:
        typed = _any_size(words, measure, Rounding.DOWN)
        narrow = min(typed.size.width, typed.size.length)
        if narrow < RULER_MARK[Measure.INCHES]:
            raise UnreadableError("is narrower than any mark of a ruler (⅛ in, 3.2 mm)")
        if narrow.millimetres > _WIDEST_CLOTH:
            raise UnreadableError("is wider than 5 yards (4.57 m) both ways, which no cloth is")
        return typed

    return _read(text, "size", SIZE_EXAMPLES[measure], read)


def _any_size(words: Words, measure: Measure, rounding: Rounding) -> TypedSize:
    guessed = words.take("about")
    typed = sized_by_name(words) or _size(words, measure, rounding)
    guessed = words.take("about") or guessed
    return replace(typed, basis=Basis.ABOUT) if guessed else typed


def _read[Answer](
    text: str, wanted: str, examples: tuple[str, str], read: Callable[[Words], Answer]
) -> Answer:
    remedy = f"Type a {wanted} such as “{examples[0]}” or “{examples[1]}”."
    if not text.strip():
        raise BadSizeError(f"No {wanted} was typed.", remedy)
    try:
        words = Words(tokens(text))
        answer = read(words)
        if words:
            raise UnreadableError
    except UnreadableError as why:
        reason = why.reason or f"is not a {wanted}"
        problem = f"{quoted(text.strip())} {reason}."
        raise BadSizeError(problem, why.remedy or remedy) from None
    return answer


def _length(typed: Amount, unit: str, rounding: Rounding) -> Length:
    length = Length.from_millimetres(typed.number * MILLIMETRES[unit], rounding)
    if length.ticks <= 0:
        raise UnreadableError("is nothing: a size is more than zero")
    if length > LONGEST_LENGTH:
        raise UnreadableError("is longer than 200 yards (182.8 m), which no cloth is")
    return length


def _size(words: Words, measure: Measure, rounding: Rounding) -> TypedSize:
    own = UNIT_NAME[measure]
    first = _side(words)
    if words.take("x"):
        second = _side(words)
        square = words.take("strip", "square") == "square"
        if "x" in words:
            raise UnreadableError("has three measurements, and cloth has two")
        typed = _rectangle(first, second, own, rounding)
        if square and typed.size.width != typed.size.length:
            raise UnreadableError("is called square, and its sides differ")
        return typed
    if first is None:
        raise UnreadableError("has no length", "Type “WOF x 18 in” or “WOF x 0.5 m”.")
    return _by_one_length(words, first, own, rounding)


def _side(words: Words) -> Side | None:
    """Return one side of a rectangle; None for the width of the fabric."""
    if words.take("wof"):
        return None
    typed = amount(words)
    return Side(typed, words.take("wide", "long"))


def _rectangle(first: Side | None, second: Side | None, own: str, rounding: Rounding) -> TypedSize:
    """Return width × length: in this order, unless the words `wide` and `long` say otherwise."""
    if first is None or second is None:
        across = first or second
        if across is None or across.label == "wide":
            raise UnreadableError("has no length", "Type “WOF x 18 in” or “WOF x 0.5 m”.")
        return off_the_bolt(_length(across.typed, across.typed.unit or own, rounding))
    one, other = _units(first.typed, second.typed, own)
    sides = _length(first.typed, one, rounding), _length(second.typed, other, rounding)
    if first.label == second.label is not None:
        raise UnreadableError(f"says “{first.label}” twice")
    turned = first.label == "long" or second.label == "wide"
    return TypedSize(Size(*reversed(sides)) if turned else Size(*sides))


def _units(first: Amount, second: Amount, own: str) -> tuple[str, str]:
    """Return the units of two sides; a unit typed once serves both, where that can be meant.

    `18 x 21 cm` and `1.5 x 2 m` mean one unit. `42 x 2 yd` means inches by yards, but says yards:
    nothing is guessed where the shared unit would make cloth wider than any.
    """
    one, other = first.unit or second.unit or own, second.unit or first.unit or own
    borrowed = first.unit != second.unit and None in {first.unit, second.unit}
    too_wide = first.number * MILLIMETRES[one] > _WIDEST_CLOTH
    if borrowed and one in _LARGE_UNITS and (first.unit or too_wide):
        raise UnreadableError("has a unit on one number only", "Type both units: “42 in x 2 yd”.")
    return one, other


def _by_one_length(words: Words, side: Side, own: str, rounding: Rounding) -> TypedSize:
    """Return a square, a strip, or a length off the bolt."""
    length = _length(side.typed, side.typed.unit or own, rounding)
    if side.label is None and words.take("square"):
        return TypedSize(Size(length, length))
    if side.label != "long" and (words.take("wof"), words.take("strip")) != (None, None):
        return off_the_bolt(length)
    if side.label is None and side.typed.unit in _BOLT_UNITS:
        words.take("cut")
        if words.take("of") and not words.take("fabric"):
            raise UnreadableError
        return off_the_bolt(length)
    if words:
        raise UnreadableError
    spelled = _in_its_own_measure(length, side.typed.unit or own)
    raise UnreadableError(
        "is one measurement, and cloth has two",
        f"Type “WOF x {spelled}” if it was cut off the bolt, or “{spelled} square”."
        if spelled
        else None,
    )


def _in_its_own_measure(length: Length, unit: str) -> str | None:
    """Return a length as it may be typed back; None where no ruler has its mark."""
    if unit in {"mm", "cm", "m"}:
        return format_exactly(length, Measure.CENTIMETRES)
    return format_exactly(length, Measure.INCHES) if length.inches.denominator <= 64 else None
