"""Patchwork painted from cloth: every patch another part of its fabric, seams as thin shadows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from stashkeeper.pictures.greys import encoded
from stashkeeper.pictures.print_scale import Cloth, Light

SEAM: Final = 1.3
"""How wide a seam's shadow is, in dots of the picture."""
SEAM_DEPTH: Final = 0.45
"""The share of light that a seam's shadow takes."""
SMALLEST_CELL: Final = 14.0
"""Below so many dots to a patch the shadows grow fainter, lest they darken the whole."""
FINER: Final = 3
"""Seams are drawn so many times finer, then reduced, so that diagonals are smooth."""

type Point = tuple[float, float]
type Line = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Painted:
    """One patch to paint: its corners in dots of the picture, and the number of its cloth."""

    outline: tuple[Point, ...]
    cloth: int


@dataclass(frozen=True, slots=True, eq=False)
class Patchwork:
    """A quilt painted in colour, and its grey twin of the same size."""

    colour: Image.Image
    grey: Image.Image


def paint(
    size: tuple[int, int],
    patches: Sequence[Painted],
    cloths: Sequence[Cloth],
    seams: Sequence[Line],
) -> Patchwork:
    """Return the patches painted with their cloth.

    Args:
        size: width and height of the picture, in dots.
        patches: what to paint; later ones lie above earlier ones.
        cloths: the cloth that patches name by number, at the scale of the picture.
        seams: where seams run, in dots.
    """
    numbers = _numbered(size, patches)
    shade = _shade(size, seams, patches)
    across, down = _starts(patches, cloths)
    cloth_of = np.array([patch.cloth for patch in patches], dtype=np.int32)
    colour = np.zeros((size[1], size[0], 3), dtype=np.float32)
    grey = np.zeros((size[1], size[0]), dtype=np.float32)
    which = cloth_of[numbers]
    for number, cloth in enumerate(cloths):
        y, x = np.nonzero(which == number)
        if not y.size:
            continue
        patch = numbers[y, x]
        width, height = cloth.size
        at = _folded(y + down[patch], height), _folded(x + across[patch], width)
        colour[y, x] = cloth.colour[at]
        grey[y, x] = cloth.grey[at]
    return Patchwork(image_of(colour * shade[..., np.newaxis]), image_of(grey * shade))


def _numbered(size: tuple[int, int], patches: Sequence[Painted]) -> NDArray[np.int32]:
    """Return for every dot the number of the patch it belongs to."""
    label = Image.new("I", size, 0)
    draw = ImageDraw.Draw(label)
    for number, patch in enumerate(patches):
        draw.polygon([(x - 0.5, y - 0.5) for x, y in patch.outline], fill=number)
    return np.asarray(label, dtype=np.int32)


def _starts(
    patches: Sequence[Painted], cloths: Sequence[Cloth]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where in its cloth each patch is cut, less its own place in the picture.

    Patches are cut from all over the cloth, the same way each time the picture is drawn.
    """
    starts = []
    for axis in (0, 1):
        low = np.array([min(p[axis] for p in patch.outline) for patch in patches])
        high = np.array([max(p[axis] for p in patch.outline) for patch in patches])
        have = np.array([cloths[patch.cloth].size[axis] for patch in patches])
        room = np.maximum(have - np.ceil(high - low) - 1, 0).astype(np.int64)
        # Steps by the golden ratio (and its square) fall everywhere and never in line.
        step = 0.6180339887 if axis == 0 else 0.3819660113 * 0.7548776662
        share = np.modf(np.arange(1, len(patches) + 1) * step)[0]
        starts.append((share * room).astype(np.int64) - np.floor(low).astype(np.int64))
    return starts[0], starts[1]


def _folded(place: NDArray[np.int64], length: int) -> NDArray[np.int64]:
    """Return places within a cloth; beyond its edges it repeats as in a mirror."""
    within = np.mod(place, 2 * length)
    return np.asarray(np.minimum(within, 2 * length - 1 - within))


def _shade(size: tuple[int, int], seams: Sequence[Line], patches: Sequence[Painted]) -> Light:
    """Return the share of light that each dot keeps: seams lie in their own thin shadow."""
    typical = (size[0] * size[1] / max(len(patches), 1)) ** 0.5
    depth = SEAM_DEPTH * min(1.0, typical / SMALLEST_CELL)
    fine = Image.new("L", (size[0] * FINER, size[1] * FINER), 0)
    draw = ImageDraw.Draw(fine)
    wide = round(SEAM * FINER)
    for (x1, y1), (x2, y2) in seams:
        draw.line((x1 * FINER, y1 * FINER, x2 * FINER, y2 * FINER), fill=255, width=wide)
    reduced = np.asarray(fine.reduce(FINER), dtype=np.float32)
    return 1.0 - np.float32(depth / 255.0) * reduced


def image_of(light: Light, size: tuple[int, int] | None = None) -> Image.Image:
    """Return linear light, 0 to 1, as an sRGB picture or a grey one.

    Where a `size` (width, height) is given, so much of it, repeated as in a mirror beyond its edge.
    """
    if size is not None:
        y, x = (
            _folded(np.arange(size[1]), light.shape[0]),
            _folded(np.arange(size[0]), light.shape[1]),
        )
        light = light[np.ix_(y, x)]
    steps = np.rint(np.clip(light, 0.0, 1.0) * (len(_CODES) - 1)).astype(np.uint16)
    return Image.fromarray(_CODES[steps])


_CODES: Final = encoded(np.linspace(0.0, 1.0, 1 << 16))
"""The sRGB code of every step of light."""
