"""A label read from a photo: which piece it belongs to."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.piece_view import PieceView, piece_view
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.codes import is_code, normalise_code
from stashkeeper.catalogue.pieces import piece_by_code
from stashkeeper.errors import NotFoundError, quoted
from stashkeeper.pictures.label_reading import read_codes

_OF_A_PIECE = re.compile(r"https?://[^/\s]+(?:/\S*)?/piece/([A-Za-z0-9]+)/?(?:[?#]\S*)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class ReadLabels:
    """The pieces whose labels a photo shows, the largest label first."""

    pieces: tuple[PieceView, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """All that is known of each piece."""
        return tuple(line for piece in self.pieces for line in piece.sentences)


def read_label(stash: Stash, photo: Path) -> ReadLabels:
    """Read the labels in a photo, and return their pieces.

    It needs no network: of an address only its end counts, which names the piece.

    Raises:
        NotFoundError: there is no such file, no label in it, or no piece of this stash on it.
        BadPhotoError: it cannot be opened.
    """
    texts = in_turn(lambda: read_codes(photo))
    if not texts:
        raise NotFoundError(
            f"No label can be read in {quoted(photo.name)}.",
            "Take it again from nearer, with the whole square sharp, or type the code printed "
            "beside it.",
        )
    codes = list(dict.fromkeys(code for code in map(code_of_label, texts) if code))
    if not codes:
        raise NotFoundError(
            f"The code in {quoted(photo.name)} is no label of a stash: it says {quoted(texts[0])}.",
            "Take a photo of a label that Stashkeeper printed.",
        )
    with stash.reading() as session:
        return ReadLabels(
            tuple(piece_view(stash, session, piece_by_code(session, code)) for code in codes)
        )


def code_of_label(text: str) -> str | None:
    """Return the code of the piece that a label's text names; None where it names none.

    >>> code_of_label("http://localhost:8737/piece/A7")
    'A7'
    """
    address = _OF_A_PIECE.fullmatch(text.strip())
    first = address[1] if address else _first(text.strip().splitlines())
    code = normalise_code(first)
    return code if is_code(code) else None


def _first(lines: Sequence[str]) -> str:
    return lines[0] if lines else ""
