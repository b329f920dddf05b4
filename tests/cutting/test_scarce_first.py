"""Cuts that only one cloth may give are not crowded out by those that any may give."""

from stashkeeper.cloth.value import Value
from stashkeeper.cutting.planner import attempt_cuts
from stashkeeper.cutting.scarce_first import plan_scarce_first
from tests.cutting.inches import cloth, cut

SMALL = cloth("A3", 13, 9.5, value=Value.LIGHT)
CLOTHS = [cloth("A1", 20.5, 17.5), cloth("A2", 40, 17.5), SMALL]
CUTS = [
    cut("A", 4.5, 4.5, 16),
    cut("B", 2.5, 4.5, 24),
    cut("C", 3.875, 3.875, 6, value=Value.LIGHT),
    cut("D", 2.5, 16, 5, directional=True),
]


def test_the_only_cloth_for_a_cut_is_kept_for_it() -> None:
    # Six squares of 3⅞ in are all that 13 × 9½ in holds: 3 × 2.
    attempt = plan_scarce_first(CLOTHS, CUTS, seconds=2.0)
    assert attempt.plans is not None
    for plan in (attempt.plans.scraps_first, attempt.plans.least_cloth):
        (small,) = [piece for piece in plan.pieces if piece.cloth is SMALL]
        assert {placement.name for placement in small.placements} == {"C"}


def test_where_nothing_is_scarce_it_is_the_same_search() -> None:
    cuts = [cut("A", 4.5, 4.5, 8)]
    ours = plan_scarce_first(CLOTHS, cuts, seconds=0.5).plans
    theirs = attempt_cuts(CLOTHS, cuts, seconds=0.5).plans
    assert ours == theirs


def test_what_is_really_missing_stays_missing() -> None:
    cuts = [*CUTS[:2], cut("C", 3.875, 3.875, 7, value=Value.LIGHT)]
    attempt = plan_scarce_first(CLOTHS, cuts, seconds=1.0)
    assert attempt.plans is None
    assert [one.name for one in attempt.missing] == ["C"]
