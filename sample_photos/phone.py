"""A simulated phone camera. It is nobody's phone: its maker and model are invented.

What it does to a scene of linear light, in this order:

1. Lens: light falls off towards the corners (cos⁴ of a field angle of 24° at the corner, half of
   it corrected by the phone); a blur of 0.5 px.
2. Auto exposure: a centre-weighted mean luminance is metered. The phone would like that to be
   0.24; it goes most of the way, gain = (0.24 / metered) ** STRENGTH. Dark cloth therefore comes
   out too light and light cloth too dark. The gain is reached by exposure time and ISO, rounded
   to what is written in the EXIF record, so the record says exactly what was done.
3. White balance: most of the colour of the light is taken out, and some of the mean colour of
   the scene with it, as if the world were grey on average: a frame full of red turns a little cyan.
4. Sensor: shot noise (variance in proportion to light and ISO) and read noise.
5. Noise reduction: colour noise is smoothed (1.5 px), brightness noise halved.
6. Tone: y = (1 + k) xⁿ / (xⁿ + k), n = 1.22, k = 1.55, half of it per channel and half on
   luminance: an S-curve with a soft shoulder and deep shadows; then local tone mapping,
   y · (base / 0.18) ** −0.12 with the base blurred over a tenth of the frame: shadows are lifted
   and highlights held back *locally*, so not even one photo has one curve.
7. Colour: saturation +8 %; conversion to sRGB or Display P3; sharpening (1.2 px, 45 %).
8. Eight bits a channel.

The photos say how the program behaves; they prove nothing about real phones.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_photos.soften import blur
from sample_photos.tints import Field, decode, encode, field, luminance

MAKER = "Brindlewick"
MODEL = "Brindlewick Two"
APERTURE = 1.9

STRENGTH = 0.47
TARGET = 0.24

_BASE = 100 / 60
"""ISO × seconds that render a scene of this sitting without gain."""

_LIGHT = np.array([1.05, 1.0, 0.91], dtype=np.float32)
"""Colour of the window's light: a mild afternoon."""

_ISOS = (50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800)

P3_OF_RGB = np.array(
    [
        [0.8224620, 0.1775380, 0.0],
        [0.0331942, 0.9668058, 0.0],
        [0.0170826, 0.0723974, 0.9105199],
    ]
)
"""Linear sRGB to linear Display P3 (P3 primaries of SMPTE EG 432-1 with D65 white)."""


@dataclass(frozen=True)
class Exposure:
    """What auto exposure did: seconds as 1/`shutter`, and ISO."""

    shutter: int
    iso: int

    @property
    def gain(self) -> float:
        """The factor on scene luminance that this exposure applies."""
        return self.iso / self.shutter / _BASE


def expose(scene: Field) -> Exposure:
    """Meter a scene and return the exposure chosen for it."""
    height, width = scene.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    weight = 0.35 + np.exp(-(x**2 + y**2) / 0.6)
    metered = float((luminance(scene) * weight).sum() / weight.sum())
    wanted = _BASE * (TARGET / metered) ** STRENGTH
    iso = min(_ISOS, key=lambda step: abs(np.log(wanted * 50 / step)))
    return Exposure(max(24, round(iso / wanted)), iso)


def develop(
    scene: Field, exposure: Exposure, rng: np.random.Generator, *, wide_gamut: bool = False
) -> np.ndarray:
    """Return the photo, 8-bit (rows, columns, 3), in sRGB, or in Display P3 if `wide_gamut`."""
    seen = _lens(scene * _LIGHT)
    sensed = _noise(_white_balance(seen) * np.float32(exposure.gain), exposure.iso, rng)
    toned = _tone(_smooth_noise(np.maximum(sensed, 0)))
    grey = luminance(toned)[:, :, None]
    colourful = grey + np.float32(1.08) * (toned - grey)
    if wide_gamut:
        colourful = colourful @ P3_OF_RGB.T.astype(np.float32)
    coded = encode(colourful.astype(np.float32))
    crisp = coded + np.float32(0.45) * (coded - _each(coded, 1.2))
    pixels: np.ndarray = np.rint(np.clip(crisp, 0, 1) * 255).astype(np.uint8)
    return pixels


def linear_mean(pixels: np.ndarray, *, wide_gamut: bool = False) -> NDArray[np.float64]:
    """Return the mean linear sRGB colour of a developed photo, taken at its word."""
    counts = [np.bincount(pixels[..., i].ravel(), minlength=256) for i in range(3)]
    light = decode(np.arange(256) / 255)
    mean = np.array([(count * light).sum() / count.sum() for count in counts])
    return np.linalg.solve(P3_OF_RGB, mean) if wide_gamut else mean


def _lens(scene: Field) -> Field:
    height, width = scene.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    angle = np.arctan(np.hypot(x, y) / 2**0.5 * np.tan(np.radians(24)))
    falloff = 1 - 0.5 * (1 - np.cos(angle) ** 4)
    return _each(scene * falloff[:, :, None].astype(np.float32), 0.5)


def _white_balance(seen: Field) -> Field:
    mean = seen.mean(axis=(0, 1))
    grey_world = mean / luminance(mean) / _LIGHT
    cast = _LIGHT**0.85 * grey_world**0.14
    return field(seen / (cast / cast[1]))


def _noise(light: Field, iso: int, rng: np.random.Generator) -> Field:
    variance = np.maximum(light, 0) * (1.2e-4 * iso / 100) + 4e-7 * (iso / 100) ** 2
    noise = rng.standard_normal(light.shape, dtype=np.float32)
    return field(light + noise * np.sqrt(variance))


def _smooth_noise(sensed: Field) -> Field:
    grey = luminance(sensed)
    calm = 0.5 * grey + 0.5 * blur(grey, 0.8)
    colour = _each(sensed - grey[:, :, None], 1.5)
    return np.maximum(colour + calm[:, :, None], 0).astype(np.float32)


def _tone(light: Field) -> Field:
    n, k = 1.22, 1.55
    grey = np.maximum(luminance(light), np.float32(1e-6))
    each, whole = (
        (1 + k) * power / (power + k) for power in (light ** np.float32(n), grey ** np.float32(n))
    )
    curved = 0.5 * each + 0.5 * light * (whole / grey)[:, :, None]
    base = blur(np.log(luminance(curved.astype(np.float32)) + 0.004), max(light.shape) / 10)
    lift = np.exp(-0.12 * (base - np.log(0.18)))
    return field(curved * lift[:, :, None])


def _each(colours: Field, sigma: float) -> Field:
    return np.stack([blur(colours[:, :, i], sigma) for i in range(3)], axis=2)
