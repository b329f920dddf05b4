"""Small shelves for the tests of choosing: typed lightnesses, so that nothing hides."""

from collections.abc import Sequence

from stashkeeper.choosing.needs import CutsNeeded, Need
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.cloth.reading import Method, Reading, lone_photo_factors, typed_factors
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.length import TICKS_PER_INCH

SQUARES = "squares"
"""The one size of cut of these tests."""

LIGHT, MEDIUM, DARK = Value.LIGHT, Value.MEDIUM, Value.DARK


def square_inches(area: float) -> int:
    """Return an area in square ticks."""
    return int(area * TICKS_PER_INCH**2)


def fabric(
    code: str,
    lightness: float,
    *,
    fabric: str | None = None,
    area: float = 360.0,
    family: str | None = None,
    a: float | None = None,
    b: float | None = None,
) -> Candidate:
    """Return a piece with a typed lightness and an area in square inches."""
    reading = Reading(lightness, a, b, Method.TYPED, typed_factors(f"own {fabric or code}"))
    return Candidate(code, fabric or code, reading, square_inches(area), family)


def photographed(code: str, lightness: float) -> Candidate:
    """Return a piece that only a photo with nothing of known lightness speaks for."""
    factors = lone_photo_factors(f"own {code}", f"photo {code}")
    reading = Reading(lightness, 0.0, 0.0, Method.PHOTO, factors)
    return Candidate(code, code, reading, square_inches(360.0), "grey")


def row(lightnesses: Sequence[float]) -> list[Candidate]:
    """Return pieces P0, P1 … of these lightnesses."""
    return [fabric(f"P{number}", lightness) for number, lightness in enumerate(lightnesses)]


def counted(light: int, medium: int, dark: int, squares: int = 0) -> list[Need]:
    """Return needs for so many fabrics of each value, each of which gives so many squares."""
    cuts = (CutsNeeded(SQUARES, squares),) if squares else ()
    wanted = {LIGHT: light, MEDIUM: medium, DARK: dark}
    return [Need(str(value), value, count, cuts, each=True) for value, count in wanted.items()]
