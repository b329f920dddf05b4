"""The usable sizes of a whole shelf at once are those of its pieces one by one."""

import uuid
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.actions.cloths import Allowance, is_certain, is_directional, usable_of_row
from stashkeeper.actions.offered import Offered
from stashkeeper.catalogue.columns import PieceKind
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

SIDES = st.one_of(
    st.integers(1, 50 * 8128), st.integers(1, 400).map(lambda eighths: eighths * 1016)
)
EDGES = st.sampled_from([frozenset[Edge](), frozenset({Edge.LEFT}), frozenset(Edge)])
TAKEN: dict[str, Allowance] = {
    "as usual": Allowances(),
    "washed before it is sewn": Allowances(
        shrinkage=Fraction(3, 100), flannel_shrinkage=Fraction(6, 100)
    ),
    "nothing": Length(0),
    "one inch": Length.from_inches(1),
}


@st.composite
def pieces(draw: st.DrawFn) -> PieceRow:
    """Draw a piece, or now and then a bag of scraps, which has no size."""
    size = draw(st.none() | st.builds(Size, SIDES.map(Length), SIDES.map(Length)))
    flags = [draw(st.booleans()) for _ in range(3)]
    direction = draw(st.sampled_from([None, "along", "across", "both ways"]))
    return PieceRow(
        uuid.uuid4(), "A1", PieceKind.PIECE if size else PieceKind.SCRAPS, size,
        draw(st.sampled_from(Basis)), draw(EDGES), flags[0], flags[1], None, None, None,
        uuid.uuid4(), "Moss", flags[2], (), "", None, None, None, None, None, None, None, (),
        None, None, None, direction, 1, None,
    )  # fmt: skip


@pytest.mark.parametrize("taken", TAKEN.values(), ids=TAKEN)
@given(rows=st.lists(pieces(), max_size=12))
@settings(deadline=None, max_examples=40)
def test_all_at_once_is_one_by_one(taken: Allowance, rows: list[PieceRow]) -> None:
    offered = Offered.of(rows, taken)
    assert offered.rows == [row for row in rows if row.size is not None]
    for place, row in enumerate(offered.rows):
        alone = usable_of_row(row, taken)
        assert alone is not None
        assert offered.numbers.size(place) == alone.size
        assert offered.certain[place] == is_certain(alone)
        assert offered.numbers.directional[place] == is_directional(row)
