"""Lengths as people spell them, each with the exact number of millimetres it means.

Written from the definitions of the units and of the signs (`unicodedata.numeric` knows ⅞), not
from the parser: 1 yd = 0.9144 m (International Yard and Pound Agreement, 1959), 3 ft = 1 yd,
36 in = 1 yd; prefixes of the metre by the SI.
"""

import unicodedata
from fractions import Fraction

from hypothesis import strategies as st

YARD = Fraction("914.4")
UNITS = {
    "in": (YARD / 36, ["in", "in.", "inch", "inches", "Inches", "IN", '"', "″", "”", "''", "′′"]),
    "ft": (YARD / 3, ["ft", "ft.", "foot", "feet", "'", "′", "’"]),
    "yd": (YARD, ["yd", "yd.", "yds", "yard", "yards", "YD", "Yard"]),
    "mm": (Fraction(1), ["mm", "MM", "millimetres", "millimeter"]),
    "cm": (Fraction(10), ["cm", "CM", "cm.", "centimetre", "centimeters", "㎝"]),
    "m": (Fraction(1000), ["m", "M", "metre", "metres", "meters"]),
}
GAPS = ["", " ", "\N{NO-BREAK SPACE}", "\N{NARROW NO-BREAK SPACE}", "  "]
SIGNS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
SIGN_VALUES = {sign: Fraction(unicodedata.numeric(sign)).limit_denominator(10) for sign in SIGNS}

type Spelled = tuple[str, Fraction]


def _fractions() -> st.SearchStrategy[Spelled]:
    typed = st.integers(2, 64).flatmap(
        lambda under: st.tuples(st.integers(1, under - 1), st.sampled_from("/⁄")).map(
            lambda over: (f"{over[0]}{over[1]}{under}", Fraction(over[0], under))
        )
    )
    signs = st.sampled_from(SIGNS).map(lambda sign: (sign, SIGN_VALUES[sign]))
    return st.one_of(typed, signs)


def _mixed() -> st.SearchStrategy[Spelled]:
    return st.tuples(
        st.integers(0, 99), st.sampled_from([" ", "-", "–", "\N{NO-BREAK SPACE}"]), _fractions()
    ).map(lambda parts: (f"{parts[0]}{parts[1]}{parts[2][0]}", parts[0] + parts[2][1]))


def _touching() -> st.SearchStrategy[Spelled]:
    return st.tuples(st.integers(0, 99), st.sampled_from(SIGNS)).map(
        lambda parts: (f"{parts[0]}{parts[1]}", parts[0] + SIGN_VALUES[parts[1]])
    )


def _decimals() -> st.SearchStrategy[Spelled]:
    return st.tuples(st.integers(0, 99), st.integers(0, 99), st.sampled_from(".,")).map(
        lambda parts: (f"{parts[0]}{parts[2]}{parts[1]:02d}", parts[0] + Fraction(parts[1], 100))
    )


def _whole() -> st.SearchStrategy[Spelled]:
    return st.integers(1, 150).map(lambda number: (str(number), Fraction(number)))


numbers: st.SearchStrategy[Spelled] = st.one_of(
    _whole(), _fractions(), _mixed(), _touching(), _decimals()
).filter(lambda spelled: spelled[1] > 0)
"""A number above zero, spelled, with its value."""


@st.composite
def amounts(draw: st.DrawFn, units: tuple[str, ...] = tuple(UNITS)) -> Spelled:
    """Return a number with its unit, spelled, with its millimetres."""
    text, number = draw(numbers)
    millimetres, spellings = UNITS[draw(st.sampled_from(units))]
    return f"{text}{draw(st.sampled_from(GAPS))}{draw(st.sampled_from(spellings))}", (
        number * millimetres
    )
