"""The fabrics of the sample shelf: what each looks like when it lies flat in even light."""

import zlib
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

import numpy as np
from PIL import Image

from sample_photos import figures, florals, plain
from sample_photos.canvas import SIDE
from sample_photos.tints import Field, encode, lch
from sample_photos.weave import relief, yarn_dyed

type Draw = Callable[[np.random.Generator], Field]

_WHITE = lch(94, 2, 95)


def _prints() -> dict[str, Draw]:
    """Return the printed and dyed fabrics by name; their weave is laid over afterwards."""
    return {
        "Oyster": lambda _: plain.solid(93.5, 4, 88),
        "Soot": lambda _: plain.solid(11.5, 1.5, 280),
        "Deep water": lambda _: plain.solid(23, 21, 270),
        "Rowan red": lambda _: plain.solid(42, 57, 29),
        "Buoy yellow": lambda _: plain.solid(83, 78, 87),
        "Putty": lambda _: plain.solid(64, 9, 78),
        "Sailcloth sprig": lambda _: florals.sprigs(lch(91.5, 9, 90), lch(85, 12, 88)),
        "Barley": lambda rng: florals.leaf_trail(
            rng, lch(86, 15, 86), lch(81, 18, 84), lch(79, 18, 84), columns=6
        ),
        "Slack tide": lambda rng: figures.tide_lines(rng, lch(95, 1, 100), lch(83, 6, 245)),
        "Net dots": lambda _: figures.dots(lch(17, 20, 275), _WHITE, 16, 0.073),
        "Chandler's pinstripe": lambda _: figures.pinstripe(
            lch(27, 3, 265), lch(86, 3, 250), 32, 3 / 160
        ),
        "Kelp": lambda rng: florals.leaf_trail(
            rng, lch(37, 22, 200), lch(44, 22, 195), lch(40.5, 22, 197)
        ),
        "Squall": lambda rng: plain.hand_dye(
            rng, (lch(70, 16, 275), lch(54, 32, 280), lch(42, 40, 285), lch(26, 36, 290))
        ),
        "Low sun": lambda rng: plain.hand_dye(
            rng, (lch(84, 42, 78), lch(74, 56, 66), lch(64, 62, 50), lch(52, 56, 32))
        ),
        "Shallows": lambda rng: plain.hand_dye(
            rng, (lch(78, 22, 175), lch(66, 30, 190), lch(58, 30, 205), lch(48, 30, 222))
        ),
        "Garden wall at dusk": florals.garden_wall,
        "Dog-rose morning": florals.dog_roses,
        "Thrift": florals.thrift,
        "Night garden": florals.night_garden,
        "Scallop sea": lambda _: figures.scallops(
            lch(88, 9, 100), (lch(48, 26, 215), lch(66, 20, 195)), 8
        ),
        "Chart ink": lambda rng: figures.brush_marks(rng, _WHITE, lch(12, 2, 270)),
        "Brass lamp": lambda rng: plain.brushed_metal(rng, lch(61, 50, 80), lch(86, 40, 88)),
        "Bramble": lambda _: figures.dots(lch(20, 24, 338), lch(30, 28, 335), 20, 0.115),
        "Fern bank": lambda rng: florals.leaf_trail(
            rng, lch(47, 34, 130), lch(62, 38, 122), lch(55, 36, 128)
        ),
        "Kiln": lambda _: figures.kiln_tiles(
            lch(54, 50, 46), lch(38, 44, 36), lch(84, 18, 80), lch(70, 48, 62)
        ),
        "Regatta": lambda rng: figures.regatta(
            rng, lch(82, 13, 235), _WHITE, lch(52, 62, 33), lch(30, 28, 275)
        ),
        "Herring run": lambda _: figures.herring(
            lch(47, 18, 245), lch(32, 16, 250), lch(82, 6, 240), lch(15, 5, 260)
        ),
        "Spinnaker": lambda _: figures.spinnakers(
            (lch(62, 60, 45), lch(80, 60, 82), lch(52, 28, 215), lch(70, 30, 10)), lch(93, 4, 90)
        ),
    }


def _yarn_dyed() -> dict[str, Draw]:
    """Return the fabrics woven from coloured threads, by name."""
    white, cream = lch(94, 2, 95), lch(90, 9, 90)
    blue, navy, slate = lch(34, 36, 272), lch(20, 18, 272), lch(42, 14, 250)
    purple, heather = lch(45, 32, 318), lch(76, 14, 315)
    moss, bark, straw = lch(36, 22, 135), lch(28, 16, 60), lch(74, 34, 84)
    check = ((white, 15), (blue, 15))
    plaid = (
        (moss, 44),
        (bark, 8),
        (straw, 4),
        (bark, 8),
        (moss, 14),
        (navy, 30),
        (cream, 3),
        (navy, 9),
    )
    tick = ((cream, 20), (slate, 2), (cream, 4), (slate, 8), (cream, 4), (slate, 2))
    heath = ((heather, 18), (purple, 4), (heather, 4), (purple, 4))
    return {
        "Pantry gingham": lambda rng: yarn_dyed(check, check, rng),
        "Ferry plaid": lambda rng: yarn_dyed(plaid, plaid, rng),
        "Berth ticking": lambda rng: yarn_dyed(tick, ((cream, 1),), rng),
        "Heather check": lambda rng: yarn_dyed(heath, heath, rng),
    }


PRINTS: Mapping[str, Draw] = MappingProxyType(_prints())
"""How to draw each printed or dyed fabric, before its weave."""

YARN_DYED: Mapping[str, Draw] = MappingProxyType(_yarn_dyed())
"""How to weave each yarn-dyed fabric."""

NAMES: tuple[str, ...] = (*PRINTS, *YARN_DYED)


def print_of(name: str) -> Field:
    """Return one repeat of a printed fabric without its weave. KeyError for an unknown name."""
    return PRINTS[name](_chance(name))


@cache
def cloth(name: str) -> Field:
    """Return one repeat of a fabric, reflectance in linear light. KeyError for an unknown name."""
    if name in YARN_DYED:
        woven = YARN_DYED[name](_chance(name))
    else:
        woven = print_of(name) * relief(_chance("weave of " + name))[:, :, None]
    reflectance = np.clip(woven, 0.001, 0.98).astype(np.float32)
    reflectance.flags.writeable = False
    return reflectance


def mean_colour(name: str) -> tuple[float, float, float]:
    """Return the exact mean of a fabric's reflectance in linear light."""
    means = cloth(name).mean(axis=(0, 1), dtype=np.float64)
    return float(means[0]), float(means[1]), float(means[2])


def flat_swatch(name: str, width: int, height: int) -> Image.Image:
    """Return a fabric as a flat sRGB picture in its true colours, at 160 pixels an inch.

    The repeat continues where the picture is larger than it.
    """
    rows, columns = np.arange(height) % SIDE, np.arange(width) % SIDE
    coded = encode(cloth(name)[np.ix_(rows, columns)])
    return Image.fromarray(np.rint(coded * 255).astype(np.uint8))


def _chance(name: str) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(zlib.crc32(name.encode())))
