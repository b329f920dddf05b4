"""The usable sizes of a whole shelf at once are those of its pieces one by one."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.actions.cloths import Allowance, is_certain, is_directional, usable_of_size
from stashkeeper.actions.offered import Offered
from stashkeeper.catalogue.cloth_columns import ClothColumns, State
from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

SIDES = st.one_of(
    st.integers(1, 50 * 8128), st.integers(1, 400).map(lambda eighths: eighths * 1016)
)
STATES = st.builds(
    State,
    st.sampled_from(Basis),
    st.sampled_from([frozenset[Edge](), frozenset({Edge.LEFT}), frozenset(Edge)]),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.sampled_from([None, "along", "across", "both ways"]),
)
PIECES = st.tuples(STATES, SIDES, SIDES)
TAKEN: dict[str, Allowance] = {
    "as usual": Allowances(),
    "washed before it is sewn": Allowances(
        shrinkage=Fraction(3, 100), flannel_shrinkage=Fraction(6, 100)
    ),
    "a share beyond 64 bits": Allowances(shrinkage=Fraction(10**15 + 1, 10**17)),
    "nothing": Length(0),
    "one inch": Length.from_inches(1),
}


def columns(pieces: list[tuple[State, int, int]]) -> ClothColumns:
    """Return pieces, each a state with width and length in ticks, as columns."""
    states = list(dict.fromkeys(state for state, _, _ in pieces))
    numbers = [(states.index(state), width, length) for state, width, length in pieces]
    of_state, widths, lengths = np.array(numbers, dtype=np.int64).reshape(-1, 3).T
    words = [""] * len(pieces)
    return ClothColumns(words, words, words, widths, lengths, states, of_state, (), words)


@pytest.mark.parametrize("taken", TAKEN.values(), ids=TAKEN)
@given(pieces=st.lists(PIECES, max_size=12))
@settings(deadline=None, max_examples=40)
def test_all_at_once_is_one_by_one(taken: Allowance, pieces: list[tuple[State, int, int]]) -> None:
    offered = Offered.of(columns(pieces), taken)
    assert len(offered.numbers) == len(pieces)
    for place, (state, width, length) in enumerate(pieces):
        alone = usable_of_size(Size(Length(width), Length(length)), state, taken)
        assert offered.numbers.size(place) == alone.size
        assert offered.certain[place] == is_certain(alone)
        assert offered.numbers.directional[place] == is_directional(state)
