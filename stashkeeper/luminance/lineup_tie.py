"""Photos tied together by the fabrics they share: one scale for all, by weighted least squares.

In one photo all fabrics share the exposure, so the logarithm of what the camera wrote down is that
of the fabric's luminance plus one unknown for the photo. A fabric that lies in two photos ties
their unknowns together; a fabric of known lightness pins them. What is not pinned keeps the
uncertainty of photos taken at their word. Besides, a camera bends tones: how much is one more
unknown for all, which two fabrics of known lightness settle.

The solution is the usual one of Gauss and Markov with prior knowledge (JCGM 102:2011, 6), its
covariance made into factors that add up to it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.cloth.reading import Factor
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lightness import lightness_of_luminance, luminance_of_lightness

OWN_ONCE: Final = 5.0
OWN_ALWAYS: Final = 4.0
"""± L* (95 %) of a fabric in one photo: by chance, and by its colour's own way with cameras, which
more photos do not lessen. Together the 6.4 that make ±9 of a difference inside one photo."""
PHOTO: Final = 24.2
"""± L* (95 %) of a photo taken at its word, at medium lightness."""
SHOWN: Final = -0.1
"""Log of what a camera makes of medium grey, expected (ours). Standard output sensitivity (ISO
12232) shows the mean of a scene as 18 %, cloth spread from L* 14 to 93 reflects 28 %, and phones go
half the way: that makes -0.2, as in the real chart photo (-0.20, by its colours). Half of it is
taken, since phones differ."""
CAMERA: Final = 8.0
"""± L* (95 %) that all photos are off from that together, likewise (ours)."""
BENT: Final = 0.1
"""Contrast beyond the scene's that cameras add, expected: pictures are made with 1.1 to 1.2 (ITU-R
BT.2100, system gamma); the real chart photo has 1.14, its colours alone 1.07."""
BEND: Final = 0.2
"""± by which a camera's contrast differs from that (95 %, ours)."""
MIDDLE: Final = math.log(0.18)
"""Log luminance around which it bends: medium grey."""
DARKEST: Final = 0.002
SHARED: Final = 6
"""So many factors say what fabrics share; the rest counts as each one's own."""
COVERAGE: Final = 1.96
"""From standard deviations to 95 %."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A fabric in a photo, and its luminance Y as decoded."""

    fabric: str
    photo: str
    luminance: float


@dataclass(frozen=True, slots=True)
class Known:
    """A fabric whose lightness is known otherwise, with its 95 % uncertainty in L*.

    Attributes:
        factors: what that uncertainty is made of, where others may share it.
    """

    fabric: str
    lightness: float
    uncertainty: float
    factors: tuple[Factor, ...] = ()


@dataclass(frozen=True, slots=True)
class Tied:
    """One scale for all fabrics.

    Attributes:
        lightness: L* of each fabric.
        factors: what its uncertainty is made of.
        gains: what the luminance of each photo is multiplied by, at medium grey.
        bend: contrast of the camera, 1 where it shows the scene's.
    """

    lightness: dict[str, float]
    factors: dict[str, tuple[Factor, ...]]
    gains: dict[str, float]
    bend: float


def tie(seen: Sequence[Seen], known: Sequence[Known], key: str) -> Tied:
    """Return the one scale that photos of line-ups and known fabrics give together.

    Args:
        seen: every fabric in every photo.
        known: fabrics of known lightness among them.
        key: names this solution in the factors.
    """
    fabrics = list(dict.fromkeys(one.fabric for one in seen))
    photos = list(dict.fromkeys(one.photo for one in seen))
    at = np.array([fabrics.index(one.fabric) for one in seen])
    by = np.array([photos.index(one.photo) for one in seen])
    shown = np.log([max(one.luminance, DARKEST) for one in seen])
    pins = [one for one in known if one.fabric in fabrics]
    state, covariance = _solved(at, by, shown, pins, fabrics)
    light = np.exp(state[: len(fabrics)])
    lightness = np.array([min(100.0, lightness_of_luminance(float(y))) for y in light])
    slope = _slope(lightness)
    spread = covariance[: len(fabrics), : len(fabrics)] * np.outer(slope, slope) * COVERAGE**2
    pulls = [_pull(pin, fabrics.index(pin.fabric), spread, slope) for pin in pins]
    shared = _shared(fabrics, pins, pulls)
    for pin, pull in zip(pins, pulls, strict=True):
        if pin.factors:
            spread = spread - np.outer(pull, pull) * pin.uncertainty**2
    rest = _factors(fabrics, spread, key)
    bend = 1.0 + float(state[-1])
    gains = np.exp(-state[len(fabrics) : -2] - state[-2])
    return Tied(
        dict(zip(fabrics, lightness.tolist(), strict=True)),
        {fabric: (*shared[fabric], *rest[fabric]) for fabric in fabrics},
        dict(zip(photos, gains.tolist(), strict=True)),
        bend,
    )


