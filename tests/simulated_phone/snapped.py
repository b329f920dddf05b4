"""Cloth and card in linear light, as a phone might photograph them.

The phone is the one of the sample photos (`sample_photos/phone.py`: auto exposure, vignette, white
balance, noise, S-shaped curve, local tone mapping, sharpening) with three things added: light of
any mild colour that falls off across the frame, a tone curve that differs from phone to phone and
wobbles from photo to photo, and JPEG. It ranks ways of measuring; it proves nothing about real
phones.
"""

import io
from dataclasses import dataclass
from datetime import datetime
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from sample_photos import phone
from stashkeeper.luminance.card_layout import PAPER_WHITE, PRINTED_BLACK
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.region import Crop
from tests.luminance.made import cie_lightness
from tests.simulated_phone.posed import card_face

Field = NDArray[np.float32]
PER_INCH = 78
WIDTH, HEIGHT = 900, 700
CLOTH = Crop(0.06, 0.06, 0.94, 0.42)
"""Where the cloth lies in a photo with a card."""
CARD_LEFT, CARD_TOP = 200, 340
ROW = np.array([0.2126, 0.7152, 0.0722])
# Linear sRGB from XYZ (IEC 61966-2-1, annex F).
TO_SRGB = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)


@dataclass(frozen=True)
class Cloth:
    """A piece of cloth: its light, rows × columns × 3, and its true L*."""

    light: Field
    lightness: float


@dataclass(frozen=True)
class Shot:
    """How a photo is taken.

    Attributes:
        bend: power on light by which this phone's (and photo's) curve differs.
        slope: how light falls off across and down, log luminance over the frame.
        warm: factor on red and, inverted, on blue.
        brighter: exposure steps (stops) that its person turned it up by; on the record.
        seed: of the noise.
    """

    bend: float = 1.0
    slope: tuple[float, float] = (0.0, 0.0)
    warm: float = 1.0
    brighter: float = 0.0
    seed: int = 0


def cloth_at_random(random: np.random.Generator, height: int = 266, width: int = 828) -> Cloth:
    """Return a print of two tones of a colour that dyes can make, L* 14 to 93."""
    ground, other = colour_at_random(random)
    y, x = np.mgrid[0:height, 0:width]
    motif = np.sin(x / random.uniform(5, 14)) * np.sin(y / random.uniform(5, 14)) > 0.4
    weave = 1 + 0.05 * np.sin(2.1 * x) * np.sin(2.1 * y)
    light = np.where(motif[..., np.newaxis], other, ground) * weave[..., np.newaxis]
    mean = light.reshape(-1, 3).mean(axis=0)
    return Cloth(light.astype(np.float32), cie_lightness(float(mean @ ROW)))


