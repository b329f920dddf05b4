"""Size to fit: from the bed, and from the cloth."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.fit import fit_with_borders, fit_with_units, largest_unit
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.layout_library import traditional_layout
from stashkeeper.quilts.quilt import Quilt, parts
from tests.quilts.drawn import INCH

laws = settings(deadline=None, max_examples=80)
HALF, EIGHTH = Length.from_inches("1/2"), Length.from_inches("1/8")
BLOCKS = st.tuples(st.integers(1, 6), st.integers(1, 6))


def pieces_of(width: int, length: int, count: int) -> Callable[[Role, Size], int]:
    """Return an answer to "how many can be had" for so many pieces a role, without turning."""

    def can_have(_: Role, size: Size) -> int:
        return count * (INCH * width // size.width) * (INCH * length // size.length)

    return can_have


def test_a_queen_cover_from_6_in_units() -> None:
    """84 × 92 in: 14 × 16 units of 6 in reach 84 × 96; with borders 13 × 15 and the rest."""
    wished = Size(INCH * 84, INCH * 92)
    bare = fit_with_units(wished, INCH * 6)
    assert (bare.columns, bare.rows, bare.finished) == (14, 16, Size(INCH * 84, INCH * 96))
    framed = fit_with_units(wished, INCH * 6, border=INCH * 4)
    assert (framed.columns, framed.rows) == (13, 14)
    filled = fit_with_borders(wished, INCH * 6, EIGHTH, block=(3, 3))
    assert (filled.columns, filled.rows) == (12, 15)
    assert (filled.side_border, filled.end_border) == (INCH * 6, INCH)
    assert filled.finished == wished


@laws
@given(st.integers(30, 120), st.integers(30, 120), st.integers(4, 24), BLOCKS)
def test_covers_are_never_smaller_than_wished(
    width: int, length: int, halves: int, block: tuple[int, int]
) -> None:
    wished, unit = Size(INCH * width, INCH * length), HALF * halves
    bare = fit_with_units(wished, unit, block)
    assert bare.finished.holds(wished, turning=False)
    assert (bare.columns % block[0], bare.rows % block[1]) == (0, 0)
    assert bare.finished.width - unit * block[0] < wished.width
    try:
        framed = fit_with_borders(wished, unit, EIGHTH, block)
    except BadSizeError:
        return
    assert framed.finished.holds(wished, turning=False)
    assert framed.finished.width <= wished.width + EIGHTH * 2
    for border in (framed.side_border, framed.end_border):
        assert not border or border >= INCH


def test_the_largest_unit_from_fat_quarters() -> None:
    """Two 18 × 22 in pieces a role, 18 squares of each: 9 from a piece is 6 in cut, 5½ finished.

    18 × 22 in gives nine squares of 6 in, but only six of 6½ in ("Number of Squares from a Fat
    Quarter", piecefulliving.blogspot.com, 2011).
    """
    layout = grown(traditional_layout("checkerboard"), 6, 6)
    fit = largest_unit(lambda unit: Quilt(layout, unit), pieces_of(18, 22, 2), INCH, INCH * 20)
    assert fit is not None
    assert fit.unit == Length.from_inches("11/2")
    assert fit.finished == Size(INCH * 33, INCH * 33)
    assert [(part.role.name, part.cut.count, had) for part, had in fit.short] == [
        ("light", 18, 12),
        ("dark", 18, 12),
    ]


@laws
@given(st.integers(6, 40), st.integers(6, 40), st.integers(1, 6), st.integers(1, 5))
def test_the_unit_found_can_be_made_and_the_next_cannot(
    width: int, length: int, count: int, repeats: int
) -> None:
    layout = grown(traditional_layout("sawtooth star"), 4 * repeats, 4)
    can_have = pieces_of(width, length, count)

    def can_be_made(unit: Length) -> bool:
        needed = parts(Quilt(layout, unit))
        return all(can_have(p.role, p.cut.size) >= p.cut.count for p in needed)

    fit = largest_unit(lambda unit: Quilt(layout, unit), can_have, HALF, INCH * 6)
    tried = [HALF * halves for halves in range(1, 13)]
    best = max((unit for unit in tried if can_be_made(unit)), default=None)
    assert (None if fit is None else fit.unit) == best
    if fit is not None and fit.unit < INCH * 6:
        assert fit.short


def test_impossible_fits_get_a_sentence() -> None:
    wished = Size(INCH * 20, INCH * 20)
    with pytest.raises(BadSizeError, match="Not one block fits"):
        fit_with_borders(wished, INCH * 12, EIGHTH, (2, 2))
    with pytest.raises(BadSizeError, match="leave no room"):
        fit_with_units(wished, INCH * 4, border=INCH * 10)
    with pytest.raises(BadSizeError, match="A unit of 0 in"):
        fit_with_units(wished, Length(0))
    with pytest.raises(BadSizeError, match="no units"):
        fit_with_units(wished, INCH, (0, 1))
    star = traditional_layout("sawtooth star")
    with pytest.raises(BadSizeError, match="smaller than the smallest"):
        largest_unit(lambda unit: Quilt(star, unit), pieces_of(1, 1, 1), INCH * 2, INCH)
    assert largest_unit(lambda u: Quilt(star, u), pieces_of(1, 1, 1), INCH, INCH * 9) is None
