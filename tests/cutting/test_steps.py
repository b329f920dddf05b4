"""Steps for hands: nothing left out, in order, for either hand and the owner's tools."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.plan import (
    Box,
    CutLine,
    Direction,
    OffCut,
    PiecePlan,
    Placement,
    Plan,
)
from stashkeeper.cutting.planner import plan_cuts
from stashkeeper.cutting.steps import (
    CAUTIONS,
    Deed,
    Exceeds,
    Hand,
    Side,
    Step,
    Tools,
    piece_steps,
    plan_steps,
)
from stashkeeper.cutting.wording import sentence
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.length import Measure
from tests.cutting.inches import cloth, cut, length, size, trims
from tests.cutting.test_plan_laws import attempt, both, cloths, cut_lists

FAT_QUARTER = cloth("F1", 17.5, 20.5, trims=trims(0.5, 0, 0.5, 0), selvedges=frozenset({Edge.LEFT}))


@pytest.fixture(scope="module")
def plan(engine: Engine) -> Plan:
    # Three strips 4 1/2 in wide across 17 1/2 in give three squares each, nine in all (geometry).
    return plan_cuts([FAT_QUARTER], [cut("A", 4.5, 4.5, 9)], engine=engine).scraps_first


@settings(
    deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(cloths, cut_lists)
def test_every_cut_is_told_once_in_order_and_everything_wanted_comes_off(
    engine: Engine, pieces: list[Cloth], cuts: list[Cut]
) -> None:
    for made in both(attempt(engine, pieces, cuts)):
        for piece in made.pieces:
            steps = piece_steps(piece)
            told = [number for step in steps for number in step.lines]
            assert told == list(range(1, len(piece.lines) + 1))
            wanted = Counter(placement.name for placement in piece.placements)
            given_ = Counter(name for step in steps for name in (*step.gives, step.remains) if name)
            whole = not piece.lines  # the piece is one cut as it is: nothing comes off it
            assert whole or all(given_[name] == count for name, count in wanted.items())
            kept = {off_cut.box.size for off_cut in piece.kept}
            assert kept <= {step.off_cut for step in steps if step.kept}


def test_press_and_square_up_come_first(plan: Plan) -> None:
    steps = piece_steps(plan.pieces[0])
    assert [step.deed for step in steps[:3]] == [Deed.PRESS, Deed.SQUARE_UP, Deed.SQUARE_UP]
    assert [step.side for step in steps[1:3]] == [Side.LEFT, Side.NEAR]
    assert [step.selvedge for step in steps[1:3]] == [True, False]
    assert steps[1].setting == length(0.5)


def test_strips_come_before_cross_cuts(plan: Plan) -> None:
    deeds = [step.deed for step in piece_steps(plan.pieces[0])]
    last_strip = max(place for place, deed in enumerate(deeds) if deed is Deed.STRIP)
    assert all(deed is not Deed.CUT for deed in deeds[:last_strip])


def test_left_handed_steps_mirror_right_handed_ones(plan: Plan) -> None:
    right = piece_steps(plan.pieces[0], Hand.RIGHT)
    left = piece_steps(plan.pieces[0], Hand.LEFT)
    mirror = {Side.LEFT: Side.RIGHT, Side.NEAR: Side.FAR, None: None}
    assert [step.side for step in left] == [mirror[step.side] for step in right]
    assert [step.setting for step in left] == [step.setting for step in right]
    assert [step.lines for step in left] == [step.lines for step in right]


def test_moves_beyond_the_owners_tools_are_told(plan: Plan) -> None:
    small = Tools(ruler_width=length(4), ruler_length=length(12), mat=size(12, 18))
    told = {tool for step in piece_steps(plan.pieces[0], tools=small) for tool in step.exceeds}
    assert told == {Exceeds.RULER_WIDTH, Exceeds.RULER_LENGTH, Exceeds.MAT}
    large = Tools(ruler_width=length(15), ruler_length=length(24), mat=size(24, 36))
    assert not any(step.exceeds for step in piece_steps(plan.pieces[0], tools=large))
    assert not any(step.exceeds for step in piece_steps(plan.pieces[0]))


def test_cautions_are_told_once_where_something_is_cut(engine: Engine, plan: Plan) -> None:
    assert plan_steps(plan).cautions == CAUTIONS
    whole = plan_cuts([cloth("F9", 5, 5)], [cut("A", 5, 5)], engine=engine).scraps_first
    assert plan_steps(whole).cautions == ()


@pytest.mark.parametrize(
    ("numbers", "named"), [("2 3", "2 and 3"), ("2 3 4", "2 to 4"), ("2 3 5", "2, 3 and 5")]
)
def test_strips_that_are_cut_alike_are_told_together(numbers: str, named: str) -> None:
    strips = tuple(f"strip {number}" for number in numbers.split())
    gives = ("A", "A") * len(strips)
    step = Step(0, Deed.CUT, strips, length(3), Side.LEFT, 2, gives, off_cut=size(1, 4))
    assert sentence(step, Measure.INCHES) == (
        f"Cut 2 × A from each of strips {named}, at 3 in from the left edge. "
        "What is left over of each, 1 × 4 in, is a scrap."
    )


def test_strips_that_are_trimmed_are_told_once_where() -> None:
    step = Step(0, Deed.TRIM, ("strip 3", "strip 4"), length(3), Side.LEFT, 1, ("A", "A"))
    assert sentence(step, Measure.INCHES) == (
        "Trim each of strips 3 and 4 to A, 3 in from the left edge."
    )


def box(left: int, width: int) -> Box:
    return Box(length(left), length(0), size(width, 4))


def test_a_strip_is_trimmed_to_one_cut_and_cut_into_several() -> None:
    # A strip 16 x 4 of a strip: three cuts 5 in wide come out of it, and 1 in is left (arithmetic).
    before = [box(5 * at, 16 - 5 * at) for at in range(3)]
    lines = tuple(CutLine(each, Direction.ALONG, length(5), 3) for each in before)
    placed = tuple(Placement("A", box(5 * at, 5), False) for at in range(3))
    rest = OffCut(box(15, 1), False)
    piece = PiecePlan(cloth("F1", 16, 4), (), lines, placed, (rest,))
    assert sentence(piece_steps(piece)[-1], Measure.INCHES).startswith("Cut 3 × A at 5 in ")


def test_the_steps_in_words(plan: Plan) -> None:
    words = [sentence(step, Measure.INCHES) for step in piece_steps(plan.pieces[0])]
    assert words[:3] == [
        "Press F1 flat.",
        "Square up F1: trim ½ in with the selvedge off the left edge.",
        "Square up F1: trim ½ in with the raw edge off the near edge.",
    ]
    assert words[-2:] == [
        "Cut strips 3 to 5 at 4½ in from the near edge of strip 2, turned a quarter.",
        "Cut 3 × A from each of strips 3 to 5, at 4½ in from the left edge.",
    ]
    in_centimetres = [sentence(step, Measure.CENTIMETRES) for step in piece_steps(plan.pieces[0])]
    assert any("11.43 cm" in word for word in in_centimetres)
