"""Allowances from what a person types: a length lost, a share lost, a width trusted."""

import re
from fractions import Fraction
from typing import Final

from stashkeeper.errors import BadSizeError, quoted
from stashkeeper.lengths.format import format_exactly
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length

LARGEST_LOSS: Final = Length.from_inches(6)
"""The most that a selvedge or squaring up can cost (ours)."""

WIDTHS_TRUSTED: Final = (Length.from_inches(10), Length.from_inches(120))
"""The narrowest and the widest usable width of fabric (ours)."""

LARGEST_SHARE: Final = Fraction(1, 2)
"""The most that washing can cost (ours)."""

_PERCENTAGE: Final = re.compile(r"([0-9]{1,4}(?:[.,][0-9]{1,9})?) ?(%|percent|)")


def parse_loss(text: str, measure: Measure) -> Length:
    """Return a length lost at an edge, rounded up: `1/2 in`, `1 cm`, `none`.

    Raises:
        BadSizeError: no length, or not one from none to 6 in.
    """
    if _is_none(text):
        return Length(0)
    return _within(text, parse_length(text, measure, Rounding.UP), Length(0), LARGEST_LOSS)


def parse_usable_width(text: str, measure: Measure) -> Length:
    """Return the width that an unmeasured fabric is trusted for, rounded down: `40 in`, `1 m`.

    Raises:
        BadSizeError: no length, or not one from 10 to 120 in.
    """
    return _within(text, parse_length(text, measure), *WIDTHS_TRUSTED)


def parse_share(text: str) -> Fraction:
    """Return a percentage as a share: `3 %`, `2.5%`, `3`, `none`.

    Raises:
        BadSizeError: no percentage from 0 to 50, or a bare number below 1, which could be a share
            as well as a percentage.
    """
    if _is_none(text):
        return Fraction(0)
    found = _PERCENTAGE.fullmatch(text.strip().casefold())
    share = Fraction(found[1].replace(",", ".")) / 100 if found else Fraction(1)
    if found and share <= LARGEST_SHARE and (found[2] or share >= Fraction(1, 100)):
        return share
    raise BadSizeError(
        f"{quoted(text)} is not a percentage from 0 to 50.", "Type one such as “3 %” or “none”."
    )


def _within(text: str, length: Length, least: Length, most: Length) -> Length:
    if least <= length <= most:
        return length
    spelled = " to ".join(format_exactly(one, Measure.INCHES) for one in (least, most))
    raise BadSizeError(
        f"{quoted(text)} is not a length this allowance can have.", f"Type one from {spelled}."
    )


def _is_none(text: str) -> bool:
    return text.strip().casefold() in {"none", "0"}
