"""Photos on record, the regions of cloth in them, and what was measured there."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict, Unpack

from sqlalchemy import Text, type_coerce
from sqlmodel import Session, col, select

from stashkeeper.catalogue.columns import Corners, Side
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.tables import Fabric, Measurement, Photo, Piece, Reading, Region
from stashkeeper.cloth.reading import Spread
from stashkeeper.errors import (
    AlreadyThereError,
    BadCropError,
    ChangedMeanwhileError,
    NotFoundError,
)


class PhotoDetails(TypedDict, total=False):
    """What a photo may say of itself. `exposure` is plain JSON: the camera's exposure record."""

    camera: str | None
    exposure: dict[str, str | float | int | None]
    taken_at: datetime | None
    file_name: str
    sitting: str | None


@dataclass(frozen=True, slots=True)
class RegionRow:
    """One region of a fabric, with the photo it lies in.

    Attributes:
        id: its key.
        photo_id: the photo's key.
        checksum: the photo's, which its file lies under.
        format: the photo's, as `JPEG`.
        width: of the photo, upright, in pixels.
        height: likewise.
        file_name: the photo's own file name, as it came.
        corners: where the cloth lies, in fractions of the upright photo.
        side: face or back.
        piece_id: the one piece it shows, or None where it stands for the fabric.
        created_at: when it was put on record.
    """

    id: uuid.UUID
    photo_id: uuid.UUID
    checksum: str
    format: str
    width: int
    height: int
    file_name: str
    corners: Corners
    side: Side
    piece_id: uuid.UUID | None
    created_at: datetime


def add_photo(
    deed: Deed,
    checksum: str,
    format: str,  # noqa: A002  (the trade's word for JPEG, PNG …)
    width: int,
    height: int,
    **details: Unpack[PhotoDetails],
) -> Photo:
    """Put a photo on record and return it; the very same file again returns the one there.

    Args:
        deed: the deed it belongs to.
        checksum: SHA-256 of the file, hexadecimal.
        format: as `JPEG`.
        width: upright, in pixels.
        height: upright, in pixels.
        details: what the photo says of itself.
    """
    known = photo_by_checksum(deed.session, checksum)
    if known is not None:
        return known
    photo = Photo(checksum=checksum.lower(), format=format, width=width, height=height, **details)
    deed.add(photo)
    deed.session.flush()
    return photo


def photo_by_checksum(session: Session, checksum: str) -> Photo | None:
    """Return the photo with a checksum, or None."""
    same = select(Photo).where(col(Photo.checksum) == checksum.lower())
    return session.exec(same).first()


def fabrics_of_photo(session: Session, checksum: str) -> set[uuid.UUID]:
    """Return the fabrics that a photo is on record for; none for an unknown photo."""
    shown = (
        select(Region.fabric_id)
        .join(Photo, col(Photo.id) == col(Region.photo_id))
        .where(col(Photo.checksum) == checksum.lower(), col(Region.voided).is_(False))
    )
    return set(session.exec(shown))


def add_region(
    deed: Deed,
    photo: Photo,
    fabric: Fabric,
    corners: Corners,
    *,
    piece: Piece | None = None,
    side: Side = Side.FACE,
) -> Region:
    """Put on record where in a photo a fabric lies.

    Raises:
        AlreadyThereError: the same region of the same photo is on record for the fabric.
        BadCropError: a corner lies outside the photo.
    """
    if not all(0 <= part <= 1 for point in corners for part in point):
        raise BadCropError(
            "A corner of the cloth lies outside the photo.", "Give fractions between 0 and 1."
        )
    if region_of(deed.session, fabric, photo.checksum, corners, side) is not None:
        raise AlreadyThereError(
            f"This part of the photo “{photo.file_name}” is on record for “{fabric.name}” already.",
            "Nothing was added; give another photo or another part of it.",
        )
    return deed.add(
        Region(
            photo_id=photo.id,
            fabric_id=fabric.id,
            piece_id=None if piece is None else piece.id,
            corners=corners,
            side=side,
        )
    )


