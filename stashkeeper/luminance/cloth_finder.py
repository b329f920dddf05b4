"""The piece of cloth beside the reference card: where its corners are, and how large it is.

The photo is laid flat by the card. What differs in colour from the edge of the photo, and is not
the card, is taken for cloth, if it is one piece with four straight sides; else its corners are
asked for.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.card_finder import FoundCard
from stashkeeper.luminance.card_layout import HEIGHT, WIDTH
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.components import largest_component
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.perspective import Perspective, is_convex

Mask = NDArray[np.bool_]

REACH: Final = 700.0
"""Cloth is looked for so far around the card, in millimetres."""
AROUND: Final = 6
"""Left out around the card, in millimetres."""
APART: Final = 4.0
LEAST_APART: Final = 14.0
"""Cloth differs from the ground by so many times the ground's own unevenness, and at least by so
much, in codes."""
LEAST_AREA: Final = 2_500
"""Less than this, in square millimetres, is no piece of cloth."""
FILLED: Final = 0.95
STRAIGHT: Final = 1.5
"""Sides are straight to so many millimetres (mean)."""
SAFETY: Final = 0.01
"""What a size beside the card may be off, as a share, and is taken off (95 % of 200 random poses of
a simulated camera were within it)."""
GIVE: Final = "Give the four corners of the cloth, or measure it with a tape."


def size_of(found: FoundCard, corners: Floats) -> tuple[float, float]:
    """Return the size of a piece beside the card in millimetres: across and down, the safe side.

    Each is the shorter of two opposite sides, less SAFETY.

    Args:
        found: the card.
        corners: 4 × 2, of the piece in stored pixels, in order around it.

    Raises:
        BadReferenceError: the corners do not go round a piece.
    """
    if not is_convex(corners):
        raise BadReferenceError("The four corners do not go round a piece in order.", GIVE)
    flat = found.place.back(corners)
    first, second, third, fourth = np.linalg.norm(np.roll(flat, -1, axis=0) - flat, axis=1)
    keep = 1.0 - SAFETY
    return keep * float(min(first, third)), keep * float(min(second, fourth))


def find_cloth(photo: Photo, found: FoundCard) -> Floats:
    """Return the corners of the piece beside the card, 4 × 2, in stored pixels, in order around it.

    Raises:
        BadReferenceError: no single piece with four straight sides stands out from the ground.
    """
    flat, origin = _laid_flat(photo, found)
    mask = _standing_out(flat, origin)
    quad = None
    if int(mask.sum()) >= LEAST_AREA and not _touches_edge(mask, flat):
        quad = _four_sides(mask)
    if quad is None:
        raise BadReferenceError(
            f"The edges of the cloth beside the card in {photo.name} cannot be told from "
            "the ground.",
            GIVE,
        )
    return found.place(quad + origin)


def _laid_flat(photo: Photo, found: FoundCard) -> tuple[Image.Image, Floats]:
    """Return the plane of the card, a pixel to a millimetre, and where its picture begins."""
    width, height = photo.pixels.stored.size
    frame = found.place.back([(0, 0), (width, 0), (width, height), (0, height)])
    low = np.floor(np.maximum(frame.min(axis=0), -REACH))
    high = np.minimum(frame.max(axis=0), (WIDTH + REACH, HEIGHT + REACH))
    step = max(1, int(found.per_inch / 25.4))
    small = photo.pixels.stored.convert("RGB").reduce(step)
    shift = np.array([[1, 0, low[0]], [0, 1, low[1]], [0, 0, 1]])
    matrix = np.diag([1 / step, 1 / step, 1.0]) @ found.place.matrix @ shift
    size = (int(high[0] - low[0]), int(high[1] - low[1]))
    flat = small.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple((matrix / matrix[2, 2]).ravel()[:8]),
        Image.Resampling.BILINEAR,
    )
    inside = _inside_photo(size, low, found.place, (width, height))
    flat.putalpha(Image.fromarray(np.where(inside, 255, 0).astype(np.uint8)))
    return flat, low


def _inside_photo(
    size: tuple[int, int], low: Floats, place: Perspective, stored: tuple[int, int]
) -> Mask:
    y, x = np.mgrid[0 : size[1], 0 : size[0]]
    points = place(np.column_stack([x.ravel() + 0.5, y.ravel() + 0.5]) + low)
    inside = np.all((points > 0) & (points < stored), axis=1)
    return np.asarray(inside.reshape(size[1], size[0]))


def _standing_out(flat: Image.Image, origin: Floats) -> Mask:
    """Return the largest part that differs in colour from the ground along the edge of the photo.

    Its edge is where the colour is half-way between ground and cloth.
    """
    inside = np.asarray(flat.getchannel("A")) > 0
    colours = flat.convert("RGB").filter(ImageFilter.MedianFilter(3))
    codes = np.asarray(colours, dtype=np.float64)
    rim = inside & ~_shrunk(inside, 12)
    ground = np.median(codes[rim], axis=0)
    away = np.abs(codes - ground).max(axis=2)
    own = float(np.median(away[rim]))
    mask = inside & (away > max(LEAST_APART, APART * own))
    left, top = (-origin).astype(int)
    rows = slice(max(0, top - AROUND), max(0, top + int(HEIGHT) + AROUND))
    columns = slice(max(0, left - AROUND), max(0, left + int(WIDTH) + AROUND))
    mask[rows, columns] = False
    cloth = largest_component(_shrunk(_grown(mask, 2), 2))
    if not cloth.any():
        return cloth
    near = largest_component(_grown(cloth, 1) & (away > float(np.median(away[cloth])) / 2))
    return _shrunk(_grown(near, 3), 3)


def _shrunk(mask: Mask, by: int) -> Mask:
    """Return the cells all of whose neighbours up to `by` away are set (for large `by`, nearly)."""
    picture = Image.fromarray(np.where(mask, 255, 0).astype(np.uint8))
    shrunk: Mask = np.asarray(picture.filter(ImageFilter.BoxBlur(by))) == 255
    return shrunk


def _grown(mask: Mask, by: int) -> Mask:
    return ~_shrunk(~mask, by)


def _touches_edge(mask: Mask, flat: Image.Image) -> bool:
    """Tell whether a piece reaches the edge of the photo."""
    inside = np.pad(np.asarray(flat.getchannel("A")) > 0, 3)
    return bool((mask & ~_shrunk(inside, 2)[3:-3, 3:-3]).any())


def _four_sides(mask: Mask) -> Floats | None:
    """Return the corners of a piece with four straight sides; None where it is of another shape."""
    rim = mask & ~_shrunk(mask, 1)
    points = np.argwhere(rim)[:, ::-1].astype(np.float64) + 0.5
    angle = min(np.radians(np.arange(0.0, 90.0, 1.0)), key=lambda turn: _area(points, turn))
    sides = [_side(points, angle + quarter * np.pi / 2) for quarter in range(4)]
    lines = [side for side in sides if side is not None]
    if len(lines) < 4:
        return None
    corners = np.array([_crossing(lines[side - 1], lines[side]) for side in range(4)])
    corners = np.roll(corners, -int(np.argmin(corners.sum(axis=1))), axis=0)
    x, y = corners.T
    area = abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
    whole = FILLED < float(mask.sum()) / max(area, 1.0) < 2 - FILLED
    return corners if whole and is_convex(corners) else None


def _area(points: Floats, angle: float) -> float:
    along, across = _axes(angle)
    return float(np.ptp(points @ along) * np.ptp(points @ across))


def _axes(angle: float) -> tuple[Floats, Floats]:
    along = np.array([np.cos(angle), np.sin(angle)])
    return along, np.array([-along[1], along[0]])


def _side(points: Floats, angle: float) -> tuple[Floats, float] | None:
    """Return the line (normal, distance) through the outermost points towards `angle`."""
    towards, along = _axes(angle)
    out, side = points @ towards, points @ along
    middle, reach = side.min() + np.ptp(side) / 2, 0.42 * np.ptp(side)
    near = (np.abs(side - middle) < reach) & (out > out.max() - 0.12 * np.ptp(out))
    for _ in range(3):
        if int(near.sum()) < 20:
            return None
        design = np.column_stack([side[near], np.ones(int(near.sum()))])
        slope, start = np.linalg.lstsq(design, out[near], rcond=None)[0]
        off = np.abs(out - slope * side - start)
        near = (np.abs(side - middle) < reach) & (off < 4.0)
    if float(off[near].mean()) > STRAIGHT:
        return None
    normal = towards - slope * along
    # The outermost pixels lie half a pixel within the edge.
    return normal, float(start) + 0.5


def _crossing(one: tuple[Floats, float], other: tuple[Floats, float]) -> Sequence[float]:
    found = np.linalg.solve(np.array([one[0], other[0]]), np.array([one[1], other[1]]))
    return [float(found[0]), float(found[1])]
