"""Numbers with their units: `9 7/8 in`, `half a yard`, `3 ft 6 in`."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stashkeeper.lengths.tokens import SEVERAL_PIECES, Token, UnreadableError

MILLIMETRES: Final = {
    "yd": Fraction("914.4"),
    "ft": Fraction("304.8"),
    "in": Fraction("25.4"),
    "m": Fraction(1000),
    "cm": Fraction(10),
    "mm": Fraction(1),
}
"""Millimetres in each unit (the inch by the International Yard and Pound Agreement, 1959)."""

_PARTS: Final = {
    "half": Fraction(1, 2),
    "third": Fraction(1, 3),
    "quarter": Fraction(1, 4),
    "eighth": Fraction(1, 8),
    "sixteenth": Fraction(1, 16),
}
_SEVERAL_PARTS: Final = {f"{word}s": part for word, part in _PARTS.items() if word != "half"}


@dataclass(frozen=True, slots=True)
class Amount:
    """A number and the unit typed behind it, if one was."""

    number: Fraction
    unit: str | None


class Words:
    """The tokens of one text, read from left to right, each at most once."""

    def __init__(self, found: list[Token]) -> None:
        self._rest = found[::-1]

    def __contains__(self, word: str) -> bool:
        return word in self._rest

    def __bool__(self) -> bool:
        return bool(self._rest)

    def named(self, *names: str) -> bool:
        """Tell whether one of the names comes first, or right behind a number or an `a`."""
        ahead = self._rest[:-3:-1]
        counted = ahead[:1] == ["a"] or isinstance(ahead[0], Fraction) if ahead else False
        return any(token in names for token in (ahead if counted else ahead[:1]))

    def take(self, *wanted: str) -> str | None:
        """Return the next token and go past it, if it is one of the wanted words."""
        if self._rest and isinstance(self._rest[-1], str) and self._rest[-1] in wanted:
            return str(self._rest.pop())
        return None

    def number(self) -> Fraction | None:
        """Return the next token and go past it, if it is a number."""
        if self._rest and isinstance(self._rest[-1], Fraction):
            return Fraction(self._rest.pop())
        return None

    def part(self) -> Fraction | None:
        """Return the next token as a fraction and go past it, if it is `half` or its like."""
        word = self.take(*_PARTS)
        return _PARTS[word] if word else None


def amount(words: Words) -> Amount:
    """Return the next number with its unit; `3 ft 6 in` and `1 yd and 9 in` are one amount.

    Raises:
        UnreadableError: no number stands here, or one in words has no unit.
    """
    first = _one_amount(words)
    total, last = first.number, first.unit
    while last and (more := _next_smaller(words, last)):
        total += more.number * MILLIMETRES[more.unit or ""] / MILLIMETRES[first.unit or ""]
        last = more.unit
    return Amount(total, first.unit)


def _one_amount(words: Words) -> Amount:
    number = words.number()
    if number is None:
        return Amount(_in_words(words), _needed_unit(words))
    number = _with_parts(words, number)
    if words.take("of"):
        words.take("a")
        return Amount(number, _needed_unit(words))
    return Amount(number, words.take(*MILLIMETRES))


def _in_words(words: Words) -> Fraction:
    """Return a number without digits: `a` yard, `a half` yard, `half a`, `third of a`."""
    one = words.take("a")
    part = words.part()
    if part is None and one is None:
        raise UnreadableError
    if part is not None:
        words.take("of")
        words.take("a")
    return part or Fraction(1)


def _needed_unit(words: Words) -> str:
    unit = words.take(*MILLIMETRES)
    if unit is None:
        raise UnreadableError
    return unit


def _with_parts(words: Words, number: Fraction) -> Fraction:
    """Return `3 quarters`, `1 half` or `2 and a half` as one number; others as they are."""
    if words.take("and") is None:
        return _times_part(words, number)
    words.take("a")
    counted = words.number()
    part = words.part() if counted is None else _times_part(words, counted)
    if part is None or part >= 1 or number.denominator != 1:
        raise UnreadableError
    return number + part


def _times_part(words: Words, number: Fraction) -> Fraction:
    """Return `3 quarters` or `1 half`; several halves would be several pieces."""
    if word := words.take(*_SEVERAL_PARTS):
        part, several = _SEVERAL_PARTS[word], number * _SEVERAL_PARTS[word] >= 1
    else:
        part, several = words.part() or Fraction(0), number != 1
    if part and several:
        raise UnreadableError(SEVERAL_PIECES)
    return number * part if part else number


def _next_smaller(words: Words, unit: str) -> Amount | None:
    """Return the amount behind one in `unit`, which must be in a smaller unit."""
    joined = words.take("and")
    number = words.number()
    if number is None:
        return _and_a_part(words, unit) if joined else None
    smaller = words.take(*MILLIMETRES)
    if smaller is None or MILLIMETRES[smaller] >= MILLIMETRES[unit]:
        raise UnreadableError("holds two numbers that do not belong together")
    return Amount(number, smaller)


def _and_a_part(words: Words, unit: str) -> Amount:
    """Return the half of `a yard and a half`: a part of the unit before it."""
    words.take("a")
    part = words.part()
    if part is None:
        raise UnreadableError
    return Amount(part, unit)
