"""Readings on record: every one is kept, and one of each fabric counts."""

import uuid
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, true
from sqlalchemy import select as select_columns
from sqlmodel import Session, col

from stashkeeper.catalogue import tables
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
    wanted = set(fabric_ids)
    fabric = tables.Fabric
    chosen = col(fabric.id).in_(wanted) if len(wanted) <= MANY else true()
    counting = select_columns(*_COLUMNS, col(fabric.id)).where(
        col(fabric.reading_id) == col(tables.Reading.id), chosen
    )
    parts = _factors(
        session,
        col(fabric.reading_id) == col(tables.ReadingFactor.reading_id),
        chosen,
    )
    rows = _fetched(session, counting)
    return {row[-1]: _reading(row, parts.get(row[0], [])) for row in rows if row[-1] in wanted}


def all_readings_of(session: Session, fabric: tables.Fabric) -> list[PastReading]:
    """Return every reading of a fabric that was not taken back, newest first."""
    own = (col(tables.Reading.fabric_id) == fabric.id, col(tables.Reading.voided).is_(False))
    parts = _factors(session, col(tables.Reading.id) == col(tables.ReadingFactor.reading_id), *own)
    rows = _fetched(
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
            id=row.id,
            reading=_reading(row, parts.get(row.id, [])),
            colour_family=row.colour_family,
            measurement_id=row.measurement_id,
            created_at=row.created_at,
            counts=row.id == fabric.reading_id,
        )
        for row in rows
    ]


def spread_of(deviation: float | None, low: float | None, high: float | None) -> Spread | None:
    """Return the spread of three columns, or None where there is none."""
    if deviation is None or low is None or high is None:
        return None
    return Spread(deviation, low, high)


_COLUMNS: Final = (
    col(tables.Reading.id),
    col(tables.Reading.lightness),
    col(tables.Reading.a),
    col(tables.Reading.b),
    col(tables.Reading.method),
    col(tables.Reading.spread),
    col(tables.Reading.spread_low),
    col(tables.Reading.spread_high),
    col(tables.Reading.doubts),
)


def _fetched(session: Session, query: Select[*tuple[Any, ...]]) -> Iterable[Row[*tuple[Any, ...]]]:
    """Fetch rows past the session, for there are no objects to keep: twice as fast."""
    session.flush()
    return session.connection().execute(query)


def _factors(session: Session, *conditions: ColumnElement[bool]) -> dict[uuid.UUID, list[Factor]]:
    """Return the factors of the readings that meet some conditions, in the order of their keys."""
    factor = tables.ReadingFactor
    query = select_columns(col(factor.reading_id), col(factor.key), col(factor.weight))
    found: dict[uuid.UUID, list[Factor]] = {}
    ordered = query.where(*conditions).order_by(col(factor.key))
    for reading_id, key, weight in _fetched(session, ordered):
        found.setdefault(reading_id, []).append(Factor(key, weight))
    return found


def _reading(row: Sequence[Any], parts: Iterable[Factor]) -> Reading:
    (_, lightness, a, b, method, deviation, low, high, doubts) = row[:9]
    return Reading(
        lightness=lightness,
        a=a,
        b=b,
        method=Method(method),
        factors=tuple(parts),
        spread=spread_of(deviation, low, high),
        doubts=tuple(Doubt(doubt) for doubt in doubts),
    )
