"""Calibration: what a stored measurement says once something of known lightness was seen.

It works on the histograms of a measurement, never on the photo: white balance in linear light,
then a ramp on luminance (one ramp, not one a channel: on real photos of a chart that is what
serves saturated colours), then, where a chart gave one, a correction of colour.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stashkeeper.luminance.colour_space import Floats, lab_of
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.measurement import Measurement
from stashkeeper.luminance.tone_ramp import ToneRamp, fit_ramp

Light = tuple[float, float, float]
NO_GAINS: Light = (1.0, 1.0, 1.0)
SAME_COLOURS = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
BALANCE_FROM = 0.05
"""Greys darker than this luminance are left out of the white balance: stray light colours them."""


@dataclass(frozen=True, slots=True)
class KnownGrey:
    """Something neutral of known lightness in a photo.

    Attributes:
        light: mean linear red, green and blue as decoded, 0 to 1.
        lightness: its true L*, above 0.
    """

    light: Light
    lightness: float


@dataclass(frozen=True, slots=True)
class Calibration:
    """How to set a measurement right.

    Attributes:
        gains: factors on linear red, green and blue that make a grey neutral.
        ramp: from luminance after the gains to true luminance.
        colours: 3 × 3, applied to XYZ after the ramp; it leaves greys as they are.
    """

    gains: Light
    ramp: ToneRamp
    colours: tuple[Light, Light, Light] = SAME_COLOURS

    def to_record(self) -> dict[str, Any]:
        """Return the calibration as plain JSON, to be stored as a `curve`."""
        return {
            "gains": list(self.gains),
            "camera": list(self.ramp.camera),
            "true": list(self.ramp.true),
            "colours": [list(row) for row in self.colours],
        }


@dataclass(frozen=True, slots=True)
class Recalibrated:
    """Colour of the cloth as a calibration makes it out: CIE 1976 L*, a*, b*, D65."""

    lightness: float
    a: float
    b: float

    @property
    def chroma(self) -> float:
        """CIE 1976 chroma: how colourful it is; 0 is grey."""
        return float(np.hypot(self.a, self.b))


def calibration_from_record(curve: Mapping[str, Any]) -> Calibration:
    """Return the calibration that `Calibration.to_record` wrote."""
    ramp = ToneRamp(tuple(curve["camera"]), tuple(curve["true"]))
    first, second, third = (_three(row) for row in curve["colours"])
    return Calibration(_three(curve["gains"]), ramp, (first, second, third))


def calibration_of_greys(greys: Sequence[KnownGrey], luminance_row: Floats) -> Calibration:
    """Return the calibration that known greys in a photo give; a single one gives a plain factor.

    Args:
        greys: at least one, none of them clipped.
        luminance_row: what each linear channel adds to Y: `photo.space.to_xyz[1]`.

    Raises:
        BadReferenceError: when they do not rise in the order they should.
    """
    gains = _white_balance(greys, luminance_row)
    camera = [float(np.array(grey.light) * gains @ luminance_row) for grey in greys]
    true = [luminance_of_lightness(grey.lightness) for grey in greys]
    return Calibration(_three(gains.tolist()), fit_ramp(camera, true))


def recalibrated(measurement: Measurement, calibration: Calibration) -> Recalibrated:
    """Return the colour of a measured region after a calibration, without decoding it again.

    The ramp belongs to the eye's mean over the cloth, but the camera bent each pixel before any
    mean was taken. A plain cloth goes through the ramp as it is. For a print, the light of the mean
    is corrected by what the ramp does to each channel's histogram, mean of the curve against
    curve of the mean; for a print in greys that is exact.
    """
    space, gains = measurement.space, np.array(calibration.gains)
    xyz = space.to_xyz @ (np.array(measurement.linear_means) * gains)
    seen = max(float(xyz[1]), 1e-6)
    wanted = float(calibration.ramp.luminance(seen)) * _print_factor(measurement, calibration)
    return lab_of_xyz(np.array(calibration.colours) @ (xyz * (wanted / seen)))


def lab_of_xyz(xyz: Floats) -> Recalibrated:
    """Return CIE 1976 L*, a*, b* of XYZ relative to white Y = 1, D65; L* is at most 100."""
    lightness, a, b = lab_of(xyz).tolist()
    return Recalibrated(min(100.0, lightness), a, b)


def _white_balance(greys: Sequence[KnownGrey], luminance_row: Floats) -> Floats:
    """Return gains that make the greys neutral and leave their luminance as it is."""
    light = np.array([grey.light for grey in greys])
    lit = light[np.array([luminance_of_lightness(g.lightness) for g in greys]) >= BALANCE_FROM]
    total = np.maximum((lit if len(lit) else light).sum(axis=0), 1e-6)
    return np.asarray(float(total @ luminance_row) / luminance_row.sum() / total)


def _print_factor(measurement: Measurement, calibration: Calibration) -> float:
    """Return mean of the curve over curve of the mean, channel by channel, weighted by light."""
    gains, counts = np.array(calibration.gains), measurement.histograms
    light = measurement.space.tones * gains[:, np.newaxis]
    shares = counts / counts.sum(axis=1, keepdims=True)
    weights = np.maximum(measurement.space.to_xyz[1], 0.0)
    each = (calibration.ramp.luminance(light) * shares).sum(axis=1)
    means = calibration.ramp.luminance(np.array(measurement.linear_means) * gains)
    return float(weights @ each / max(float(weights @ means), 1e-9))


def _three(numbers: Sequence[float]) -> Light:
    first, second, third = (float(number) for number in numbers)
    return first, second, third
