"""Photos on record that were taken in one go: what was measured in them, and of which fabric."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from stashkeeper.catalogue.columns import Side
from stashkeeper.catalogue.tables import Fabric, Measurement, Photo, Piece, Region


@dataclass(frozen=True, slots=True)
class SittingRow:
    """A region of a fabric's face in one of the photos.

    Attributes:
        measurement_id: of what was counted in the region.
        histograms: as luminance packed them.
        fabric_id: of the fabric it shows.
        name: of that fabric.
        code: of its first piece; empty where none was kept.
        checksum, file_name: of the photo.
        camera, exposure, taken_at: what the camera wrote into it.
    """

    measurement_id: uuid.UUID
    histograms: bytes
    fabric_id: uuid.UUID
    name: str
    code: str
    checksum: str
    file_name: str
    camera: str | None
    exposure: dict[str, Any]
    taken_at: datetime | None


def rows_taken(session: Session, camera: str, since: datetime, until: datetime) -> list[SittingRow]:
    """Return what was measured in photos that a camera took within a time, in their order."""
    measured = (
        select(Measurement, Photo, Fabric)
        .join(Region, col(Region.id) == col(Measurement.region_id))
        .join(Photo, col(Photo.id) == col(Region.photo_id))
        .join(Fabric, col(Fabric.id) == col(Region.fabric_id))
        .where(
            col(Photo.camera) == camera,
            col(Photo.taken_at) >= since,
            col(Photo.taken_at) <= until,
            col(Region.voided).is_(False),
            col(Fabric.voided).is_(False),
            col(Region.side) == Side.FACE,
        )
        .order_by(col(Photo.taken_at), col(Measurement.created_at))
    )
    found = list(session.exec(measured))
    codes = _first_codes(session, {fabric.id for _, _, fabric in found})
    return [
        SittingRow(
            measurement.id,
            measurement.histograms,
            fabric.id,
            fabric.name,
            codes.get(fabric.id, ""),
            photo.checksum,
            photo.file_name,
            photo.camera,
            photo.exposure,
            photo.taken_at,
        )
        for measurement, photo, fabric in found
    ]


def _first_codes(session: Session, fabric_ids: set[uuid.UUID]) -> dict[uuid.UUID, str]:
    pieces = (
        select(Piece.fabric_id, Piece.code)
        .where(col(Piece.fabric_id).in_(fabric_ids))
        .order_by(col(Piece.code_order).desc())
    )
    return dict(session.exec(pieces).all())
