"""The shelf as columns: of every piece only what a search for cloth needs, loaded in one query.

A row of `shelf.py` is made for people to look at; a hundred thousand of them take seconds. Here no
object is made for a piece: its sizes are numbers in arrays, and what it shares with others is kept
once.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import CTE, BigInteger, Integer, Select, Text, and_, func, or_, type_coerce
from sqlalchemy import select as select_columns
from sqlmodel import Session, col

from stashkeeper.catalogue.bulk import fetch, many_objects
from stashkeeper.catalogue.columns import edges_of, key_text, raw_key
from stashkeeper.catalogue.conditions import conditions_of, must_know_places
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.places import place_paths
from stashkeeper.catalogue.shelf import PieceRow, rows_of
from stashkeeper.catalogue.tables import Fabric, Piece, Reading
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.lengths.basis import Basis, Edge

type Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class State:
    """What decides, beside its size, how much of a piece is usable and how it may be turned.

    Attributes:
        basis: how its size is known.
        selvedges: which edges are still selvedge.
        squared, washed: whether it is squared up, whether it has been washed.
        flannel: whether its fabric is flannel.
        direction: of its fabric's print, None where it has none.
    """

    basis: Basis
    selvedges: frozenset[Edge]
    squared: bool
    washed: bool
    flannel: bool
    direction: str | None


@dataclass(frozen=True, slots=True, eq=False)
class ClothColumns:
    """Pieces that have a size, in the order of their codes; a position means one piece throughout.

    Attributes:
        codes, names, places: of the pieces, as in `PieceRow`.
        widths, lengths: as written down, in ticks.
        states: each state that occurs, once.
        of_state: for each piece, the position of its state in `states`.
        bags: the rows of what was found and has no size of its own: bags of scraps.
    """

    codes: Sequence[str]
    names: Sequence[str]
    places: Sequence[str]
    widths: Whole
    lengths: Whole
    states: Sequence[State]
    of_state: Whole
    bags: Sequence[PieceRow]
    _fabrics: Sequence[Any]

    def __len__(self) -> int:
        return len(self.codes)

    def fabrics(self) -> list[str]:
        """Return the key of the fabric of each piece, as `str` writes it."""
        keys = {raw: key_text(raw) for raw in dict.fromkeys(self._fabrics)}
        return [keys[raw] for raw in self._fabrics]

    def take(self, where: Whole) -> "ClothColumns":
        """Return the pieces at these positions; the bags stay."""
        places = where.tolist()
        return ClothColumns(
            [self.codes[at] for at in places],
            [self.names[at] for at in places],
            [self.places[at] for at in places],
            self.widths[where],
            self.lengths[where],
            self.states,
            self.of_state[where],
            self.bags,
            [self._fabrics[at] for at in places],
        )


def select_cloth(
    session: Session, search: Search, bands: Thresholds, also: Collection[str] = ()
) -> ClothColumns:
    """Return the cloth of the pieces that `select_pieces` finds for the same search.

    Args:
        session: to read in.
        search: what is wanted.
        bands: where light, medium and dark part.
        also: codes of pieces that belong to it too, if they are on the shelf.

    Raises:
        NotFoundError: the search names a place that is not there.
    """
    paths = place_paths()
    wanted = and_(*conditions_of(search, paths, bands))
    if also:
        kept = and_(col(Piece.code).in_(also), col(Piece.ended_how).is_(None))
        wanted = or_(wanted, kept)
    query = _query(search, paths).where(wanted)
    with many_objects():
        # As the database hands them out: a key or a length made of each would take most of it.
        found = fetch(session, query.order_by(col(Piece.code_order)))
        if all(row[0] in also for row in found):
            must_know_places(session, search)
        sized = [row for row in found if row[1] is not None and row[2] is not None]
        bags = [row[0] for row in found if row[1] is None or row[2] is None]
        return _columns(sized, list(rows_of(session, bags).values()))


def _query(search: Search, paths: CTE) -> Select[*tuple[Any, ...]]:
    query = (
        select_columns(
            col(Piece.code),
            type_coerce(col(Piece.width), BigInteger),
            type_coerce(col(Piece.length), BigInteger),
            col(Fabric.name),
            func.coalesce(paths.c.path, ""),
            raw_key(col(Piece.fabric_id)),
            type_coerce(col(Piece.basis), Text),
            type_coerce(col(Piece.selvedges), Text),
            type_coerce(col(Piece.squared), Integer),
            type_coerce(col(Piece.washed), Integer),
            type_coerce(col(Fabric.flannel), Integer),
            col(Fabric.print_direction),
        )
        .select_from(Piece)
        .join(Fabric, col(Piece.fabric_id) == col(Fabric.id))
        .outerjoin(paths, col(Piece.place_id) == paths.c.id)
    )
    if any(term.key == "value" for term in search.terms):
        return query.outerjoin(Reading, col(Fabric.reading_id) == col(Reading.id))
    return query


def _columns(rows: Sequence[Sequence[Any]], bags: Sequence[PieceRow]) -> ClothColumns:
    if not rows:
        none = np.zeros(0, dtype=np.int64)
        return ClothColumns((), (), (), none, none, (), none, bags, ())
    codes, widths, lengths, names, places, fabrics, *marks = zip(*rows, strict=True)
    known: dict[tuple[Any, ...], int] = {}
    of_state = [known.setdefault(mark, len(known)) for mark in zip(*marks, strict=True)]
    return ClothColumns(
        codes,
        names,
        places,
        np.array(widths, dtype=np.int64),
        np.array(lengths, dtype=np.int64),
        tuple(map(_state, known)),
        np.array(of_state, dtype=np.int64),
        bags,
        fabrics,
    )


def _state(mark: tuple[Any, ...]) -> State:
    basis, selvedges, squared, washed, flannel, direction = mark
    edges = edges_of(selvedges)
    return State(Basis(basis), edges, bool(squared), bool(washed), bool(flannel), direction)
