"""Decode an ordinary colour JPEG straight into memory that the last photo has left.

Codes come out as Pillow's own: the decoder below is the same. But rows are not copied from the
decoder into the picture, a region is counted where it lies, and memory is not asked of the system
anew for each photo: together a tenth of what measuring takes.
"""

import weakref
from collections import deque
from typing import BinaryIO, Final

import numpy as np
from PIL import Image

from stashkeeper.luminance.pixels import DEPTH, Memory, picture_of
from stashkeeper.luminance.region import Box

LARGEST: Final = 72 << 20
"""Larger memory goes back to the system, in bytes: 16-megapixel photos still leave theirs. Of a
larger file Pillow reads what it needs."""

_NONE: Final = np.empty(0, dtype=np.uint8)
_left: deque[Memory] = deque(maxlen=2)
"""What the last photos have left for the next, one for each of two that are read at a time."""


def decoded(head: Image.Image, file: BinaryIO) -> Memory | None:
    """Return the codes of a JPEG, row by row and a row to spare; what is to spare means nothing.

    None where it is no ordinary colour JPEG or anything about it is amiss: Pillow then says what,
    or makes the best of it.

    Args:
        head: the picture as Pillow opened it, not yet decoded.
        file: its bytes.
    """
    if head.format not in {"JPEG", "MPO"} or head.mode != "RGB":
        return None
    from simplejpeg import decode_jpeg

    file.seek(0)
    try:
        memory = _memory(DEPTH * head.width * (head.height + 1))
        codes = decode_jpeg(file.read(LARGEST), "RGBX", buffer=memory, strict=True)
    except (ValueError, MemoryError):
        return None
    return memory if codes.shape == (head.height, head.width, DEPTH) else None


def picture_in(memory: Memory, head: Image.Image) -> Image.Image:
    """Return decoded codes as the picture that their head promised, without a copy."""
    picture = picture_of(memory, head.width, Box(0, 0, *head.size))
    picture.info = head.info
    return picture


def _memory(size: int) -> Memory:
    """Return memory of `size` bytes, which is left to the next photo once nothing holds it."""
    try:
        whole = _left.pop()
    except IndexError:
        whole = _NONE
    if whole.size < size:
        whole = np.empty(size, dtype=np.uint8)
    memory = whole[:size]
    if whole.size <= LARGEST:
        weakref.finalize(memory, _left.append, whole).atexit = False
    return memory
