"""Fabrics side by side: which photos on record show several, and what was measured there."""

import uuid
from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import select
from sqlmodel import Session, col

from stashkeeper.catalogue.columns import Side
from stashkeeper.catalogue.tables import Fabric, Measurement, Photo, Region


@dataclass(frozen=True, slots=True)
class SideBySide:
    """A fabric's face in a photo that shows others too.

    Attributes:
        checksum: of the photo.
        fabric_id: of the fabric.
        measurement_id: of what was counted there, the newest where there are several.
    """

    checksum: str
    fabric_id: uuid.UUID
    measurement_id: uuid.UUID


def tied_to(session: Session, checksum: str) -> list[SideBySide]:
    """Return all that hangs together with a photo by fabrics shared between photos.

    Only photos of at least two fabrics count: one fabric alone ties nothing.
    """
    shown = (
        select(col(Photo.checksum), col(Region.fabric_id), col(Measurement.id))
        .join(Region, col(Region.id) == col(Measurement.region_id))
        .join(Photo, col(Photo.id) == col(Region.photo_id))
        .join(Fabric, col(Fabric.id) == col(Region.fabric_id))
        .where(
            col(Region.voided).is_(False),
            col(Fabric.voided).is_(False),
            col(Region.side) == Side.FACE,
        )
        .order_by(col(Measurement.created_at))
    )
    session.flush()
    newest: dict[tuple[str, uuid.UUID], uuid.UUID] = {}
    for photo, fabric, measurement in session.connection().execute(shown):
        newest[photo, fabric] = measurement
    photos: dict[str, set[uuid.UUID]] = {}
    for photo, fabric in newest:
        photos.setdefault(photo, set()).add(fabric)
    tied = _reached({photo: shown for photo, shown in photos.items() if len(shown) > 1}, checksum)
    return [SideBySide(*key, newest[key]) for key in newest if key[0] in tied]


def _reached(photos: dict[str, set[uuid.UUID]], start: str) -> Collection[str]:
    """Return the photos that shared fabrics lead to."""
    reached, fabrics = {start}, set(photos.get(start, set()))
    while True:
        more = {
            photo for photo, shown in photos.items() if photo not in reached and shown & fabrics
        }
        if not more:
            return reached
        reached |= more
        fabrics = fabrics.union(*(photos[photo] for photo in more))