def region_of(
    session: Session, fabric: Fabric, checksum: str, corners: Corners, side: Side = Side.FACE
) -> Region | None:
    """Return the region of a photo where a fabric lies; None where none is on record."""
    same = (
        select(Region)
        .join(Photo, col(Photo.id) == col(Region.photo_id))
        .where(
            col(Photo.checksum) == checksum.lower(),
            col(Region.fabric_id) == fabric.id,
            col(Region.corners) == corners,
            col(Region.side) == side,
            col(Region.voided).is_(False),
        )
    )
    return session.exec(same).first()


def void_region(deed: Deed, region_id: uuid.UUID) -> None:
    """Void a region and the readings taken in it; the photo stays on record.

    Raises:
        ChangedMeanwhileError: it is not on record any more.
    """
    region = deed.session.get(Region, region_id)
    if region is None or region.voided:
        raise ChangedMeanwhileError(
            "This part of the photo was changed by somebody else meanwhile.",
            "Look at the photo again, then repeat your change if it is still wanted.",
        )
    measured = select(Measurement.id).where(col(Measurement.region_id) == region_id)
    readings = select(Reading).where(
        col(Reading.measurement_id).in_(measured), col(Reading.voided).is_(False)
    )
    for reading in deed.session.exec(readings).all():
        deed.change(reading, voided=True)
    deed.change(region, voided=True)


def add_measurement(
    deed: Deed,
    region: Region,
    *,
    method_version: int,
    histograms: bytes,
    linear_means: tuple[float, float, float],
    spread: Spread,
    doubts: Iterable[str],
    pixels: int,
) -> Measurement:
    """Put on record what was counted in a region.

    Args:
        deed: the deed it belongs to.
        region: where it was counted.
        method_version: of the way it was counted.
        histograms: three of 256 counts, packed as luminance packs them.
        linear_means: of red, green and blue, 0 to 1.
        spread: of the print.
        doubts: what made the photo less sure.
        pixels: how many were counted.
    """
    red, green, blue = linear_means
    return deed.add(
        Measurement(
            region_id=region.id,
            method_version=method_version,
            histograms=histograms,
            mean_red=red,
            mean_green=green,
            mean_blue=blue,
            spread=spread.deviation,
            spread_low=spread.low,
            spread_high=spread.high,
            doubts=tuple(doubts),
            pixels=pixels,
        )
    )


def measurement_by_id(session: Session, measurement_id: uuid.UUID) -> Measurement:
    """Return a measurement by its key.

    Raises:
        NotFoundError: there is none.
    """
    measurement = session.get(Measurement, measurement_id)
    if measurement is None:
        raise NotFoundError("There is no such measurement.", "Measure the photo again.")
    return measurement


def regions_of(session: Session, fabric_id: uuid.UUID) -> list[RegionRow]:
    """Return the regions that show a fabric, newest first."""
    shown = (
        select(Region, Photo)
        .join(Photo, col(Photo.id) == col(Region.photo_id))
        .where(col(Region.fabric_id) == fabric_id, col(Region.voided).is_(False))
        .order_by(col(Region.created_at).desc())
    )
    return [
        RegionRow(
            region.id,
            photo.id,
            photo.checksum,
            photo.format,
            photo.width,
            photo.height,
            photo.file_name,
            region.corners,
            region.side,
            region.piece_id,
            region.created_at,
        )
        for region, photo in session.exec(shown)
    ]


def corners_of_crop(left: float, top: float, right: float, bottom: float) -> Corners:
    """Return the corners of an upright rectangle, given in fractions of the photo."""
    return (left, top), (right, top), (right, bottom), (left, bottom)


def regions_on_record(session: Session) -> dict[tuple[str, str], uuid.UUID]:
    """Return the fabric of every region that stands, by the photo's checksum and its corners."""
    standing = (
        select(Photo.checksum, type_coerce(col(Region.corners), Text), Region.fabric_id)
        .join(Region, col(Photo.id) == col(Region.photo_id))
        .where(col(Region.voided).is_(False))
    )
    return {(checksum, corners): fabric for checksum, corners, fabric in session.exec(standing)}
