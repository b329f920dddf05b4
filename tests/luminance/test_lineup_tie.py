"""Photos tied together by shared fabrics, and how honest the one scale is."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.reading import Factor
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.lineup_tie import Known, Seen, Tied, tie


def seen(photos: dict[str, tuple[float, dict[str, float]]]) -> list[Seen]:
    """Return what photos show: each its exposure factor, and the true L* of its fabrics."""
    return [
        Seen(fabric, photo, gain * luminance_of_lightness(lightness))
        for photo, (gain, fabrics) in photos.items()
        for fabric, lightness in fabrics.items()
    ]


def unsure(tied: Tied, fabric: str) -> float:
    return math.sqrt(sum(factor.weight**2 for factor in tied.factors[fabric]))


def apart(tied: Tied, one: str, other: str) -> float:
    return difference(tied.factors[one], tied.factors[other])


def difference(one: Sequence[Factor], other: Sequence[Factor]) -> float:
    """Return the uncertainty of a difference: U² = Σ (w_i − w_j)² (JCGM 100:2008, 5.2)."""
    ours = {factor.key: factor.weight for factor in one}
    theirs = {factor.key: factor.weight for factor in other}
    return math.sqrt(
        sum((ours.get(k, 0) - theirs.get(k, 0)) ** 2 for k in ours.keys() | theirs.keys())
    )


TWO_PHOTOS = seen(
    {
        "bright": (1.4, {"Moss": 50.0, "Chalk": 88.0, "Slate": 30.0}),
        "dim": (0.6, {"Slate": 30.0, "Plum": 25.0, "Sand": 70.0}),
    }
)


def test_a_shared_fabric_takes_the_exposures_out() -> None:
    """Two exposures a factor of 2.3 apart, one fabric in both, one of known lightness."""
    tied = tie(TWO_PHOTOS, [Known("Moss", 50.0, 2.0), Known("Chalk", 88.0, 2.0)], "t")
    # Photos taken at their word pull a little: Sand would be 54 or 77 by its own photo alone.
    true = {"Moss": 50, "Chalk": 88, "Slate": 30, "Plum": 25, "Sand": 70}
    assert tied.lightness == pytest.approx(true, abs=2.5)


def test_what_is_not_pinned_stays_as_unsure_as_photos_are_but_compares_well() -> None:
    tied = tie(TWO_PHOTOS, [], "t")
    assert unsure(tied, "Moss") > 15
    # 45 apart in one photo, and 20 apart in two photos that one fabric ties.
    for one, other in (("Plum", "Sand"), ("Moss", "Sand"), ("Moss", "Plum")):
        assert apart(tied, one, other) < 0.8 * math.hypot(unsure(tied, one), unsure(tied, other))


def test_a_known_fabric_makes_the_scale_surer() -> None:
    loose, pinned = (tie(TWO_PHOTOS, known, "t") for known in ([], [Known("Moss", 50.0, 2.0)]))
    for fabric in loose.lightness:
        assert unsure(pinned, fabric) < unsure(loose, fabric)


def test_two_known_fabrics_take_out_how_the_camera_bends() -> None:
    """The camera's contrast is 1.3 of the scene's around medium grey."""
    fabrics = {"Ink": 20.0, "Moss": 45.0, "Sand": 70.0, "Chalk": 90.0}
    bent = [
        Seen(name, "photo", 0.18 * (luminance_of_lightness(lightness) / 0.18) ** 1.3)
        for name, lightness in fabrics.items()
    ]
    known = [Known("Ink", 20.0, 1.0), Known("Chalk", 90.0, 1.0)]
    tied, by_one = tie(bent, known, "t"), tie(bent, known[:1], "t")
    for fabric in ("Moss", "Sand"):
        assert abs(tied.lightness[fabric] - fabrics[fabric]) < 3
        assert abs(by_one.lightness[fabric] - fabrics[fabric]) > 3
    assert 1.2 < tied.bend < 1.3


@settings(deadline=None, max_examples=40)
@given(st.floats(0.5, 2.0), st.permutations(range(6)))
def test_exposure_and_order_do_not_matter_where_the_scale_is_pinned(
    gain: float, order: list[int]
) -> None:
    shown = [TWO_PHOTOS[place] for place in order]
    darker = [Seen(one.fabric, one.photo, one.luminance * gain**0.2) for one in shown]
    known = [Known("Moss", 50.0, 0.5), Known("Chalk", 88.0, 0.5)]
    one, other = tie(TWO_PHOTOS, known, "t"), tie(darker, known, "t")
    for fabric, lightness in one.lightness.items():
        assert other.lightness[fabric] == pytest.approx(lightness, abs=2.5)


CARD = (Factor("Moss beside a card", 4.8), Factor("that card", 3.6))


def test_what_a_known_fabric_may_be_off_by_is_shared_by_those_beside_it() -> None:
    """Moss, read beside a card to ±6, and Slate lie in one photo; of Moss the card counts on.

    Inside one photo a difference is good to ±9, whatever the scale (four real photos of a chart).
    """
    photo = seen({"photo": (1.2, {"Moss": 60.0, "Slate": 46.0})})
    tied = tie(photo, [Known("Moss", 60.0, 6.0, CARD)], "t")
    assert unsure(tied, "Slate") > 9
    assert difference(CARD, tied.factors["Slate"]) < 9


def test_what_several_known_fabrics_share_does_not_average_out() -> None:
    """Six fabrics read beside one card: if that card is off, all of them are, and so is Plum."""
    names = ["Ink", "Moss", "Sand", "Shell", "Slate", "Teal"]
    photo = seen({"photo": (1.0, dict.fromkeys([*names, "Plum"], 50.0))})
    own, shared = (
        [Known(name, 50.0, 6.0, (Factor(key or name, 6.0),)) for name in names]
        for key in ("", "card")
    )
    lone, all_alike = (unsure(tie(photo, known, "t"), "Plum") for known in (own, shared))
    assert all_alike > lone + 0.5


def test_factors_add_up_to_the_exact_covariance() -> None:
    """Drawn at random: the stated ± of every difference covers what really happens."""
    random = np.random.default_rng(3)
    truth = dict(zip("abcdef", (20.0, 35.0, 50.0, 60.0, 75.0, 90.0), strict=True))
    photos = {"p": "abc", "q": "cde", "r": "efa"}
    inside = []
    for _ in range(300):
        shown = []
        for photo, fabrics in photos.items():
            gain = random.normal(0, 24.2 / 1.96 / 22)
            for fabric in fabrics:
                noise = random.normal(0, 5.0 / 1.96) / ((truth[fabric] + 16) / 3)
                light = math.log(luminance_of_lightness(truth[fabric])) + gain + noise
                shown.append(Seen(fabric, photo, math.exp(light)))
        tied = tie(shown, [Known("a", 20.0, 2.0), Known("f", 90.0, 2.0)], "t")
        inside += [abs(tied.lightness[one] - truth[one]) <= unsure(tied, one) for one in truth]
    assert np.mean(inside) > 0.95
