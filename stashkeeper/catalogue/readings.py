"""Readings on record: every one is kept, and one of each fabric counts."""

import json
import uuid
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Final

from sqlalchemy import ColumnElement, Text, cast, true
from sqlalchemy import select as select_columns
from sqlmodel import Session, col

from stashkeeper.catalogue import tables
from stashkeeper.catalogue.bulk import fetch, many_objects
from stashkeeper.catalogue.columns import key_text, raw_key
from stashkeeper.catalogue.history import Deed
from stashkeeper.cloth.reading import Doubt, Factor, Method, Reading, Spread

MANY: Final = 500
"""From more fabrics than these on, all are fetched and the unwanted left out: it is faster."""


@dataclass(frozen=True, slots=True)
class PastReading:
    """A reading on record.

    Attributes:
        id: its key.
        reading: lightness, colour and certainty.
        colour_family: the plain colour word that was handed in with it, if any.
        measurement_id: what it was read from, or None where it was typed.
        created_at: when it was put on record.
        counts: whether it is the one that counts for its fabric.
    """

    id: uuid.UUID
    reading: Reading
    colour_family: str | None
    measurement_id: uuid.UUID | None
    created_at: datetime
    counts: bool


def add_reading(
    deed: Deed,
    fabric: tables.Fabric,
    reading: Reading,
    *,
    measurement: tables.Measurement | None = None,
    colour_family: str | None = None,
    calibration: tables.Calibration | None = None,
) -> tables.Reading:
    """Put a reading on record; when the deed ends, the fabric's surest one counts.

    Args:
        deed: the deed it belongs to.
        fabric: whose lightness it is.
        reading: lightness, colour and certainty with its factors.
        measurement: what it was read from, or None where it was typed.
        colour_family: a plain colour word for searches, or None where no colour is known.
        calibration: what set it right, if anything did.
    """
    spread = reading.spread
    row = deed.add(
        tables.Reading(
            fabric_id=fabric.id,
            measurement_id=None if measurement is None else measurement.id,
            calibration_id=None if calibration is None else calibration.id,
            lightness=reading.lightness,
            a=reading.a,
            b=reading.b,
            method=reading.method.value,
            uncertainty=reading.uncertainty,
            colour_family=None if colour_family is None else str(colour_family),
            spread=None if spread is None else spread.deviation,
            spread_low=None if spread is None else spread.low,
            spread_high=None if spread is None else spread.high,
            doubts=tuple(doubt.value for doubt in reading.doubts),
        )
    )
    for factor in reading.factors:
        deed.add(tables.ReadingFactor(reading_id=row.id, key=factor.key, weight=factor.weight))
    return row


def readings_of(session: Session, fabric_ids: Collection[uuid.UUID]) -> dict[uuid.UUID, Reading]:
    """Return the reading that counts of each of these fabrics, with its factors.

    A fabric that has none is left out.
    """
    return {uuid.UUID(key): one for key, one in readings_by_key(session, fabric_ids).items()}


def readings_by_key(
    session: Session, fabrics: Collection[uuid.UUID] | Collection[str]
) -> dict[str, Reading]:
    """Return the reading that counts of each of these fabrics by the text of its key.

    Args:
        session: to read in.
        fabrics: their keys, or what `str` makes of them. A fabric that has no reading is left out.
    """
    wanted, fabric = set(map(str, fabrics)), tables.Fabric
    few = len(wanted) <= MANY
    chosen = col(fabric.id).in_(list(map(uuid.UUID, wanted))) if few else true()
    counting = select_columns(*_COLUMNS, raw_key(col(fabric.id))).where(
        col(fabric.reading_id) == col(tables.Reading.id), chosen
    )
    with many_objects():
        parts = _factors(session, col(fabric.reading_id) == col(_FACTOR.reading_id), chosen)
        found = ((key_text(row[-1]), row) for row in fetch(session, counting))
        return {key: _reading(row, parts.get(row[0], ())) for key, row in found if key in wanted}


def all_readings_of(session: Session, fabric: tables.Fabric) -> list[PastReading]:
    """Return every reading of a fabric that was not taken back, newest first."""
    own = (col(tables.Reading.fabric_id) == fabric.id, col(tables.Reading.voided).is_(False))
    parts = _factors(session, col(tables.Reading.id) == col(_FACTOR.reading_id), *own)
    rows = fetch(
        session,
        select_columns(
            *_COLUMNS,
            col(tables.Reading.colour_family),
            col(tables.Reading.measurement_id),
            col(tables.Reading.created_at),
        )
        .where(*own)
        .order_by(col(tables.Reading.created_at).desc()),
    )
    return [
        PastReading(
            id=uuid.UUID(str(row[0])),
            reading=_reading(row, parts.get(row[0], ())),
            colour_family=row.colour_family,
            measurement_id=row.measurement_id,
            created_at=row.created_at,
            counts=uuid.UUID(str(row[0])) == fabric.reading_id,
        )
        for row in rows
    ]


def spread_of(deviation: float | None, low: float | None, high: float | None) -> Spread | None:
    """Return the spread of three columns, or None where there is none."""
    if deviation is None or low is None or high is None:
        return None
    return Spread(deviation, low, high)


_FACTOR: Final = tables.ReadingFactor
_COLUMNS: Final = (
    raw_key(col(tables.Reading.id)),
    col(tables.Reading.lightness),
    col(tables.Reading.a),
    col(tables.Reading.b),
    col(tables.Reading.method),
    col(tables.Reading.spread),
    col(tables.Reading.spread_low),
    col(tables.Reading.spread_high),
    cast(col(tables.Reading.doubts), Text),
)


def _factors(
    session: Session, *conditions: ColumnElement[bool]
) -> dict[Any, list[tuple[str, float]]]:
    """Return keys and weights of the factors of the readings that meet some conditions."""
    query = select_columns(
        raw_key(col(_FACTOR.reading_id)), col(_FACTOR.key), col(_FACTOR.weight)
    ).where(*conditions)
    found: dict[Any, list[tuple[str, float]]] = {}
    for reading_id, key, weight in fetch(session, query):
        found.setdefault(reading_id, []).append((key, weight))
    return found


def _reading(row: Sequence[Any], parts: Sequence[tuple[str, float]]) -> Reading:
    _, lightness, a, b, method, deviation, low, high, doubts, *_ = row
    return Reading(
        lightness=lightness,
        a=a,
        b=b,
        method=_METHODS[method],
        factors=tuple([Factor(key, weight) for key, weight in sorted(parts)]),
        spread=spread_of(deviation, low, high),
        doubts=_doubts(doubts),
    )


_METHODS: Final = {method.value: method for method in Method}


@lru_cache(maxsize=1_000)
def _doubts(stored: str | None) -> tuple[Doubt, ...]:
    """Read a JSON list of doubts; readings repeat the same few."""
    return tuple(map(Doubt, json.loads(stored))) if stored else ()
