"""Contrast at seams: the rule of the value groups, colour told apart from value, replacements.

Sources: CIEDE2000 by pairs of Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula",
Color Res. Appl. 30 (2005), table 1; hue difference by CIE 15:2004, where
ΔE*ab² = ΔL*² + ΔC*ab² + ΔH*ab² holds for every pair.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stashkeeper.choosing.seam_contrast import (
    Cast,
    Holds,
    RoleSeam,
    judge_seams,
    replaced,
    seam_changes,
    weak_seams,
)
from stashkeeper.cloth.reading import (
    Method,
    Reading,
    Spread,
    lone_photo_factors,
    typed_factors,
)
from stashkeeper.errors import BadRequestError
from stashkeeper.luminance.contrast import Entry, Verdict

STAR_SKY = [RoleSeam("star", "sky", 120.0)]


def entry(
    code: str,
    lightness: float,
    a: float | None = 0.0,
    b: float | None = 0.0,
    spread: Spread | None = None,
) -> Entry:
    """Return a fabric with a typed lightness."""
    factors = typed_factors(f"own {code}")
    return Entry(code, Reading(lightness, a, b, Method.TYPED, factors, spread), code)


def photographed(code: str, lightness: float) -> Entry:
    """Return a fabric with a photo of its own."""
    factors = lone_photo_factors(f"own {code}", f"photo {code}")
    return Entry(code, Reading(lightness, 0.0, 0.0, Method.PHOTO, factors), code)


def test_a_farther_fabric_that_is_less_sure_decides() -> None:
    """Typed ones lie 27 ±3 apart; the photographed one 30 ±25, which may be no more than 5."""
    cast = {"star": [entry("A", 57), photographed("C", 60)], "sky": [entry("B", 30)]}
    (found,) = judge_seams(STAR_SKY, cast)
    assert (found.gap, found.verdict, found.holds) == (27, Verdict.CANNOT_TELL, Holds.UNSURE)
    assert found.uncertainty == pytest.approx(25.11 - 3, abs=0.02)


@pytest.mark.parametrize(
    ("star", "sky", "verdict", "holds"),
    [
        (entry("A", 90), entry("B", 30), Verdict.STRONG, Holds.VALUE),
        (entry("A", 30), entry("B", 90), Verdict.STRONG, Holds.VALUE),
        (entry("A", 50), entry("B", 43), Verdict.CANNOT_TELL, Holds.UNSURE),
        (photographed("A", 60), photographed("B", 30), Verdict.CANNOT_TELL, Holds.UNSURE),
        (entry("A", 50), entry("B", 47), Verdict.WEAK, Holds.NOTHING),
        (entry("A", 50, 60, 40), entry("B", 47, -40, 30), Verdict.WEAK, Holds.COLOUR),
        (entry("A", 50, None, None), entry("B", 47, -40, 30), Verdict.WEAK, Holds.NOTHING),
    ],
)
def test_what_keeps_two_roles_apart(
    star: Entry, sky: Entry, verdict: Verdict, holds: Holds
) -> None:
    (judged,) = judge_seams(STAR_SKY, {"star": [star], "sky": [sky]})
    assert (judged.verdict, judged.holds) == (verdict, holds)
    assert judged.gap == abs(star.reading.lightness - sky.reading.lightness)
    assert judged.lighter_role == ("star" if star.reading.lightness > 40 else "sky")
    assert weak_seams([judged]) == ((judged,) if verdict is Verdict.WEAK else ())


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
        ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), None),
    ],
)
def test_the_colour_difference_of_a_weak_seam_is_the_published_one(
    one: tuple[float, float, float], other: tuple[float, float, float], published: float | None
) -> None:
    cast = {"star": [entry("A", *one)], "sky": [entry("B", *other)]}
    (judged,) = judge_seams(STAR_SKY, cast)
    assert judged.colour is not None
    assert judged.colour.whole == (published and pytest.approx(published, abs=1e-4))


ANY_COLOUR = st.tuples(st.floats(0, 100), st.floats(-90, 90), st.floats(-90, 90))


@given(ANY_COLOUR, ANY_COLOUR)
def test_lightness_saturation_and_hue_make_up_the_whole_difference(
    one: tuple[float, float, float], other: tuple[float, float, float]
) -> None:
    near = (one[0] + 50 if abs(one[0] - other[0]) < 5 else one[0], *one[1:])
    (judged,) = judge_seams(STAR_SKY, {"star": [entry("A", *near)], "sky": [entry("B", *other)]})
    assert judged.colour is not None and judged.gap is not None
    parts = judged.gap**2 + judged.colour.saturation**2 + judged.colour.hue**2
    assert math.sqrt(parts) == pytest.approx(math.dist(near, other), abs=1e-6)


def test_a_role_is_as_close_as_its_closest_fabric() -> None:
    cast = {"star": [entry("A", 90), entry("B", 52)], "sky": [entry("C", 20), entry("D", 40)]}
    (judged,) = judge_seams(STAR_SKY, cast)
    assert (judged.lighter, judged.darker, judged.gap) == ("B", "D", 12.0)


def test_a_seam_is_held_by_colour_only_if_every_weak_pair_is() -> None:
    red, green, dull = entry("A", 50, 60, 40), entry("B", 48, -40, 30), entry("C", 46, 55, 35)
    (held,) = judge_seams(STAR_SKY, {"star": [red], "sky": [green]})
    (not_held,) = judge_seams(STAR_SKY, {"star": [red], "sky": [green, dull]})
    assert (held.holds, not_held.holds) == (Holds.COLOUR, Holds.NOTHING)


def test_one_fabric_on_both_sides_of_a_seam_is_no_contrast_at_all() -> None:
    (judged,) = judge_seams(STAR_SKY, {"star": [entry("A", 50)], "sky": [entry("A", 50)]})
    assert (judged.gap, judged.uncertainty, judged.holds) == (0.0, 0.0, Holds.NOTHING)


def test_busy_prints_mix_although_their_means_lie_apart() -> None:
    dots = entry("A", 70, spread=Spread(15.0, 40.0, 95.0))
    stripe = entry("B", 40, spread=Spread(15.0, 15.0, 62.0))
    plain = entry("C", 40, spread=Spread(1.0, 38.0, 42.0))
    (busy,) = judge_seams(STAR_SKY, {"star": [dots], "sky": [stripe]})
    (calm,) = judge_seams(STAR_SKY, {"star": [dots], "sky": [plain]})
    (unknown,) = judge_seams(STAR_SKY, {"star": [dots], "sky": [entry("D", 40)]})
    assert (busy.holds, busy.mixing, busy.busy) == (Holds.VALUE, 22.0, True)
    assert (calm.mixing, calm.busy) == (2.0, False)
    assert (unknown.mixing, unknown.busy) == (None, False)


def test_a_role_without_a_fabric() -> None:
    (judged,) = judge_seams(STAR_SKY, {"star": [entry("A", 50)]})
    assert (judged.gap, judged.verdict, judged.holds) == (None, Verdict.NO_PIECES, Holds.NO_PIECES)


CAST: Cast = {
    "star": [entry("A", 52)],
    "sky": [entry("B", 50)],
    "border": [entry("C", 15), entry("D", 20)],
}
SEAMS = [RoleSeam("star", "border", 9.0), RoleSeam("sky", "border", 90.0), *STAR_SKY]


def test_the_worst_seam_comes_first_then_the_longest() -> None:
    assert [(one.seam.one, one.seam.other) for one in judge_seams(SEAMS, CAST)] == [
        ("star", "sky"), ("sky", "border"), ("star", "border"),
    ]  # fmt: skip


def test_replacing_one_fabric_tells_what_changes() -> None:
    before = judge_seams(SEAMS, CAST)
    after = judge_seams(SEAMS, replaced(CAST, "sky", "B", entry("E", 85)))
    changes = seam_changes(before, after)
    told = {(one.after.seam.one, one.after.seam.other):
            (one.before.gap, one.after.gap, one.better) for one in changes}  # fmt: skip
    assert told == {("star", "sky"): (2.0, 33.0, True), ("sky", "border"): (30.0, 65.0, True)}
    back = seam_changes(after, before)
    assert [one.better for one in back] == [False, False]


def test_replacing_takes_every_piece_of_the_fabric_and_keeps_its_place() -> None:
    twice = Entry("D2", CAST["border"][1].reading, "D")
    cast = {**CAST, "border": [CAST["border"][0], CAST["border"][1], twice]}
    after = replaced(cast, "border", "D2", entry("E", 30))
    assert [one.code for one in after["border"]] == ["C", "E"]
    assert [one.code for one in cast["border"]] == ["C", "D", "D2"]


@pytest.mark.parametrize(
    ("role", "out", "told"),
    [
        ("moon", "A", "There is no role “moon”."),
        ("sky", "A", "“A” does not play “sky”."),
    ],
)
def test_a_replacement_that_makes_no_sense(role: str, out: str, told: str) -> None:
    with pytest.raises(BadRequestError) as caught:
        replaced(CAST, role, out, entry("E", 30))
    assert caught.value.problem == told
