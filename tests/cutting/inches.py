"""Cloth and cuts written down in inches, as the tests' examples are."""

from fractions import Fraction

from stashkeeper.cloth.cloth import Cloth, Trims
from stashkeeper.cloth.cut import Cut
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

type Inches = int | float | str


def length(inches: Inches) -> Length:
    """Return so many inches: `length(4.5)`, `length("3 7/8")`."""
    return Length.from_inches(sum(Fraction(str(part)) for part in str(inches).split()))


def size(width: Inches, long: Inches) -> Size:
    """Return a size in inches."""
    return Size(length(width), length(long))


def cloth(code: str, width: Inches, long: Inches, **more: object) -> Cloth:
    """Return a piece with a usable size in inches."""
    return Cloth(code, f"fabric of {code}", size(width, long), **more)  # type: ignore[arg-type]


def cut(name: str, width: Inches, long: Inches, count: int = 1, **more: object) -> Cut:
    """Return a cut in inches."""
    return Cut(name, size(width, long), count, **more)  # type: ignore[arg-type]


def trims(left: Inches, right: Inches, near: Inches, far: Inches) -> Trims:
    """Return trims in inches."""
    return Trims(length(left), length(right), length(near), length(far))
