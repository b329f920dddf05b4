"""The shelf: the pieces a search finds, with all that lists and sorts need, in one query."""

import json
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import batched
from typing import Any, Final

from sqlalchemy import CTE, BigInteger, Select, Text, cast, type_coerce
from sqlalchemy import select as select_columns
from sqlmodel import Session, col

from stashkeeper.catalogue.bulk import fetch, many_objects
from stashkeeper.catalogue.columns import Corners, End, PieceKind, corners_of, edges_of
from stashkeeper.catalogue.conditions import conditions_of, must_know_places
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.pieces import AT_ONCE
from stashkeeper.catalogue.places import place_paths
from stashkeeper.catalogue.readings import spread_of
from stashkeeper.catalogue.tables import Fabric, Photo, Piece, Reading, Region
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cloth.reading import Spread
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A piece as lists show it; the fabric's reading that counts and its picture beside it.

    `size` is None for a bag of scraps; the columns of the reading are None where there is none,
    those of the picture where there is no photo. `place` is a path, empty for no place;
    `scraps` is what a bag holds.
    """

    piece_id: uuid.UUID
    code: str
    kind: PieceKind
    size: Size | None
    basis: Basis
    selvedges: frozenset[Edge]
    squared: bool
    washed: bool
    count: int | None
    weight_grams: float | None
    ended: End | None
    fabric_id: uuid.UUID
    name: str
    flannel: bool
    tags: tuple[str, ...]
    place: str
    lightness: float | None
    a: float | None
    b: float | None
    uncertainty: float | None
    method: str | None
    colour_family: str | None
    spread: Spread | None
    doubts: tuple[str, ...]
    checksum: str | None
    photo_format: str | None
    corners: Corners | None
    direction: str | None
    version: int = field(compare=False)
    scraps: dict[str, Any] | None


def select_pieces(session: Session, search: Search, bands: Thresholds) -> list[PieceRow]:
    """Return the pieces a search finds, in the order of their codes.

    Sizes are compared as stored, straight or turned; what can be cut from a piece is less.
    Pieces entered by mistake are found only when asked for.

    Args:
        session: to read in.
        search: what is wanted.
        bands: where light, medium and dark part.

    Raises:
        NotFoundError: the search names a place that is not there.
    """
    paths = place_paths()
    rows = _fetched(session, _query(paths).where(*conditions_of(search, paths, bands)))
    if not rows:
        must_know_places(session, search)
    return rows


def rows_of(session: Session, codes: Iterable[str]) -> dict[str, PieceRow]:
    """Return the rows of pieces by their codes, ended or not, in the order of their codes.

    Args:
        session: to read in.
        codes: as kept; one that is unknown is left out.
    """
    found: dict[str, PieceRow] = {}
    for some in batched(dict.fromkeys(codes), AT_ONCE):
        wanted = _query(place_paths()).where(col(Piece.code).in_(some))
        found |= {row.code: row for row in _fetched(session, wanted)}
    return found


def _fetched(session: Session, query: Select[*tuple[Any, ...]]) -> list[PieceRow]:
    with many_objects():
        return [_row(row) for row in fetch(session, query.order_by(col(Piece.code_order)))]


def _query(paths: CTE) -> Select[*tuple[Any, ...]]:
    """Return the query of all columns, as plain as they lie: `_row` reads them faster."""
    return (
        select_columns(
            col(Piece.id),
            col(Piece.code),
            type_coerce(col(Piece.kind), Text),
            type_coerce(col(Piece.width), BigInteger),
            type_coerce(col(Piece.length), BigInteger),
            type_coerce(col(Piece.basis), Text),
            type_coerce(col(Piece.selvedges), Text),
            col(Piece.squared),
            col(Piece.washed),
            col(Piece.count),
            col(Piece.weight_grams),
            type_coerce(col(Piece.ended_how), Text),
            col(Fabric.id),
            col(Fabric.name),
            col(Fabric.flannel),
            cast(col(Fabric.tags), Text),
            paths.c.path,
            col(Reading.lightness),
            col(Reading.a),
            col(Reading.b),
            col(Reading.uncertainty),
            col(Reading.method),
            col(Fabric.colour_family),
            col(Reading.spread),
            col(Reading.spread_low),
            col(Reading.spread_high),
            cast(col(Reading.doubts), Text),
            col(Photo.checksum),
            col(Photo.format),
            type_coerce(col(Region.corners), Text),
            col(Fabric.print_direction),
            col(Piece.version),
            cast(col(Piece.scraps), Text),
        )
        .select_from(Piece)
        .join(Fabric, col(Piece.fabric_id) == col(Fabric.id))
        .outerjoin(paths, col(Piece.place_id) == paths.c.id)
        .outerjoin(Reading, col(Fabric.reading_id) == col(Reading.id))
        .outerjoin(Region, col(Fabric.region_id) == col(Region.id))
        .outerjoin(Photo, col(Region.photo_id) == col(Photo.id))
    )


def _row(columns: Sequence[Any]) -> PieceRow:
    (piece_id, code, kind, width, length, basis, edges, squared, washed) = columns[:9]
    (count, weight, ended, fabric_id, name, flannel, tags, place) = columns[9:17]
    (lightness, a, b, uncertainty, method, family) = columns[17:23]
    (deviation, low, high, doubts, checksum, photo_format, corners) = columns[23:30]
    (direction, version, scraps) = columns[30:]
    return PieceRow(
        piece_id,
        code,
        _KINDS[kind],
        None if width is None or length is None else Size(Length(width), Length(length)),
        _BASES[basis],
        _edges(edges),
        squared,
        washed,
        count,
        weight,
        None if ended is None else End(ended),
        fabric_id,
        name,
        flannel,
        _words(tags),
        place or "",
        lightness,
        a,
        b,
        uncertainty,
        method,
        family,
        spread_of(deviation, low, high),
        _words(doubts),
        checksum,
        photo_format,
        None if corners is None else _corners(corners),
        direction,
        version,
        json.loads(scraps) if scraps else None,
    )


_KINDS: Final = {kind.value: kind for kind in PieceKind}
_BASES: Final = {basis.value: basis for basis in Basis}


@lru_cache(maxsize=10_000)
def _words(stored: str | None) -> tuple[str, ...]:
    """Read a JSON list of words; shelves repeat the same few."""
    return tuple(json.loads(stored)) if stored else ()


_edges = lru_cache(maxsize=16)(edges_of)
_corners = lru_cache(maxsize=1_000)(corners_of)
