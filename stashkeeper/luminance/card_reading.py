"""What the reference card says of a photo: its tones, the colour of its light, its evenness."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import (
    Calibration,
    KnownGrey,
    calibration_of_greys,
)
from stashkeeper.luminance.card_finder import FoundCard
from stashkeeper.luminance.card_layout import (
    HEIGHT,
    WIDTH,
    Square,
    grey_squares,
    paper_squares,
)
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.patches import Patch, patch_light

MARGIN: Final = 2.5
"""Left out around each place that is read, in millimetres: blur, and the cut of the printer."""
EVEN: Final = 9.0
"""A place more uneven than this in the camera's L* is glare, a shadow's edge, or a screen."""
CLIPPED: Final = 0.01
"""A place with more than this share at the brightest codes is burnt out, and is left out."""
LEAST_LEVELS: Final = 5
UNEVEN: Final = 0.25
"""Light that varies by more than ± this share across the photo spoils a reading."""
BRIGHT: Final = 0.08
"""Levels darker than this luminance say nothing of the evenness of light: stray light is theirs."""
FURTHEST: Final = 0.3
"""Log luminance: the light is followed beyond the card only so far."""


@dataclass(frozen=True, slots=True, eq=False)
class CardReading:
    """The card in a photo.

    Attributes:
        found: where it lies.
        calibration: what it makes of the photo, at the middle of the card.
        slope: how light falls off, log luminance a millimetre, across and down the card.
        uneven: whether light varies by more than ±25 % across the photo.
        burnt: whether its paper is burnt out, so that light cloth is a guess.
        lightest: L* of the lightest of its greys or paper that is not burnt out.
    """

    found: FoundCard
    calibration: Calibration
    slope: tuple[float, float]
    uneven: bool
    burnt: bool
    lightest: float

    def calibration_at(self, stored: Sequence[float]) -> Calibration:
        """Return the calibration for cloth around a point, in stored pixels of the photo."""
        more = self._more_light(self.found.place.back([tuple(stored)])[0])
        ramp = self.calibration.ramp.scaled(float(np.exp(-more)))
        return Calibration(self.calibration.gains, ramp, self.calibration.colours)

    def _more_light(self, on_card: Floats) -> float:
        away = on_card - (WIDTH / 2, HEIGHT / 2)
        return float(np.clip(away @ np.array(self.slope), -FURTHEST, FURTHEST))


def read_card(photo: Photo, found: FoundCard, lightness: Sequence[float]) -> CardReading:
    """Read the card that was found in a photo.

    Args:
        photo: an open photo.
        found: where the card lies in it.
        lightness: L* of its paper and of its six greys, from light to dark.

    Raises:
        BadReferenceError: part of it is out of the photo or covered, or too much of it is burnt out
            or in glare.
    """
    places = [paper_squares(), *grey_squares()]
    patches = [[_patch(photo, found, square) for square in squares] for squares in places]
    levels = [
        (level, squares, true)
        for level, squares, true in zip(patches, places, lightness, strict=True)
        if all(patch.clipped <= CLIPPED for patch in level)
    ]
    if len(levels) < LEAST_LEVELS:
        raise BadReferenceError(
            f"The reference card in {photo.name} is burnt out.",
            "Take the photo again with less light on it, or tap the card to set the exposure.",
        )
    greys = [KnownGrey(_mean_light(level), true) for level, _, true in levels]
    calibration = calibration_of_greys(greys, photo.space.to_xyz[1])
    slope = _slope(photo, levels, calibration)
    return CardReading(
        found,
        calibration,
        slope,
        uneven=_is_uneven(photo, found, slope),
        burnt=len(levels) < len(places),
        lightest=max(true for _, _, true in levels),
    )


def _patch(photo: Photo, found: FoundCard, square: Square) -> Patch:
    """Return one place of the card.

    Raises:
        BadReferenceError: it is out of the photo, or not even.
    """
    across = min(square.right - square.left, square.bottom - square.top)
    core = square.core(min(MARGIN, across / 4))
    patch = patch_light(photo, found.place(core.corners))
    if patch is None:
        raise BadReferenceError(
            f"Part of the reference card is outside {photo.name}.",
            "Take the photo again with the whole card in it.",
        )
    if patch.unevenness > EVEN:
        raise BadReferenceError(
            f"The reference card in {photo.name} is not even: glare, the edge of a shadow, "
            "something on it, or a screen instead of paper.",
            "Lay the printed card in even light, turn the lamp off, and take the photo again.",
        )
    return patch


def _mean_light(level: Sequence[Patch]) -> tuple[float, float, float]:
    red, green, blue = np.mean([patch.light for patch in level], axis=0)
    return float(red), float(green), float(blue)


def _slope(
    photo: Photo,
    levels: Sequence[tuple[Sequence[Patch], Sequence[Square], float]],
    calibration: Calibration,
) -> tuple[float, float]:
    """Return how log luminance changes a millimetre across and down the card (least squares)."""
    row = np.array(calibration.gains) * photo.space.to_xyz[1]
    where, change = [], []
    for patches, squares, true in levels:
        if luminance_of_lightness(true) < BRIGHT:
            continue
        seen = np.array([patch.light for patch in patches]) @ row
        light = np.log(calibration.ramp.luminance(seen))
        middles = np.array([square.middle for square in squares])
        where.append(middles - middles.mean(axis=0))
        change.append(light - light.mean())
    slope = np.linalg.lstsq(np.concatenate(where), np.concatenate(change), rcond=None)[0]
    return float(slope[0]), float(slope[1])


def _is_uneven(photo: Photo, found: FoundCard, slope: tuple[float, float]) -> bool:
    """Tell whether light varies by more than ± UNEVEN across the photo, if it goes on so."""
    width, height = photo.pixels.stored.size
    frame = found.place.back([(0, 0), (width, 0), (width, height), (0, height)])
    ratio = float(np.exp(np.ptp(frame @ np.array(slope))))
    return (ratio - 1) / (ratio + 1) > UNEVEN
