"""What is left on the table after all cuts of a plan, or only some."""

import pytest
from hypothesis import HealthCheck, given, settings

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.outcome import after, selvedges_of
from stashkeeper.cutting.planner import plan_cuts
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.basis import Edge
from tests.cutting.inches import cloth, cut, size, trims
from tests.cutting.test_plan_laws import attempt, both, cloths, cut_lists


@settings(
    deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(cloths, cut_lists)
def test_nothing_is_lost_or_gained_whenever_cutting_stops(
    engine: Engine, pieces: list[Cloth], cuts: list[Cut]
) -> None:
    areas = {one.name: one.size.area for one in cuts}
    for plan in both(attempt(engine, pieces, cuts)):
        for piece in plan.pieces:
            for lines in range(len(piece.lines) + 1):
                found = after(piece, lines, Keeping())
                made = sum(areas[name] * count for name, count in found.made.items())
                left = sum(one.box.size.area for one in found.left)
                assert made + left == piece.cloth.size.area
            assert set(found.left) == set(piece.off_cuts)
            assert sum(found.made.values()) == len(piece.placements)


def test_only_the_first_two_cuts(engine: Engine) -> None:
    # 18 x 21 in without trims: strips first, so two cuts make no square yet (geometry).
    piece = plan_cuts([cloth("F1", 18, 21)], [cut("A", 4.5, 4.5, 16)], engine=engine)
    plan = piece.scraps_first.pieces[0]
    early = after(plan, 2, Keeping())
    assert early.made == {}
    assert len(early.left) == 3
    assert after(plan, len(plan.lines), Keeping()).made == {"A": 16}


@pytest.mark.parametrize("lines", [-1, 1000])
def test_more_cuts_than_the_plan_has_cannot_have_been_made(engine: Engine, lines: int) -> None:
    plan = plan_cuts([cloth("F1", 18, 21)], [cut("A", 4.5, 4.5)], engine=engine).scraps_first
    with pytest.raises(BadCutError, match="cuts of piece F1 were said to be made"):
        after(plan.pieces[0], lines, Keeping())


def test_a_selvedge_stays_known_until_it_is_trimmed_off(engine: Engine) -> None:
    both_edges = frozenset(Edge)
    kept = cloth("F1", 18, 21, selvedges=both_edges)
    trimmed = cloth("F2", 18, 21, selvedges=both_edges, trims=trims(0.5, 0.5, 0, 0))
    for piece, expected in ((kept, both_edges), (trimmed, frozenset())):
        plan = plan_cuts([piece], [cut("A", 18, 3)], engine=engine).scraps_first.pieces[0]
        (off_cut,) = plan.off_cuts
        assert off_cut.box.size == size(18, 18)
        assert selvedges_of(piece, off_cut.box) == expected
