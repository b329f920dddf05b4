"""From photo files to readings on record: measured first, put on record in one deed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlmodel import Session

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.calibrations import add_calibration
from stashkeeper.catalogue.columns import Corners, Side, corners_text
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.photo_files import checksum_of, keep_photo
from stashkeeper.catalogue.photos import (
    add_measurement,
    add_photo,
    add_region,
    corners_of_crop,
    fabrics_of_photo,
    regions_of,
)
from stashkeeper.catalogue.pieces import pieces_of
from stashkeeper.catalogue.readings import add_reading
from stashkeeper.catalogue.tables import Fabric, Piece, Region
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import AlreadyThereError, quoted
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.measurement import Measurement
from stashkeeper.luminance.readings import lone_photo_reading
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop, parse_crop


@dataclass(frozen=True, slots=True)
class Reference:
    """Something known that was seen in the photo, and the reading it gives.

    Attributes:
        reading: of the region.
        inputs: what it was made from, as plain JSON.
        curve: what luminance made of it, as plain JSON.
    """

    reading: Reading
    inputs: dict[str, Any]
    curve: dict[str, Any]


@dataclass(frozen=True, slots=True)
class MeasuredPhoto:
    """A photo file with what was measured in one region of it; its pixels are gone again.

    Attributes:
        path: the file.
        checksum: SHA-256 of the file, hexadecimal.
        format: as `JPEG`.
        width, height: upright, in pixels.
        exposure: the camera's record.
        measurement: of the region.
        reference: what set it right; None where nothing of known lightness was in the photo.
    """

    path: Path
    checksum: str
    format: str
    width: int
    height: int
    exposure: Exposure
    measurement: Measurement
    reference: Reference | None = None

    @property
    def corners(self) -> Corners:
        """The corners of the region, in fractions of the upright photo."""
        crop = self.measurement.crop
        return corners_of_crop(crop.left, crop.top, crop.right, crop.bottom)

    @property
    def reading(self) -> Reading:
        """What the photo says: by what is known in it, else by itself."""
        if self.reference is not None:
            return self.reference.reading
        return lone_photo_reading(self.measurement, *self.keys)

    @property
    def keys(self) -> tuple[str, str]:
        """The keys of what only this region shares, and of what everything in this photo does."""
        return f"region:{self.checksum}:{self.measurement.crop}", f"photo:{self.checksum}"


def crop_of(text: str | None) -> Crop:
    """Return the crop typed, or the whole photo less a margin.

    Raises:
        BadCropError: the text is no crop.
    """
    return WHOLE_LESS_MARGIN if text is None else parse_crop(text)


def measure_file(
    path: Path, crops: Sequence[Crop], checksum: str | None = None
) -> list[MeasuredPhoto]:
    """Measure regions of a photo file. Touches no stash, so that threads can share the work.

    Args:
        path: the file.
        crops: the regions.
        checksum: its SHA-256, where it was taken already; the file is only kept if it still fits.

    Raises:
        NotFoundError, BadPhotoError, BadCropError: as `open_photo` and `measure`.
    """
    photo = open_photo(path)
    checksum = checksum or checksum_of(path)
    return [
        MeasuredPhoto(
            path,
            checksum,
            photo.format,
            photo.width,
            photo.height,
            photo.exposure,
            measure(photo, crop),
        )
        for crop in crops
    ]


def measure_photos(paths: Sequence[Path], crop: str | None) -> list[MeasuredPhoto]:
    """Measure the same part of several photos of one fabric.

    Raises:
        AlreadyThereError: two of them are the same photo.
        NotFoundError, BadPhotoError, BadCropError: as `measure_file`.
    """
    part = crop_of(crop)
    measured = [measure_in_turn(path, part) for path in paths]
    seen: dict[str, Path] = {}
    for photo in measured:
        first = seen.setdefault(photo.checksum, photo.path)
        if first is not photo.path:
            raise AlreadyThereError(
                f"{quoted(photo.path.name)} is the same photo as {quoted(first.name)}.",
                "Give each photo once.",
            )
    return measured


def measure_in_turn(path: Path, part: Crop) -> MeasuredPhoto:
    """Measure a part of a photo, when there is memory for it: many may add at once.

    Raises:
        NotFoundError, BadPhotoError, BadCropError: as `measure_file`.
    """
    (measured,) = in_turn(lambda: measure_file(path, [part]))
    return measured


def put_on_record(
    stash: Stash,
    deed: Deed,
    photos: Sequence[MeasuredPhoto],
    fabric: Fabric,
    piece: Piece | None = None,
    side: Side = Side.FACE,
) -> None:
    """Keep the photo files, and put regions, measurements and readings on record.

    Raises:
        AlreadyThereError: the very same region of a photo is on record for the fabric.
        CannotWriteError: a photo cannot be kept; then nothing is on record.
    """
    for photo in photos:
        keep_photo(stash.home, photo.path, photo.checksum, photo.format)
        row = add_photo(
            deed,
            photo.checksum,
            photo.format,
            photo.width,
            photo.height,
            camera=photo.exposure.camera,
            exposure=_exposure_record(photo.exposure),
            taken_at=_taken_at(photo.exposure),
            file_name=photo.path.name,
        )
        region = add_region(deed, row, fabric, photo.corners, piece=piece, side=side)
        put_reading_on_record(deed, photo, region, fabric)


def put_reading_on_record(deed: Deed, photo: MeasuredPhoto, region: Region, fabric: Fabric) -> None:
    """Put on record what was measured in a region, and the reading of the fabric it gives."""
    measured = photo.measurement
    measurement = add_measurement(
        deed,
        region,
        method_version=measured.version,
        histograms=measured.to_bytes(),
        linear_means=measured.linear_means,
        spread=measured.spread,
        doubts=(doubt.value for doubt in measured.doubts),
        pixels=measured.pixels,
    )
    # The back of a print tells how it looks turned over, not what value it plays in a quilt.
    if region.side is Side.FACE:
        reading, known, calibration = photo.reading, photo.reference, None
        if known is not None:
            calibration = add_calibration(deed, reading.method.value, known.inputs, known.curve)
        add_reading(
            deed,
            fabric,
            reading,
            measurement=measurement,
            colour_family=family_of(reading),
            calibration=calibration,
        )


def already_of(
    session: Session, checksum: str, corners: Corners, but: Fabric | None = None
) -> Piece | None:
    """Return the first piece whose fabric this very region of a photo is on record for."""
    for fabric_id in fabrics_of_photo(session, checksum) - ({but.id} if but else set()):
        for region in regions_of(session, fabric_id):
            same = corners_text(region.corners) == corners_text(corners)
            if region.checksum == checksum and same:
                return next(iter(pieces_of(session, fabric_id)), None)
    return None


def _exposure_record(exposure: Exposure) -> dict[str, str | float | int | None]:
    record: dict[str, str | float | int | None] = {
        "seconds": exposure.seconds,
        "aperture": exposure.aperture,
        "iso": exposure.iso,
    }
    return record | {"merged": True} if exposure.merged else record


def _taken_at(exposure: Exposure) -> datetime | None:
    # A camera's clock knows no time zone; sittings only need its order, so it is kept as it is.
    return exposure.taken_at.replace(tzinfo=UTC) if exposure.taken_at else None


def refuse_known(deed: Deed, photos: Sequence[MeasuredPhoto], but: Fabric | None = None) -> None:
    """Refuse a region of a photo that stands for a fabric already, `but` for that one.

    Raises:
        AlreadyThereError: it does; the piece is named.
    """
    for photo in photos:
        known = already_of(deed.session, photo.checksum, photo.corners, but)
        if known is not None:
            raise AlreadyThereError(
                f"This part of {quoted(photo.path.name)} is on record already, for {known.code}.",
                f"For another piece of that fabric add --fabric {known.code}; "
                "for another fabric in the same photo add --crop.",
                on_page=f"For another piece of that fabric, look at {known.code} and add it there.",
            )
