"""Readings on record: every one is kept, and one of each fabric counts."""

import uuid
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from stashkeeper.catalogue import tables
from stashkeeper.catalogue.history import Deed
from stashkeeper.cloth.reading import Doubt, Factor, Method, Reading, Spread


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
) -> tables.Reading:
    """Put a reading on record; when the deed ends, the fabric's surest one counts.

    Args:
        deed: the deed it belongs to.
        fabric: whose lightness it is.
        reading: lightness, colour and certainty with its factors.
        measurement: what it was read from, or None where it was typed.
        colour_family: a plain colour word for searches, or None where no colour is known.
    """
    spread = reading.spread
    row = deed.add(
        tables.Reading(
            fabric_id=fabric.id,
            measurement_id=None if measurement is None else measurement.id,
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
    counting = select(tables.Reading).join(
        tables.Fabric, col(tables.Fabric.reading_id) == col(tables.Reading.id)
    )
    rows: list[tables.Reading] = []
    for some in _portions(fabric_ids):
        rows.extend(session.exec(counting.where(col(tables.Fabric.id).in_(some))))
    factors = _factors(session, [row.id for row in rows])
    return {row.fabric_id: _reading(row, factors.get(row.id, [])) for row in rows}


def all_readings_of(session: Session, fabric: tables.Fabric) -> list[PastReading]:
    """Return every reading of a fabric that was not taken back, newest first."""
    rows = session.exec(
        select(tables.Reading)
        .where(col(tables.Reading.fabric_id) == fabric.id, col(tables.Reading.voided).is_(False))
        .order_by(col(tables.Reading.created_at).desc())
    ).all()
    factors = _factors(session, [row.id for row in rows])
    return [
        PastReading(
            row.id,
            _reading(row, factors.get(row.id, [])),
            row.colour_family,
            row.measurement_id,
            row.created_at,
            row.id == fabric.reading_id,
        )
        for row in rows
    ]


def _factors(session: Session, ids: Collection[uuid.UUID]) -> dict[uuid.UUID, list[Factor]]:
    found: dict[uuid.UUID, list[Factor]] = {}
    factor = tables.ReadingFactor
    for some in _portions(ids):
        query = select(factor.reading_id, factor.key, factor.weight)
        ordered = query.where(col(factor.reading_id).in_(some)).order_by(col(factor.key))
        for reading_id, key, weight in session.exec(ordered):
            found.setdefault(reading_id, []).append(Factor(key, weight))
    return found


def _reading(row: tables.Reading, factors: Iterable[Factor]) -> Reading:
    return Reading(
        lightness=row.lightness,
        a=row.a,
        b=row.b,
        method=Method(row.method),
        factors=tuple(factors),
        spread=spread_of(row.spread, row.spread_low, row.spread_high),
        doubts=tuple(Doubt(doubt) for doubt in row.doubts),
    )


def spread_of(deviation: float | None, low: float | None, high: float | None) -> Spread | None:
    """Return the spread of three columns, or None where there is none."""
    if deviation is None or low is None or high is None:
        return None
    return Spread(deviation, low, high)


def _portions(ids: Collection[uuid.UUID]) -> Iterable[list[uuid.UUID]]:
    """Cut a long list of keys into pieces that both databases take in one query."""
    keys = list(ids)
    return (keys[start : start + 5_000] for start in range(0, len(keys), 5_000))
