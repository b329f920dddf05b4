"""Which edges lose what, from what a piece loses in all."""

from hypothesis import given
from hypothesis import strategies as st

from stashkeeper.cloth.cloth import Cloth, trims_of
from stashkeeper.cloth.usable import usable
from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

HALF = Length.from_inches("1/2")
NOTHING = Length(0)
EDGES = st.frozensets(st.sampled_from(Edge))


def trimmed(size: Size, selvedges: frozenset[Edge], squared: bool) -> Cloth:
    found = usable(size, Basis.MEASURED, selvedges, squared, False, False, Allowances())
    return Cloth("F1", "any", found.size, trims=trims_of(found, selvedges))


def inches(width: int, length: int) -> Size:
    return Size(Length.from_inches(width), Length.from_inches(length))


def test_a_fat_quarter_loses_its_selvedge_and_one_raw_end() -> None:
    left = trimmed(inches(21, 18), frozenset({Edge.LEFT}), squared=False)
    assert left.trims.edges == (HALF, NOTHING, HALF, NOTHING)
    right = trimmed(inches(21, 18), frozenset({Edge.RIGHT}), squared=False)
    assert right.trims.edges == (NOTHING, HALF, HALF, NOTHING)


def test_yardage_loses_both_selvedges_and_a_squared_piece_nothing() -> None:
    yardage = trimmed(inches(43, 36), frozenset(Edge), squared=False)
    assert yardage.trims.edges == (HALF, HALF, HALF, NOTHING)
    assert trimmed(inches(9, 9), frozenset(), squared=True).trims.edges == (NOTHING,) * 4


@given(st.integers(2, 80), st.integers(2, 80), EDGES, st.booleans())
def test_trims_and_the_usable_size_are_the_measured_piece(
    width: int, length: int, selvedges: frozenset[Edge], squared: bool
) -> None:
    assert trimmed(inches(width, length), selvedges, squared).whole == inches(width, length)
