"""What holds for every plan, whatever the cloth and the cuts."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from stashkeeper.cloth.cloth import Cloth, Trims
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.check import flaws, prove
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.plan import Box, Direction, PiecePlan, Plan
from stashkeeper.cutting.planner import Attempt, attempt_cuts
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size

EIGHTH = TICKS_PER_INCH // 8
SHORT = 0.15

quick = settings(
    deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def lengths(low: int, high: int) -> st.SearchStrategy[Length]:
    return st.integers(low, high).map(lambda eighths: Length(eighths * EIGHTH))


sizes = st.builds(Size, lengths(12, 80), lengths(12, 120))
trims = st.builds(Trims, *[lengths(0, 4)] * 4)
cloths = st.lists(
    st.builds(
        Cloth, st.just(""), st.sampled_from("ab"), sizes, certain=st.booleans(),
        directional=st.booleans(), grain_known=st.booleans(), trims=trims,
    ),
    min_size=1, max_size=6,
).map(lambda many: [replace(one, code=f"P{n}") for n, one in enumerate(many)])  # fmt: skip
cut_lists = st.lists(
    st.builds(
        Cut, st.just(""), st.builds(Size, lengths(8, 40), lengths(8, 40)), st.integers(1, 6),
        directional=st.booleans(), fabric=st.sampled_from([None, None, "a", "b"]),
    ),
    min_size=1, max_size=4,
).map(lambda many: [replace(one, name=f"C{n}") for n, one in enumerate(many)])  # fmt: skip


def attempt(engine: Engine, pieces: list[Cloth], cuts: list[Cut]) -> Attempt:
    return attempt_cuts(pieces, cuts, seconds=SHORT, engine=engine)


def both(made: Attempt) -> list[Plan]:
    return [made.plans.scraps_first, made.plans.least_cloth] if made.plans else []


@quick
@given(cloths, cut_lists)
def test_every_plan_passes_its_proof(engine: Engine, pieces: list[Cloth], cuts: list[Cut]) -> None:
    made = attempt(engine, pieces, cuts)
    assert bool(made.missing) == (made.plans is None)
    for plan in both(made):
        prove(plan, pieces, cuts)


@quick
@given(cloths, cut_lists)
def test_cuts_off_cuts_and_trims_are_the_cloth_exactly(
    engine: Engine, pieces: list[Cloth], cuts: list[Cut]
) -> None:
    for plan in both(attempt(engine, pieces, cuts)):
        wanted = sum(cut.size.area * cut.count for cut in cuts)
        assert plan.cut_area == wanted
        assert plan.cut_area + plan.kept_area + plan.waste_area == plan.cloth_area
        for piece in plan.pieces:
            boxes = [*piece.trims, *(placement.box for placement in piece.placements)]
            boxes += [off_cut.box for off_cut in piece.off_cuts]
            assert sum(box.size.area for box in boxes) == piece.cloth.whole.area


@quick
@given(
    st.lists(sizes, min_size=1, max_size=4), st.builds(Size, lengths(8, 40), lengths(8, 40)),
    st.booleans(), st.data(),
)  # fmt: skip
def test_every_plan_reaches_what_find_promised(
    engine: Engine, rooms: list[Size], size: Size, directional: bool, data: st.DataObject
) -> None:
    pieces = [Cloth(f"P{n}", "a", room) for n, room in enumerate(rooms)]
    promised = int(counts(Shelf.of(pieces), size, turning=not directional).sum())
    if promised:
        count = data.draw(st.integers(1, promised))
        made = attempt(engine, pieces, [Cut("A", size, count, directional)])
        assert made.plans is not None
    missing = attempt(engine, pieces, [Cut("A", size, promised + 3, directional)]).missing
    assert [cut.count for cut in missing] == [3]


def moved(box: Box, ticks: int) -> Box:
    return Box(box.left + Length(ticks), box.near, box.size)


def grown(box: Box, ticks: int) -> Box:
    return Box(box.left, box.near, Size(box.size.width, box.size.length + Length(ticks)))


def other_way(direction: Direction) -> Direction:
    return Direction.ALONG if direction is Direction.ACROSS else Direction.ACROSS


def mutated(piece: PiecePlan) -> dict[str, PiecePlan]:
    """Return the piece with one thing wrong, in every way we can think of."""
    first, *placements = piece.placements
    wrong: dict[str, PiecePlan] = {
        "moved": replace(piece, placements=(replace(first, box=moved(first.box, 1)), *placements)),
        "grown": replace(piece, placements=(replace(first, box=grown(first.box, 1)), *placements)),
        "shrunk": replace(
            piece, placements=(replace(first, box=grown(first.box, -1)), *placements)
        ),
        "left out": replace(piece, placements=tuple(placements)),
        "twice": replace(piece, placements=(first, first, *placements)),
        "renamed": replace(piece, placements=(replace(first, name="no such cut"), *placements)),
        "trimmed less": replace(piece, trims=piece.trims[:-1]) if piece.trims else piece,
        "another cloth": replace(
            piece, cloth=replace(piece.cloth, size=Size(piece.cloth.size.width + Length(1),
                                                        piece.cloth.size.length))
        ),
        "no grain": replace(piece, cloth=replace(piece.cloth, fabric="elsewhere")),
    }  # fmt: skip
    size = first.box.size
    if size.width != size.length:
        wrong["turned"] = replace(
            piece, placements=(replace(first, turned=not first.turned), *placements)
        )
    if piece.off_cuts:
        rest, *others = piece.off_cuts
        wrong["off-cut lost"] = replace(piece, off_cuts=tuple(others))
        wrong["off-cut moved"] = replace(
            piece, off_cuts=(replace(rest, box=moved(rest.box, -1)), *others)
        )
    if piece.lines:
        line, *lines = piece.lines
        wrong["cut left out"] = replace(piece, lines=tuple(lines))
        wrong["cut elsewhere"] = replace(
            piece, lines=(replace(line, setting=line.setting + Length(1)), *lines)
        )
        wrong["cut the other way"] = replace(
            piece, lines=(replace(line, direction=other_way(line.direction)), *lines)
        )
        wrong["not edge to edge"] = replace(
            piece, lines=(replace(line, box=grown(line.box, -1)), *lines)
        )
        wrong["cut of nothing"] = replace(
            piece, lines=(replace(line, setting=Length(0)), *piece.lines)
        )
    if len(piece.lines) > 1:
        wrong["in another order"] = replace(piece, lines=piece.lines[::-1])
    return {name: one for name, one in wrong.items() if one != piece}


@quick
@given(cloths, cut_lists)
def test_the_proof_refuses_every_mutated_plan(
    engine: Engine, pieces: list[Cloth], cuts: list[Cut]
) -> None:
    for plan in both(attempt(engine, pieces, cuts)):
        assert flaws(plan, pieces, cuts) == ()
        for place, piece in enumerate(plan.pieces):
            for name, wrong in mutated(piece).items():
                changed = (*plan.pieces[:place], wrong, *plan.pieces[place + 1 :])
                assert flaws(replace(plan, pieces=changed), pieces, cuts), name
        wrongs: dict[str, Any] = {
            "a piece left out": replace(plan, pieces=plan.pieces[1:]),
            "a piece cut twice": replace(plan, pieces=(plan.pieces[0], *plan.pieces)),
            "other cuts": replace(plan, cuts=plan.cuts[1:]),
        }
        for name, whole in wrongs.items():
            assert flaws(whole, pieces, cuts), name
        stricter = [replace(cut, fabric="no such fabric") for cut in cuts]
        assert flaws(replace(plan, cuts=tuple(stricter)), pieces, stricter)


def test_the_proof_refuses_a_turned_cut_with_a_direction(engine: Engine) -> None:
    size = Size(Length(EIGHTH * 40), Length(EIGHTH * 20))
    pieces = [Cloth("P0", "a", Size(size.length, size.width))]
    cuts = [Cut("A", size)]
    (plan, _) = both(attempt(engine, pieces, cuts))
    assert flaws(plan, pieces, cuts) == ()
    strict = [replace(cuts[0], directional=True)]
    assert flaws(replace(plan, cuts=tuple(strict)), pieces, strict)


@pytest.mark.campaign
@pytest.mark.parametrize("batch", range(20))
def test_two_thousand_random_plans_pass_their_proof(engine: Engine, batch: int) -> None:
    found = Counter[bool]()

    @seed(batch)
    @settings(
        deadline=None,
        max_examples=100,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(cloths, cut_lists)
    def prove_all(pieces: list[Cloth], cuts: list[Cut]) -> None:
        made = attempt(engine, pieces, cuts)
        found[made.plans is not None] += 1
        for plan in both(made):
            prove(plan, pieces, cuts)

    prove_all()
    assert found[True] > 20
