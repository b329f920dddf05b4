"""Readings of cloth beside something known: what they say, and what their uncertainty is made of.

The uncertainties are 95 % ones. Card in the frame: ±6 for muted and ±9 for saturated cloth (real
photos of a 24-patch chart after a ramp through its greys). Chart: as the chart itself shows.
Paper: 95 % of errors on the same photos were within 13 to 27 after their white patch alone.
Sitting: simulated photos only, widened.
"""

import math
from typing import Final

from stashkeeper.cloth.reading import Doubt, Factor, Method, Reading
from stashkeeper.luminance.calibrate import Calibration, Recalibrated, recalibrated
from stashkeeper.luminance.card_reading import CardReading
from stashkeeper.luminance.chart import ChartReading
from stashkeeper.luminance.measurement import Measurement

MUTED: Final = 4.5
SATURATED: Final = 8.0
SATURATED_CHROMA: Final = 60.0
"""What is a cloth's own grows from MUTED to SATURATED as its chroma goes from 0 to this."""
PHOTO: Final = 3.5
"""What all cloth in one photo with a card shares: how well its tones could be followed."""
CARD_KNOWN: Final = 1.5
"""What all readings with a card of measured greys share."""
LIGHT_UNKNOWN: Final = 4.0
DARK_UNKNOWN: Final = 12.0
"""What readings with a card nobody measured share, at its light and at its dark end (ours)."""
LEAST_PER_INCH: Final = 70.0
"""Pixels to the inch below which a fine print is a mixture of the camera's making (ours)."""
BURNT: Final = 6.0
"""More for cloth lighter than the lightest grey that is not burnt out."""
PAPER_OWN: Final = 6.4
PAPER_PHOTO: Final = 19.0
"""A cloth's own part beside paper, and the photo's; in one photo cloths compare as without it."""
SITTING_OWN: Final = (7.0, 4.0)
SITTING_SHARED: Final = (7.0, 4.5)
"""A cloth's own part and the sitting's, where the phone's curve is not known, and where it is."""


def card_reading(
    measurement: Measurement,
    card: CardReading,
    calibration: Calibration,
    keys: tuple[str, str],
    *,
    known: bool,
) -> Reading:
    """Return the reading of cloth that lies beside the reference card.

    Args:
        measurement: of the cloth's region.
        card: as it was read in the same photo.
        calibration: of the card, for the place where the cloth lies.
        keys: what only this region shares, and what everything in this photo shares.
        known: whether the greys of this card were measured.
    """
    colour = recalibrated(measurement, calibration)
    own = MUTED + (SATURATED - MUTED) * min(1.0, colour.chroma / SATURATED_CHROMA)
    if card.burnt and colour.lightness > card.lightest:
        own = math.hypot(own, BURNT)
    factors = [Factor(keys[0], own), Factor(keys[1], PHOTO)]
    card_key = f"card:{card.found.card_id}"
    if known:
        factors.append(Factor(card_key, CARD_KNOWN))
    else:
        share = min(1.0, colour.lightness / 95.0)
        factors += [
            Factor(f"{card_key}:light", share * LIGHT_UNKNOWN),
            Factor(f"{card_key}:dark", (1 - share) * DARK_UNKNOWN),
        ]
    doubts = measurement.doubts
    if card.uneven and Doubt.UNEVEN_LIGHT not in doubts:
        doubts = (*doubts, Doubt.UNEVEN_LIGHT)
    if card.found.per_inch < LEAST_PER_INCH:
        doubts = (*doubts, Doubt.COARSE)
    return _reading(colour, Method.CARD, tuple(factors), measurement, doubts)


def chart_reading(
    measurement: Measurement,
    chart: ChartReading,
    calibration: Calibration,
    keys: tuple[str, str],
) -> Reading:
    """Return the reading of cloth that lies beside a chart of 24 patches.

    Args:
        measurement: of the cloth's region.
        chart: as it was read in the same photo.
        calibration: of the chart, for the place where the cloth lies.
        keys: what only this region shares, and what everything in this photo shares.
    """
    colour = recalibrated(measurement, calibration)
    doubts = measurement.doubts
    if chart.uneven and Doubt.UNEVEN_LIGHT not in doubts:
        doubts = (*doubts, Doubt.UNEVEN_LIGHT)
    photo = min(PHOTO, 0.7 * chart.uncertainty)
    own = math.sqrt(chart.uncertainty**2 - photo**2)
    factors = (Factor(keys[0], own), Factor(keys[1], photo))
    return _reading(colour, Method.CHART, factors, measurement, doubts)


def paper_reading(
    measurement: Measurement, calibration: Calibration, keys: tuple[str, str]
) -> Reading:
    """Return the reading of cloth that lies beside white paper or a grey card: a provisional one.

    Args:
        measurement: of the cloth's region.
        calibration: of the paper.
        keys: what only this region shares, and what everything in this photo shares.
    """
    colour = recalibrated(measurement, calibration)
    factors = (Factor(keys[0], PAPER_OWN), Factor(keys[1], PAPER_PHOTO))
    doubts = (*measurement.doubts, Doubt.NO_REFERENCE)
    return _reading(colour, Method.PAPER, factors, measurement, tuple(dict.fromkeys(doubts)))


def sitting_reading(
    measurement: Measurement,
    calibration: Calibration,
    keys: tuple[str, str],
    *,
    learned: bool,
    anchor: float,
) -> Reading:
    """Return the reading of cloth photographed in a sitting whose scale is known.

    Args:
        measurement: of the cloth's region.
        calibration: of its photo.
        keys: what only this region shares, and what the sitting shares.
        learned: whether the phone's curve was learnt.
        anchor: the 95 % uncertainty, ± L*, of what set the scale.
    """
    colour = recalibrated(measurement, calibration)
    shared = math.hypot(SITTING_SHARED[learned], anchor)
    factors = (Factor(keys[0], SITTING_OWN[learned]), Factor(keys[1], shared))
    return _reading(colour, Method.SITTING, factors, measurement, measurement.doubts)


def _reading(
    colour: Recalibrated,
    method: Method,
    factors: tuple[Factor, ...],
    measurement: Measurement,
    doubts: tuple[Doubt, ...],
) -> Reading:
    return Reading(
        colour.lightness, colour.a, colour.b, method, factors, measurement.spread, doubts
    )
