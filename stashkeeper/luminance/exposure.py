"""The exposure record that a camera writes into every photo (Exif 3.0, CIPA DC-008)."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from PIL.ExifTags import IFD, Base
from PIL.Image import Exif

MERGED = (2, 3)
"""What CompositeImage says of a composite (Exif 2.32 and later, tag 42080)."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """What the camera noted; None where it did not say, or said nonsense.

    Attributes:
        seconds: exposure time in seconds.
        aperture: the f-number.
        iso: the sensitivity.
        make, model: of the camera.
        taken_at: by the camera's own clock, which knows no time zone.
        merged: whether the photo was put together from several exposures (CompositeImage).
    """

    seconds: float | None = None
    aperture: float | None = None
    iso: float | None = None
    make: str | None = None
    model: str | None = None
    taken_at: datetime | None = None
    merged: bool = False

    @property
    def camera(self) -> str | None:
        """Make and model in one, such as "Example P1"; None where neither is known."""
        known = [word for word in (self.make, self.model) if word]
        if len(known) == 2 and known[1].startswith(known[0]):
            del known[0]
        return " ".join(known) or None


def read_exposure(exif: Exif) -> Exposure:
    """Return the exposure record of a photo's Exif data; a damaged entry counts as not given."""
    detail = exif.get_ifd(IFD.Exif)
    return Exposure(
        seconds=_positive(detail, Base.ExposureTime),
        aperture=_positive(detail, Base.FNumber),
        iso=_positive(detail, Base.ISOSpeedRatings),
        make=_text(exif, Base.Make),
        model=_text(exif, Base.Model),
        taken_at=_moment(detail, Base.DateTimeOriginal) or _moment(exif, Base.DateTime),
        merged=detail.get(Base.CompositeImage) in MERGED,
    )


def _positive(tags: Mapping[int, object], tag: int) -> float | None:
    """Return a number above zero, or None."""
    found = tags.get(tag)
    if isinstance(found, tuple) and found:
        found = found[0]
    try:
        number = float(found)  # type: ignore[arg-type]
    except (TypeError, ValueError, ArithmeticError):
        return None
    return number if math.isfinite(number) and number > 0 else None


def _text(tags: Mapping[int, object], tag: int) -> str | None:
    """Return printable words without the padding that cameras add, or None."""
    found = tags.get(tag)
    if not isinstance(found, str):
        return None
    return "".join(sign for sign in found if sign.isprintable()).strip()[:100] or None


def _moment(tags: Mapping[int, object], tag: int) -> datetime | None:
    """Return a moment written the way of Exif, "2026:05:03 14:30:00", or None."""
    text = _text(tags, tag)
    try:
        return datetime.strptime(text, "%Y:%m:%d %H:%M:%S") if text else None
    except ValueError:
        return None