def _slope(lightness: Floats) -> Floats:
    """Return how many L* a unit of log luminance is (CIE 1976, above L* 8)."""
    return np.asarray((np.maximum(lightness, 8.0) + 16.0) / 3.0)


def _solved(
    at: Floats, by: Floats, shown: Floats, pins: Sequence[Known], fabrics: Sequence[str]
) -> tuple[Floats, Floats]:
    """Return fabrics, photos, camera and bend, in logs, and their covariance (Gauss–Newton)."""
    count, photos = len(fabrics), int(by.max()) + 1
    size = count + photos + 2
    middle = float(_slope(np.array(50.0))) * COVERAGE
    raw = np.array([lightness_of_luminance(float(y)) for y in np.exp(shown)])
    weight = COVERAGE * _slope(raw) / OWN_ONCE
    prior = np.concatenate([np.full(photos, middle / PHOTO), [middle / CAMERA, COVERAGE / BEND]])
    expected = np.concatenate([np.zeros(photos), [SHOWN, BENT]])
    state = np.zeros(size)
    state[-2:] = SHOWN, BENT
    state[:count] = [shown[at == place].mean() for place in range(count)]
    for _ in range(6):
        rows = np.zeros((len(at), size))
        order = np.arange(len(at))
        rows[order, at] = 1.0 + state[-1]
        rows[order, count + by], rows[:, -2] = 1.0, 1.0
        rows[:, -1] = state[at] - MIDDLE
        told = shown - (state[at] + state[count + by] + state[-2] + state[-1] * rows[:, -1])
        pinned, off = _pinned(pins, fabrics, state, size)
        normal = (
            rows.T @ (rows * weight[:, np.newaxis] ** 2)
            + pinned.T @ pinned
            + np.diag(np.concatenate([np.zeros(count), prior**2]))
        )
        pull = rows.T @ (told * weight**2) + pinned.T @ off
        pull[count:] -= prior**2 * (state[count:] - expected)
        state = state + np.linalg.solve(normal, pull)
    return state, np.linalg.inv(normal)


def _pinned(
    pins: Sequence[Known], fabrics: Sequence[str], state: Floats, size: int
) -> tuple[Floats, Floats]:
    """Return weighted rows for the fabrics of known lightness, and how far each is off."""
    rows, off = np.zeros((len(pins), size)), np.zeros(len(pins))
    for row, pin in enumerate(pins):
        place = fabrics.index(pin.fabric)
        lightness = max(pin.lightness, 4.0)
        weight = COVERAGE * float(_slope(np.array(lightness))) / _unsure(pin)
        rows[row, place] = weight
        off[row] = weight * (math.log(luminance_of_lightness(lightness)) - state[place])
    return rows, off


def _unsure(pin: Known) -> float:
    """Return how surely a known fabric pins: the colour's own way with cameras limits it."""
    return math.hypot(pin.uncertainty, OWN_ALWAYS)


def _pull(pin: Known, place: int, spread: Floats, slope: Floats) -> Floats:
    """Return how far each fabric goes with a known one, in L* of its own for one L* of that."""
    own = slope[place] / float(_slope(np.array(max(pin.lightness, 4.0))))
    return np.asarray(spread[:, place] / (own * _unsure(pin) ** 2))


def _shared(
    fabrics: Sequence[str], pins: Sequence[Known], pulls: Sequence[Floats]
) -> dict[str, tuple[Factor, ...]]:
    """Return what each fabric shares with the readings of known ones: if those are off, so is it.

    What several known ones share adds up before it is squared (JCGM 102:2011, 6).
    """
    none = np.zeros(len(fabrics))
    weights: dict[str, Floats] = {}
    for pin, pull in zip(pins, pulls, strict=True):
        for factor in pin.factors:
            weights[factor.key] = weights.get(factor.key, none) + pull * factor.weight
    return {
        fabric: tuple(
            Factor(key, float(weight[place]))
            for key, weight in weights.items()
            if abs(weight[place]) > 0.05
        )
        for place, fabric in enumerate(fabrics)
    }


def _factors(fabrics: Sequence[str], covariance: Floats, key: str) -> dict[str, tuple[Factor, ...]]:
    """Return factors whose products add up to a covariance (95 %, in L*²)."""
    values, vectors = np.linalg.eigh(covariance)
    strongest = np.argsort(values)[::-1][: min(SHARED, len(fabrics) - 1)]
    weights = vectors[:, strongest] * np.sqrt(np.maximum(values[strongest], 0.0))
    own = np.sqrt(np.maximum(np.diag(covariance) - (weights**2).sum(axis=1), 0.0) + OWN_ALWAYS**2)
    return {
        fabric: (
            Factor(f"{key}:{fabric}", float(own[place])),
            *(
                Factor(f"{key}:{number}", float(weight))
                for number, weight in enumerate(weights[place])
                if abs(weight) > 0.05
            ),
        )
        for place, fabric in enumerate(fabrics)
    }
