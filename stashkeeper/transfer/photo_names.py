"""What the name of a photo's file says: `blue dots 18x21.jpg` is a fabric's name and a size."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_piece_size
from stashkeeper.lengths.size import TypedSize

_PARTING = re.compile(r"[_\s()\[\]{};+–—-]+|[.,](?!\d)|(?<!\d)[.,]")
_LONGEST_SIZE: Final = 8
"""The most words a size is written in: `18 1⁄2 in x 21 1⁄4 in` has seven."""

_WRITTEN_BY_A_CAMERA: Final = frozenset(
    {
        "copy", "dsc", "dscf", "dscn", "edit", "edited", "image", "img", "mvimg", "p", "pano",
        "photo", "pic", "picture", "pxl", "scan",
    }
)  # fmt: skip
_DCF_NAME = re.compile(r"[A-Z0-9 ]{4}\d{4}")
_DATE = re.compile(r"(?:19|20)\d\d ?(?:0[1-9]|1[0-2]) ?(?:0[1-9]|[12]\d|3[01])")
_SIZE_WORD = re.compile(
    r"[0-9¼-¾⅐-⅞]|\b(?:fat|half|quarter|eighth|yard|metre|fq|f8)", re.IGNORECASE
)
_LETTERS = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class PhotoName:
    """What a photo's file name says: a name for the fabric and a size, each only if it is there.

    Attributes:
        name: the words that are no size, None where a camera wrote them.
        size: the size, and how such a size is known.
    """

    name: str | None
    size: TypedSize | None


def read_photo_name(path: Path, measure: Measure) -> PhotoName:
    """Return the fabric's name and size that the file name of a photo holds.

    A size is the longest run of words that reads as one: `18x21`, `18 x 21 in`, `fat-quarter`.
    Bare numbers are never one, since cameras number their photos. Names a camera gives (four
    letters and four digits, as in DCF, JEITA CP-3461; or a date) are no name for a fabric.
    """
    words = [word for word in _PARTING.split(path.stem) if word]
    for count in range(min(_LONGEST_SIZE, len(words)), 0, -1):
        for start in range(len(words) - count, -1, -1):
            size = _size_in(" ".join(words[start : start + count]), measure)
            if size is not None:
                return PhotoName(_name_in(words[:start] + words[start + count :]), size)
    return PhotoName(_name_in(words), None)


def _size_in(text: str, measure: Measure) -> TypedSize | None:
    if not _SIZE_WORD.search(text) or not (_LETTERS.search(text) or "×" in text):
        return None
    try:
        return parse_piece_size(text, measure)
    except BadSizeError:
        return None


def _name_in(words: list[str]) -> str | None:
    text = " ".join(words)
    told = [word.casefold() for word in _LETTERS.findall(text)]
    if _DATE.search(text) or _DCF_NAME.fullmatch(text) or not set(told) - _WRITTEN_BY_A_CAMERA:
        return None
    return text
