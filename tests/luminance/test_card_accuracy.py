"""Lightness beside the card, by a simulated phone (see tests/simulated_phone/snapped.py)."""

import numpy as np
import pytest

from stashkeeper.cloth.reading import Reading, difference_uncertainty
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.card_layout import usual_lightness
from stashkeeper.luminance.card_reading import read_card
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.patches import stored_points
from stashkeeper.luminance.ranking import Bands, value_by_bands
from stashkeeper.luminance.referenced import card_reading
from stashkeeper.luminance.region import Crop
from tests.simulated_phone.snapped import (
    CLOTH,
    Cloth,
    Shot,
    alone,
    cloth_at_random,
    snap,
    with_card,
)

Trial = list[tuple[Reading, Cloth]]
BANDS = Bands(dark_below=40.0, light_from=65.0)


def shot_at_random(random: np.random.Generator, seed: int) -> Shot:
    """Return a shot by any phone in window light that falls off by up to ±20 %."""
    return Shot(
        bend=float(random.uniform(0.92, 1.12)),
        slope=(float(random.uniform(-0.2, 0.2)), float(random.uniform(-0.2, 0.2))),
        warm=float(random.uniform(0.92, 1.08)),
        brighter=float(random.uniform(-0.5, 0.5)),
        seed=seed,
    )


def read(cloth: Cloth, shot: Shot, *, known: bool = True) -> Reading:
    photo = snap(with_card(cloth), shot)
    card = read_card(photo, find_card(photo), usual_lightness())
    middle = stored_points(
        photo, [((CLOTH.left + CLOTH.right) / 2, (CLOTH.top + CLOTH.bottom) / 2)]
    )
    at = card.calibration_at(middle[0].tolist())
    keys = (f"region:{shot.seed}", f"photo:{shot.seed}")
    return card_reading(measure(photo, CLOTH), card, at, keys, known=known)


def trial(count: int, seed: int) -> Trial:
    random = np.random.default_rng(seed)
    cloths = [cloth_at_random(random) for _ in range(count)]
    return [(read(cloth, shot_at_random(random, n)), cloth) for n, cloth in enumerate(cloths)]


def errors(readings: Trial) -> np.ndarray:
    return np.array([reading.lightness - cloth.lightness for reading, cloth in readings])


@pytest.fixture(scope="module")
def few() -> Trial:
    return trial(6, seed=21)


@pytest.fixture(scope="module")
def many() -> Trial:
    return trial(160, seed=22)


def good(readings: Trial) -> None:
    off = np.abs(errors(readings))
    assert off.mean() <= 1.5
    assert np.percentile(off, 95) <= 4.0


def test_beside_the_card_lightness_comes_out_right(few: Trial) -> None:
    good(few)


@pytest.mark.campaign
def test_beside_the_card_lightness_comes_out_right_for_many(many: Trial) -> None:
    good(many)


@pytest.mark.campaign
def test_the_uncertainty_beside_the_card_is_honest(many: Trial) -> None:
    stated = np.array([reading.uncertainty for reading, _ in many])
    assert (np.abs(errors(many)) <= stated).mean() >= 0.95


@pytest.mark.campaign
def test_few_values_beside_the_card_are_wrong(many: Trial) -> None:
    wrong = [
        value_by_bands(reading.lightness, BANDS) != value_by_bands(cloth.lightness, BANDS)
        for reading, cloth in many
    ]
    assert np.mean(wrong) <= 0.05


@pytest.mark.campaign
def test_a_gap_of_twenty_can_nearly_always_be_told(many: Trial) -> None:
    untold = [
        one.lightness - other.lightness - difference_uncertainty(one, other) < 5
        for one, light in many
        for other, dark in many
        if light.lightness - dark.lightness >= 20
    ]
    assert np.mean(untold) <= 0.10


@pytest.mark.campaign
def test_the_simulated_phone_is_not_kind() -> None:
    random = np.random.default_rng(23)
    off = []
    for seed in range(160):
        cloth = cloth_at_random(random, 220, 260)
        shot = shot_at_random(random, seed)
        rough = Shot(shot.bend, shot.slope, shot.warm, float(random.normal(0, 0.8)), seed)
        photo = snap(alone(cloth), rough)
        off.append(abs(measure(photo, Crop(0.15, 0.15, 0.85, 0.85)).lightness - cloth.lightness))
    assert np.mean(off) >= 7
    assert np.percentile(off, 95) >= 20


def test_a_card_nobody_measured_leaves_the_scale_wider_but_not_the_comparison() -> None:
    random = np.random.default_rng(4)
    cloths = [cloth_at_random(random) for _ in range(2)]
    one, other = (
        read(cloth, shot_at_random(random, n), known=False) for n, cloth in enumerate(cloths)
    )
    same = [read(cloth, shot_at_random(random, n)) for n, cloth in enumerate(cloths)]
    assert one.uncertainty > same[0].uncertainty
    alone_ones = (one.uncertainty**2 + other.uncertainty**2) ** 0.5
    assert difference_uncertainty(one, other) < alone_ones


def test_light_that_falls_off_far_is_doubted_and_followed_across_the_card() -> None:
    cloth = cloth_at_random(np.random.default_rng(5))
    reading = read(cloth, Shot(slope=(0.0, 0.9)))
    assert "uneven light" in reading.doubts
