"""Invented fabrics, pieces and readings for the tests of the catalogue."""

import hashlib
import uuid
from typing import Unpack

from stashkeeper.catalogue.columns import Corners
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.filters import parse_search
from stashkeeper.catalogue.history import Deed, deed
from stashkeeper.catalogue.photos import add_photo, add_region, corners_of_crop
from stashkeeper.catalogue.pieces import PieceDetails, add_pieces, piece_by_code
from stashkeeper.catalogue.readings import add_reading
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.tables import Fabric, Piece, Region
from stashkeeper.catalogue.tables import Reading as ReadingRow
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.cloth.reading import Method, Reading, Spread, lone_photo_factors, typed_factors
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size

MIDDLE: Corners = corners_of_crop(0.1, 0.1, 0.9, 0.9)


def inches(width: int | str, length: int | str) -> Size:
    """Return a size in inches."""
    return Size(Length.from_inches(width), Length.from_inches(length))


def add(stash: Catalogue, name: str, times: int = 1, **details: Unpack[PieceDetails]) -> list[str]:
    """Add a fabric and pieces of it as one deed; return their codes."""
    with deed(stash, "add") as doing:
        fabric = add_fabric(doing, name)
        details.setdefault("size", inches(18, 21))
        pieces = add_pieces(doing, fabric, times, **details)
        doing.summary = f"Added {name}."
    return [piece.code for piece in pieces]


def piece_and_fabric(doing: Deed, code: str) -> tuple[Piece, Fabric]:
    """Return a piece and its fabric, to change them."""
    piece = piece_by_code(doing.session, code)
    return piece, doing.session.get_one(Fabric, piece.fabric_id)


def type_lightness(stash: Catalogue, code: str, lightness: float) -> None:
    """Type the lightness of a piece's fabric as one deed."""
    with deed(stash, "lightness") as doing:
        add_reading(doing, piece_and_fabric(doing, code)[1], typed(lightness))
        doing.summary = f"Typed lightness {lightness:g} for {code}."


def typed(lightness: float) -> Reading:
    """Return a typed reading."""
    factors = typed_factors(f"own:{uuid.uuid4()}")
    return Reading(lightness, None, None, Method.TYPED, factors)


def photographed(lightness: float, a: float = 5.0, b: float = -20.0) -> Reading:
    """Return a reading of a lone photo."""
    factors = lone_photo_factors(f"own:{uuid.uuid4()}", f"photo:{uuid.uuid4()}")
    return Reading(lightness, a, b, Method.PHOTO, factors, Spread(4.0, 20.0, 44.0))


def add_photo_of(doing: Deed, fabric: Fabric, file_name: str) -> Region:
    """Put an invented photo and the fabric's region in it on record."""
    checksum = hashlib.sha256(file_name.encode()).hexdigest()
    photo = add_photo(doing, checksum, "JPEG", 1600, 1200, file_name=file_name)
    return add_region(doing, photo, fabric, MIDDLE)


def measure(doing: Deed, fabric: Fabric, lightness: float, colour: str) -> ReadingRow:
    """Put a reading of a photo on record."""
    return add_reading(doing, fabric, photographed(lightness), colour_family=colour)


def find(stash: Catalogue, words: str) -> list[PieceRow]:
    """Return what search words find."""
    with reading(stash) as session:
        search = parse_search(words, Measure.INCHES)
        return select_pieces(session, search, thresholds(session))


def codes(stash: Catalogue, words: str = "") -> list[str]:
    """Return the codes of the pieces that search words find."""
    return [row.code for row in find(stash, words)]
