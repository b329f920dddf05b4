"""Cures of weak seams: held against every exchange there is, tried one by one."""

import random

import pytest

from stashkeeper.choosing.seam_contrast import Cast, RoleSeam, SeamContrast, judge_seams
from stashkeeper.choosing.seam_cures import SeamCure, meant_alike, seam_cures
from stashkeeper.cloth.reading import Method, Reading, typed_factors
from stashkeeper.luminance.contrast import Entry, Verdict

STAR_SKY = RoleSeam("star", "sky", 120.0)
SKY_EDGE = RoleSeam("edge", "sky", 80.0)
STAR_EDGE = RoleSeam("edge", "star", 40.0)
THREE = (STAR_SKY, SKY_EDGE, STAR_EDGE)


def entry(code: str, lightness: float) -> Entry:
    """Return a fabric with a typed lightness."""
    reading = Reading(lightness, 0.0, 0.0, Method.TYPED, typed_factors(f"own {code}"))
    return Entry(code, reading, code)


def cast_of(**lightness: float) -> Cast:
    """Return one fabric for each role, called as the role in capitals."""
    return {role: [entry(role.upper(), number)] for role, number in lightness.items()}


def cures(
    cast: Cast, spare: list[Entry], order: dict[str, int], seams: tuple[RoleSeam, ...] = THREE
) -> tuple[SeamContrast, tuple[SeamCure, ...]]:
    """Return the worst seam that is to be told apart, and its cures."""
    judged = [one for one in judge_seams(seams, cast) if not meant_alike(one.seam, order)]
    worst = judged[0]
    return worst, seam_cures(worst, seams, cast, lambda *_: spare, order)


def test_the_fabric_that_lies_farthest_off_on_its_own_side() -> None:
    cast = cast_of(star=40, sky=42)
    spare = [entry("A", 10), entry("B", 20), entry("C", 90), entry("D", 60)]
    _, found = cures(cast, spare, {"star": 0, "sky": 2}, (STAR_SKY,))
    # The star is to be dark, the sky light: A lies 32 below the sky, C 50 above the star.
    assert [(one.role, one.leave_out, one.instead, one.gap) for one in found] == [
        ("sky", "SKY", "C", 50.0), ("star", "STAR", "A", 32.0),
    ]  # fmt: skip
    assert all(one.verdict is Verdict.STRONG for one in found)


def test_a_light_role_stays_light_even_where_it_is_the_darker_now() -> None:
    cast = cast_of(star=45, sky=42)
    _, found = cures(cast, [entry("A", 5)], {"star": 0, "sky": 2}, (STAR_SKY,))
    assert [(one.role, one.instead) for one in found] == [("star", "A")]


def test_nothing_is_named_that_helps_one_seam_and_spoils_another() -> None:
    cast = cast_of(star=40, sky=43, edge=80)
    spare = [entry("A", 81)]
    # As sky, A would leave the star but meet the edge, which is to stay lighter than it.
    _, found = cures(cast, spare, {"star": 0, "sky": 1, "edge": 2})
    assert found == ()


def test_roles_meant_alike_need_not_be_told_apart() -> None:
    cast = cast_of(star=20, sky=24, edge=21)
    order = {"star": 0, "sky": 2, "edge": 0}
    assert meant_alike(STAR_EDGE, order)
    assert not meant_alike(STAR_SKY, order)
    _, found = cures(cast, [entry("A", 90)], order)
    assert [(one.role, one.instead, one.gap) for one in found] == [("sky", "A", 69.0)]


def test_a_fabric_of_the_quilt_is_no_cure() -> None:
    cast = cast_of(star=40, sky=42)
    _, found = cures(cast, [entry("STAR", 40), entry("SKY", 42)], {}, (STAR_SKY,))
    assert found == ()


@pytest.mark.parametrize("seed", range(40))
def test_against_every_exchange_there_is(seed: int) -> None:
    dice = random.Random(seed)
    order = {"star": 0, "sky": 1, "edge": 2}
    cast = cast_of(**{role: dice.uniform(10, 90) for role in order})
    spare = [entry(f"F{number}", dice.uniform(5, 95)) for number in range(9)]
    worst, found = cures(cast, spare, order)
    lightness = {role: cast[role][0].reading.lightness for role in order}
    sides = {worst.seam.one, worst.seam.other}
    best: dict[str, float] = {}
    for role in sides:
        for one in spare:
            # Lighter than every role meant to be darker, darker than every one meant lighter.
            room = min(
                (one.reading.lightness - other) * (1 if order[role] > order[name] else -1)
                for name, other in lightness.items()
                if name != role
            )
            best[role] = max(best.get(role, 0.0), room)
    for cure in found:
        assert cure.gap == pytest.approx(best[cure.role])
    # Typed readings are ±2, so a difference is ±2.8: a gap of 7.9 counts as fair, below it not.
    told = {cure.role for cure in found}
    if worst.verdict is Verdict.WEAK:
        assert told == {role for role in sides if best[role] >= 5.0}
