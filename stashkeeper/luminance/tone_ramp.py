"""A tone ramp: from the luminance a camera wrote down to the luminance that was there.

A camera bends tones on purpose, and locally, so its numbers are no luminances. Things of known
lightness in the photo say what they stand for; between them a monotone cubic is drawn in L*,
where equal steps look equal.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lightness import EPSILON, KAPPA, lightness_of_luminance

LEAST_STEP = 0.4
"""Knots closer than this in the camera's own L* are one knot: noise would set the slope."""
END_SLOPES = (0.6, 1.7)
"""Beyond the outermost knots tones go on as a power of the camera's luminance, with the slope they
had there (in log luminance) kept within these limits, for it is a guess."""
DARKEST = 1e-5
"""Luminance that counts as black."""


@dataclass(frozen=True, slots=True)
class ToneRamp:
    """A monotone way from camera luminance to true luminance, through knots.

    Attributes:
        camera: luminance Y as decoded, after white balance, rising.
        true: the luminance Y (1 = white) that each stands for, rising.
    """

    camera: tuple[float, ...]
    true: tuple[float, ...]

    def luminance(self, camera: ArrayLike) -> Floats:
        """Return the true luminance of camera luminances.

        Between knots: the monotone cubic of Fritsch and Carlson (SIAM J. Numer. Anal. 17, 1980,
        with the harmonic slopes of Fritsch and Butland, 1984) in L*. Beyond them: a power law.
        """
        light = np.maximum(np.asarray(camera, dtype=np.float64), 0.0)
        known, meant = np.array(self.camera), np.array(self.true)
        if len(known) == 1:
            return np.asarray(light * (meant[0] / known[0]), dtype=np.float64)
        inside = _luminances(_cubic(lightnesses(light), lightnesses(known), lightnesses(meant)))
        low, high = (
            end * (np.maximum(light, DARKEST) / start) ** slope
            for start, end, slope in zip(
                (known[0], known[-1]), (meant[0], meant[-1]), self._end_slopes(), strict=True
            )
        )
        beyond = np.where(light < known[0], low, high)
        return np.where((light < known[0]) | (light > known[-1]), beyond, inside)

    def lightness(self, camera: float) -> float:
        """Return the true L* of a camera luminance; at most 100."""
        return min(100.0, lightness_of_luminance(float(self.luminance(camera))))

    def scaled(self, factor: float) -> "ToneRamp":
        """Return the ramp whose true luminances are all `factor` times as large."""
        return ToneRamp(self.camera, tuple(factor * light for light in self.true))

    @property
    def residuals(self) -> tuple[float, ...]:
        """How far, in L*, each inner knot lies from the ramp drawn through the others.

        What the ramp cannot know by itself: how well it does between its knots.
        """
        return tuple(
            self._without(place).lightness(self.camera[place])
            - lightness_of_luminance(self.true[place])
            for place in range(1, len(self.camera) - 1)
        )

    def _without(self, place: int) -> "ToneRamp":
        camera = self.camera[:place] + self.camera[place + 1 :]
        return ToneRamp(camera, self.true[:place] + self.true[place + 1 :])

    def _end_slopes(self) -> tuple[float, float]:
        """Return the slopes in log luminance at the dark and the light end."""
        camera, true = np.log(np.maximum(self.camera, DARKEST)), np.log(self.true)
        slopes = np.clip(np.diff(true) / np.diff(camera), *END_SLOPES)
        return float(slopes[0]), float(slopes[-1])


def fit_ramp(camera: Sequence[float], true: Sequence[float]) -> ToneRamp:
    """Return the ramp through known luminances, in any order.

    Knots that the camera can hardly tell apart are made one (their means).

    Args:
        camera: luminances as decoded, above 0.
        true: the luminances they stand for, above 0.

    Raises:
        BadReferenceError: when darker ones came out lighter: then they are not what they were
            taken for, or the light is not the same on all of them.
    """
    knots: list[list[tuple[float, float]]] = []
    for pair in sorted(zip(true, camera, strict=True)):
        if knots and _step(knots[-1], pair) < LEAST_STEP:
            knots[-1].append(pair)
        else:
            knots.append([pair])
    meant, seen = np.array([np.mean(knot, axis=0) for knot in knots]).T
    if np.any(np.diff(seen) <= 0) or np.any(np.diff(meant) <= 0) or seen[0] <= 0:
        raise BadReferenceError(
            "The greys in the photo do not get lighter in the order they should.",
            "Take the photo again in even light, without glare or shadow on the greys.",
        )
    return ToneRamp(tuple(seen.tolist()), tuple(meant.tolist()))


def _step(knot: list[tuple[float, float]], pair: tuple[float, float]) -> float:
    """Return how far apart a knot and the next pair are in L*: the camera's or the true, if less.

    Greys that came out in the wrong order are far apart the wrong way, and are not made one.
    """
    meant, seen = np.mean(knot, axis=0)
    true_step = lightness_of_luminance(pair[0]) - lightness_of_luminance(float(meant))
    step = abs(lightness_of_luminance(pair[1]) - lightness_of_luminance(float(seen)))
    return min(true_step, step)


def lightnesses(luminances: Floats) -> Floats:
    """Return L* of luminances (CIE 015:2018)."""
    line = KAPPA * luminances
    return np.where(luminances <= EPSILON, line, 116.0 * np.cbrt(luminances) - 16.0)


def _luminances(lightnesses: Floats) -> Floats:
    """Return the luminances of L* (CIE 015:2018)."""
    line = lightnesses / KAPPA
    return np.where(lightnesses <= 8.0, line, ((lightnesses + 16.0) / 116.0) ** 3)


def _cubic(at: Floats, x: Floats, y: Floats) -> Floats:
    """Return a monotone cubic through (x, y), x rising, at places `at` within it."""
    slopes = _slopes(x, y)
    place = np.clip(np.searchsorted(x, at) - 1, 0, len(x) - 2)
    width = x[place + 1] - x[place]
    t = np.clip((at - x[place]) / width, 0.0, 1.0)
    left, right = y[place], y[place + 1]
    bend = width * (t * (1 - t) ** 2 * slopes[place] - t**2 * (1 - t) * slopes[place + 1])
    return np.asarray(left + (right - left) * t**2 * (3 - 2 * t) + bend)


def _slopes(x: Floats, y: Floats) -> Floats:
    """Return a slope for each knot that keeps the cubic monotone."""
    width, secant = np.diff(x), np.diff(y) / np.diff(x)
    if len(x) == 2:
        return np.repeat(secant, 2)
    left, right = 2 * width[1:] + width[:-1], width[1:] + 2 * width[:-1]
    product = secant[:-1] * secant[1:]
    both = np.where(product > 0, left * secant[1:] + right * secant[:-1], 1.0)
    inner = np.where(product > 0, (left + right) * product / both, 0.0)
    ends = (_end_slope(width, secant), _end_slope(width[::-1], secant[::-1]))
    return np.concatenate([[ends[0]], inner, [ends[1]]])


def _end_slope(width: Floats, secant: Floats) -> float:
    """Return the slope at an outermost knot: of the parabola through three, kept monotone."""
    slope = ((2 * width[0] + width[1]) * secant[0] - width[0] * secant[1]) / (width[0] + width[1])
    if slope * secant[0] <= 0:
        return 0.0
    return float(min(slope, 3 * secant[0]) if secant[0] > 0 else max(slope, 3 * secant[0]))
