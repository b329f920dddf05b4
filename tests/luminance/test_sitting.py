"""Sittings and learnt phones, by a simulated phone (tests/simulated_phone/snapped.py)."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from sample_photos import phone
from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import recalibrated
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.region import Crop
from stashkeeper.luminance.sitting import (
    UNBENT,
    PhoneCurve,
    Taken,
    gathered,
    learn_curve,
    same_sitting,
    sitting_calibration,
)
from tests.simulated_phone.snapped import Cloth, Shot, alone, cloth_at_random, snap

INSIDE = Crop(0.15, 0.15, 0.85, 0.85)
PAPER = 94.0
NOON = datetime(2026, 5, 3, 12, 0)
SHOT = Exposure(1 / 60, 1.9, 100, "Example", "P1", NOON)


def plain(lightness: float, height: int = 200, width: int = 240) -> Cloth:
    light = np.full((height, width, 3), ((lightness + 16) / 116) ** 3, dtype=np.float32)
    return Cloth(light, lightness)


def taken(cloth: Cloth, shot: Shot, exposure: phone.Exposure | None = None) -> Taken:
    photo = snap(alone(cloth), shot, exposure)
    return Taken(measure(photo, INSIDE), photo.exposure)


def bracket(bend: float, steps: int = 7) -> list[Taken]:
    """Return a grey cloth at several exposures, by the slider of a phone."""
    metered = phone.expose(alone(plain(50.0)))
    return [
        taken(plain(50.0), Shot(bend, brighter=float(stops), seed=n), metered)
        for n, stops in enumerate(np.linspace(-2.6, 1.6, steps))
    ]


def trial(sittings: int, fabrics: int, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return errors in L*: raw, with one photo of paper, and with a learnt phone as well."""
    random = np.random.default_rng(seed)
    raw: list[float] = []
    paper_only: list[float] = []
    learnt: list[float] = []
    for sitting in range(sittings):
        bend, warm = float(random.uniform(0.92, 1.12)), float(random.uniform(0.93, 1.07))
        curve = learn_curve(bracket(bend)).ramp
        paper = taken(plain(PAPER), Shot(bend, warm=warm, brighter=-0.5, seed=sitting))
        for number in range(fabrics):
            cloth = cloth_at_random(random, 200, 240)
            shot = Shot(
                bend * float(random.normal(1, 0.02)),
                (float(random.uniform(-0.1, 0.1)), float(random.uniform(-0.1, 0.1))),
                warm,
                float(random.normal(0, 0.8)),
                100 * sitting + number,
            )
            photo = taken(cloth, shot)
            raw.append(photo.measurement.lightness - cloth.lightness)
            for known, found in ((UNBENT, paper_only), (curve, learnt)):
                seen = float(paper.measurement.xyz[1])
                calibration = sitting_calibration(
                    photo.exposure, paper.exposure, seen, PAPER, known
                )
                lightness = recalibrated(photo.measurement, calibration).lightness
                found.append(lightness - cloth.lightness)
    return np.abs(raw), np.abs(paper_only), np.abs(learnt)


def test_one_photo_of_paper_sets_the_scale_of_a_sitting() -> None:
    raw, paper, learnt = trial(1, 8, seed=1)
    assert paper.mean() <= 4.0
    assert learnt.mean() <= 2.5
    assert paper.mean() < raw.mean()


@pytest.mark.campaign
def test_one_photo_of_paper_sets_the_scale_of_many_sittings() -> None:
    raw, paper, learnt = trial(8, 25, seed=2)
    assert raw.mean() >= 7
    assert np.percentile(raw, 95) >= 20
    assert paper.mean() <= 4.0
    assert learnt.mean() <= 2.5


def test_a_learnt_curve_is_that_of_the_phone() -> None:
    # Along the bracket the light is known by construction: each stop doubles it.
    photos = bracket(1.0)
    curve = learn_curve(photos)
    light = [gathered(photo.exposure) or 0.0 for photo in photos]
    found = [float(curve.ramp.luminance(photo.measurement.xyz[1])) for photo in photos]
    assert np.array(found) / found[0] == pytest.approx(np.array(light) / light[0], rel=1e-6)
    assert curve.residual < 1.0


def test_light_gathered_goes_by_time_iso_and_aperture() -> None:
    # Twice the time, half the ISO, two stops of aperture: closed forms (ISO 2720).
    assert gathered(replace(SHOT, seconds=1 / 30, iso=50)) == pytest.approx(gathered(SHOT))
    wider = gathered(replace(SHOT, aperture=3.8))
    assert wider == pytest.approx((gathered(SHOT) or 0) / 4)
    assert gathered(replace(SHOT, iso=None)) is None


@pytest.mark.parametrize(
    ("other", "together"),
    [
        (replace(SHOT, taken_at=NOON + timedelta(minutes=10)), True),
        (replace(SHOT, taken_at=NOON + timedelta(hours=3)), False),
        (replace(SHOT, taken_at=None), False),
        (replace(SHOT, model="P2"), False),
        (replace(SHOT, aperture=2.8), False),
    ],
)
def test_a_sitting_is_one_camera_and_one_light(other: Exposure, together: bool) -> None:
    assert same_sitting(SHOT, other) is together


def with_record(photos: list[Taken], **changes: Any) -> list[Taken]:
    return [Taken(one.measurement, replace(one.exposure, **changes)) for one in photos]


def refused(photos: list[Taken], words: str) -> None:
    with pytest.raises(BadReferenceError, match=words):
        learn_curve(photos)


def test_brackets_that_teach_nothing_are_refused() -> None:
    photos = bracket(1.0, 6)
    refused(photos[:3], "too narrow")
    refused(with_record(photos, iso=None), "too narrow|0 of these")
    refused(with_record(photos, merged=True), "0 of these")
    refused([photos[0], *with_record(photos[1:], model="Other")], "one camera")
    shuffled = [
        Taken(one.measurement, other.exposure)
        for one, other in zip(photos, photos[3:] + photos[:3], strict=True)
    ]
    refused(shuffled, "do not go with|do not get lighter")


def test_a_merged_exposure_is_kept_out_of_a_sitting() -> None:
    with pytest.raises(BadReferenceError, match="merged"):
        sitting_calibration(replace(SHOT, merged=True), SHOT, 0.5, PAPER)


def test_a_curve_says_whose_it_is() -> None:
    curve: PhoneCurve = learn_curve(bracket(1.0, 5))
    assert curve.camera == f"{phone.MAKER} Two"
