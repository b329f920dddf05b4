"""The stored rotation of a photo: Exif tag 274, from 1 (upright) to 8 (Exif 3.0, CIPA DC-008)."""

from PIL import Image

from stashkeeper.luminance.region import Box

TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
SIDEWAYS = {5, 6, 7, 8}
"""Orientations in which width and height change places."""


def turned(image: Image.Image, orientation: int) -> Image.Image:
    """Return a stored picture upright."""
    turn = TURNS.get(orientation)
    return image if turn is None else image.transpose(turn)


def unturned(box: Box, width: int, height: int, orientation: int) -> Box:
    """Return where `box` of an upright picture of `width` × `height` lies in the stored one."""
    left, top, right, bottom = box.edges
    stored = {
        2: (width - right, top, width - left, bottom),
        3: (width - right, height - bottom, width - left, height - top),
        4: (left, height - bottom, right, height - top),
        5: (top, left, bottom, right),
        6: (top, width - right, bottom, width - left),
        7: (height - bottom, width - right, height - top, width - left),
        8: (height - bottom, left, height - top, right),
    }
    return Box(*stored.get(orientation, box.edges))
