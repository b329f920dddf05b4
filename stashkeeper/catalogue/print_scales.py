"""How large a photo shows its cloth, where the record knows it."""

import uuid
from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import select as select_columns
from sqlmodel import Session, col

from stashkeeper.catalogue.tables import Calibration, Fabric, Measurement, Photo, Reading, Region


@dataclass(frozen=True, slots=True)
class Scale:
    """The photo that shows a fabric.

    Attributes:
        width, height: of the upright photo, in pixels.
        pixels_per_inch: from the reference card in it; None where there is none.
    """

    width: int
    height: int
    pixels_per_inch: float | None


def print_scales(session: Session, fabric_ids: Collection[uuid.UUID]) -> dict[uuid.UUID, Scale]:
    """Return how large the photos that show these fabrics are; those without one are left out."""
    photos = (
        select_columns(col(Fabric.id), col(Photo.width), col(Photo.height), col(Region.id))
        .join(Region, col(Fabric.region_id) == col(Region.id))
        .join(Photo, col(Region.photo_id) == col(Photo.id))
        .where(col(Fabric.id).in_(set(fabric_ids)))
    )
    found = {row[0]: (row[1], row[2], row[3]) for row in session.connection().execute(photos)}
    cards = (
        select_columns(col(Measurement.region_id), col(Calibration.inputs))
        .join(Reading, col(Reading.measurement_id) == col(Measurement.id))
        .join(Calibration, col(Reading.calibration_id) == col(Calibration.id))
        .where(
            col(Measurement.region_id).in_({region for _, _, region in found.values()}),
            col(Reading.voided).is_(False),
        )
    )
    per_inch = {
        row[0]: float(row[1]["pixels_per_inch"])
        for row in session.connection().execute(cards)
        if row[1].get("pixels_per_inch")
    }
    return {
        fabric: Scale(width, height, per_inch.get(region))
        for fabric, (width, height, region) in found.items()
    }
