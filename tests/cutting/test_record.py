"""A plan kept as plain values comes back the same."""

import json
from dataclasses import replace

import pytest

from stashkeeper.cloth.value import Value
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.planner import plan_cuts
from stashkeeper.cutting.record import plan_from_plain, plan_to_plain
from stashkeeper.lengths.basis import Edge
from tests.cutting.inches import cloth, cut, trims

PIECES = [
    cloth("F1", 18, 21, value=Value.DARK, trims=trims(0.5, 0, 0.5, 0), roles=frozenset({"sky"})),
    cloth("F2", "9 3/8", 12, certain=False, selvedges=frozenset({Edge.LEFT}), directional=True),
]
CUTS = [
    cut("A", 4.5, 2.5, 9, role="sky"),
    cut("B", 3, 5, 2, directional=True),
    cut("C", 2, 2, 3, value=Value.DARK),
]


def test_a_plan_goes_through_json_unchanged(engine: Engine) -> None:
    plans = plan_cuts(PIECES, CUTS, seconds=0.3, engine=engine)
    for plan in (plans.scraps_first, plans.least_cloth):
        back = plan_from_plain(json.loads(json.dumps(plan_to_plain(plan))))
        assert back == plan
        prove(back, PIECES, CUTS)


def test_a_plan_of_a_later_form_is_not_guessed_at(engine: Engine) -> None:
    plain = plan_to_plain(plan_cuts(PIECES, CUTS[:1], engine=engine).scraps_first)
    with pytest.raises(ValueError, match="form 2 cannot be read"):
        plan_from_plain(plain | {"form": 2})


def test_pieces_to_measure_are_those_whose_size_is_not_measured(engine: Engine) -> None:
    (unsure, *_) = PIECES[1:]
    plan = plan_cuts([unsure], [cut("B", 3, 5, 2)], engine=engine).scraps_first
    assert plan.to_measure == ("F2",)
    assert not plan.certain
    sure = replace(unsure, certain=True)
    assert plan_cuts([sure], [cut("B", 3, 5, 2)], engine=engine).scraps_first.certain