def colour_at_random(
    random: np.random.Generator,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return linear light of the ground of a print, L* 14 to 93, and of its second colour."""
    lightness, chroma = _colour(random)
    ground = _light(lightness, chroma, random.uniform(0, 360))
    return ground, _light(_near(random, lightness), chroma, random.uniform(0, 360))


def with_card(cloth: Cloth) -> Field:
    """Return the light of a table with the cloth above and the card below it."""
    scene = np.full((HEIGHT, WIDTH, 3), 0.16, dtype=np.float32)
    scene[28 : 28 + len(cloth.light), 36 : 36 + cloth.light.shape[1]] = cloth.light
    card = _printed_card()
    scene[CARD_TOP : CARD_TOP + len(card), CARD_LEFT : CARD_LEFT + card.shape[1]] = card
    return scene


def alone(cloth: Cloth) -> Field:
    """Return the light of a table nearly covered by the cloth."""
    scene = np.full((cloth.light.shape[0] + 30, cloth.light.shape[1] + 30, 3), 0.16)
    scene[15:-15, 15:-15] = cloth.light
    return scene.astype(np.float32)


def snap(scene: Field, shot: Shot, exposure: phone.Exposure | None = None) -> Photo:
    """Return the photo of a scene, as the phone writes it, with its exposure record."""
    return open_photo(snapped_file(scene, shot, exposure))


def snapped_file(
    scene: Field,
    shot: Shot,
    exposure: phone.Exposure | None = None,
    taken_at: datetime | None = None,
) -> io.BytesIO:
    """Return the file of a photo of a scene."""
    height, width = scene.shape[:2]
    y, x = np.mgrid[-0.5 : 0.5 : height * 1j, -0.5 : 0.5 : width * 1j]
    falloff = np.exp(shot.slope[0] * x + shot.slope[1] * y)[..., np.newaxis]
    lit = (scene * falloff * (shot.warm, 1.0, 1 / shot.warm)).astype(np.float32)
    metered = exposure or phone.expose(lit)
    chosen = phone.Exposure(max(1, round(metered.shutter / 2**shot.brighter)), metered.iso)
    bent = (np.maximum(lit, 1e-6) / 0.3) ** np.float32(shot.bend) * np.float32(0.3)
    codes = phone.develop(bent, chosen, np.random.default_rng(shot.seed))
    return file_of(codes, chosen, taken_at)


def file_of(
    codes: NDArray[np.uint8], exposure: phone.Exposure, taken_at: datetime | None = None
) -> io.BytesIO:
    """Return codes as a JPEG with the phone's record."""
    exif = Image.Exif()
    exif[271], exif[272] = phone.MAKER, phone.MODEL
    detail = exif.get_ifd(0x8769)
    detail[33434] = 1 / exposure.shutter
    detail[33437], detail[34855] = phone.APERTURE, exposure.iso
    if taken_at is not None:
        detail[36867] = taken_at.strftime("%Y:%m:%d %H:%M:%S")
    exif[0x8769] = detail
    file = io.BytesIO()
    Image.fromarray(codes).save(file, "JPEG", quality=90, exif=exif)
    file.seek(0)
    return file


def _colour(random: np.random.Generator) -> tuple[float, float]:
    """Return L* and C* that dyes can make."""
    lightness = random.uniform(14, 93)
    chroma = random.uniform(0, 1) ** 1.5 * min(70.0, 1.3 * min(lightness, 115 - lightness))
    return float(lightness), float(chroma)


def _near(random: np.random.Generator, lightness: float) -> float:
    return float(np.clip(lightness + random.normal(0, 12), 8, 95))


@cache
def _printed_card() -> Field:
    """Return the light of the card as the printer of `usual_lightness` made it."""
    codes = np.asarray(card_face(PER_INCH).convert("L"))
    light = np.where(
        codes / 255 <= 0.04045, codes / 255 / 12.92, ((codes / 255 + 0.055) / 1.055) ** 2.4
    )
    drawn = np.vectorize(cie_lightness)(light)
    printed = PRINTED_BLACK + (PAPER_WHITE - PRINTED_BLACK) / 100 * drawn
    luminance = ((printed + 16) / 116) ** 3
    return np.repeat(luminance[..., np.newaxis], 3, axis=2).astype(np.float32)


def _light(lightness: float, chroma: float, hue: float) -> NDArray[np.float64]:
    """Return linear sRGB of CIE L*, C*, h in D65, made to fit within the gamut."""
    f = (lightness + 16) / 116
    a, b = chroma * np.cos(np.radians(hue)) / 500, chroma * np.sin(np.radians(hue)) / 200
    xyz = np.array([f + a, f, f - b])
    xyz = np.where(xyz > 6 / 29, xyz**3, (xyz - 4 / 29) * 3 * (6 / 29) ** 2)
    light = TO_SRGB @ (xyz * (0.95047, 1.0, 1.08883))
    grey = float(((lightness + 16) / 116) ** 3)
    while light.min() < 0.002 or light.max() > 1.0:
        light = grey + 0.9 * (light - grey)
        if np.ptp(light) < 1e-3:
            break
    return np.asarray(np.clip(light, 0.0, 1.0))
