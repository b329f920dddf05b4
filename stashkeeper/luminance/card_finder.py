"""The reference card found in a photo by itself: where it lies, how large, which one it is.

Codes are read by zxing-cpp, whose corners are whole pixels; the place of the card is then made
finer by fitting the known pattern of the codes to the photo (Lucas and Kanade, 1981).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from PIL import Image

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.card_layout import CODE_SIDE, CODES, HEIGHT, WIDTH, corner_and_id
from stashkeeper.luminance.card_pattern import refined
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.perspective import Perspective, perspective_through

MILLIMETRES_PER_INCH: Final = 25.4
EASY: Final = 3_000_000
"""Pixels that are searched first; of a larger photo a smaller copy is."""
SMALL: Final = 1_200_000
"""Photos below this many pixels are searched enlarged as well."""
ENOUGH_TO_AIM: Final = 2
AIM: Final = 1.4
"""Where so many codes were seen in the smaller copy, the rest is looked for within so many widths
of the card around them."""
LEAST_CODES: Final = 3
LEAST_PER_INCH: Final = 60.0
"""Below so many pixels to the inch sizes are more than 2 % off, and codes are often not found."""
BENT: Final = 0.012
"""Codes further off than this share of the card's width mean that it does not lie flat."""
AGAIN: Final = (
    "Lay the whole card flat beside the cloth and take the photo again, sharp and from near."
)


@dataclass(frozen=True, slots=True, eq=False)
class FoundCard:
    """A card in a photo.

    Attributes:
        card_id: the four signs of its name.
        place: from millimetres on the card to stored pixels of the photo.
        per_inch: pixels to the inch where they are fewest across the card.
    """

    card_id: str
    place: Perspective
    per_inch: float

    @property
    def corners(self) -> Floats:
        """The card's corners, 4 × 2, in stored pixels, from its top left with its clock."""
        return self.place([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)])


@dataclass(frozen=True, slots=True, eq=False)
class _Code:
    corner: str
    card_id: str
    points: Floats


def find_card(photo: Photo) -> FoundCard:
    """Find the reference card in a photo.

    Raises:
        BadReferenceError: there is none, two, only part of one, or it is too far away or bent.
    """
    grey = photo.pixels.stored.convert("L")
    codes = _codes(grey)
    _refuse_few(photo, codes)
    place = perspective_through(
        np.concatenate([_square(code.corner) for code in codes]),
        np.concatenate([code.points for code in codes]),
    )
    per_inch = _per_inch(place)
    if not per_inch >= LEAST_PER_INCH:
        raise BadReferenceError(
            f"The reference card in {photo.name} is too small: {per_inch:.0f} pixels to the inch "
            f"where {LEAST_PER_INCH:.0f} are needed.",
            "Go nearer, or take the photo at the full resolution of the camera.",
        )
    fine = refined(grey, place, [(code.corner, code.card_id) for code in codes])
    _refuse_bent(photo, fine, codes)
    return FoundCard(codes[0].card_id, fine, _per_inch(fine))


def _refuse_few(photo: Photo, codes: Sequence[_Code]) -> None:
    """Refuse anything but one whole card."""
    corners = {code.corner for code in codes}
    if not codes:
        raise BadReferenceError(f"No reference card can be found in {photo.name}.", AGAIN)
    if len({code.card_id for code in codes}) > 1 or len(corners) < len(codes):
        raise BadReferenceError(
            f"There are two reference cards in {photo.name}.", "Leave one of them out of the photo."
        )
    if len(corners) < LEAST_CODES:
        raise BadReferenceError(
            f"Only part of the reference card can be seen in {photo.name}: "
            f"{len(corners)} of its four corner codes.",
            AGAIN,
        )


def _refuse_bent(photo: Photo, place: Perspective, codes: Sequence[_Code]) -> None:
    """Refuse a card that is mirrored, or whose codes do not lie in one plane."""
    across, down, _ = place([(WIDTH, 0), (0, HEIGHT), (0, 0)]) - place([(0, 0)])
    mirrored = across[0] * down[1] - across[1] * down[0] <= 0
    wide = np.linalg.norm(across)
    off = max(
        float(np.linalg.norm(place(_square(code.corner)) - code.points, axis=1).max())
        for code in codes
    )
    if mirrored or off > BENT * wide + 2.0:
        raise BadReferenceError(
            f"The reference card in {photo.name} does not lie flat"
            f"{', or is seen in a mirror' if mirrored else ''}.",
            AGAIN,
        )


def _codes(grey: Image.Image) -> list[_Code]:
    """Return the codes of cards in a grey picture, each once."""
    pixels = grey.width * grey.height
    best: list[_Code] = []
    for scale in _scales(pixels):
        picture, corner = grey, np.zeros(2)
        if scale > 1:
            size = round(grey.width * scale), round(grey.height * scale)
            picture = grey.resize(size, Image.Resampling.BICUBIC)
        elif scale < 1:
            picture = grey.reduce(round(1 / scale))
        elif len(best) >= ENOUGH_TO_AIM:
            picture, corner = _around(grey, best)
        found = _read(picture, 1 / scale, corner)
        best = max(best, found, key=len)
        if len(best) >= len(CODES):
            break
    return best


def _around(grey: Image.Image, codes: Sequence[_Code]) -> tuple[Image.Image, Floats]:
    """Return the part of a picture in which the rest of a card must lie, and where it begins."""
    points = np.concatenate([code.points for code in codes])
    sides = [np.linalg.norm(np.diff(code.points, axis=0), axis=1).max() for code in codes]
    reach = AIM * float(max(sides)) / CODE_SIDE * WIDTH
    left, top = np.maximum(np.floor(points.mean(axis=0) - reach), 0).astype(int).tolist()
    right, bottom = np.ceil(points.mean(axis=0) + reach).astype(int).tolist()
    part = grey.crop((left, top, min(right, grey.width), min(bottom, grey.height)))
    return part, np.array([left, top], dtype=np.float64)


def _scales(pixels: int) -> list[float]:
    """Return how much to enlarge the picture in turn until all codes are found."""
    if pixels > EASY:
        return [1 / max(2, round(math.sqrt(pixels / EASY))), 1.0]
    return [1.0, 2.0] if pixels < SMALL else [1.0]


def _read(picture: Image.Image, scale: float, corner: Floats) -> list[_Code]:
    """Return the codes of cards in a picture that begins at a corner of the photo, scaled."""
    import zxingcpp

    only = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    codes = []
    for code in zxingcpp.read_barcodes(picture, formats=only, try_invert=False):
        named = corner_and_id(code.text)
        if named is None:
            continue
        at = code.position
        points = [(p.x, p.y) for p in (at.top_left, at.top_right, at.bottom_right, at.bottom_left)]
        codes.append(_Code(*named, corner + scale * (np.array(points, dtype=np.float64) + 0.5)))
    return codes


def _square(corner: str) -> Floats:
    """Return the corners of a code on the card, in millimetres."""
    left, top = CODES[corner]
    unit = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=np.float64)
    return np.asarray(unit * CODE_SIDE + (left, top))


def _per_inch(place: Perspective) -> float:
    """Return the pixels to the inch along the side or direction of the card that has fewest."""
    a, b, c, d = place([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)])
    sides = ((b - a, WIDTH), (c - b, HEIGHT), (d - c, WIDTH), (a - d, HEIGHT))
    return min(float(np.linalg.norm(side)) / long for side, long in sides) * MILLIMETRES_PER_INCH
