"""Store a photo as a phone does: turned, tagged with its exposure, compressed."""

from datetime import datetime
from pathlib import Path

import numpy as np
import pillow_heif
from PIL import ExifTags, Image

from sample_photos.p3_profile import display_p3
from sample_photos.phone import APERTURE, MAKER, MODEL, Exposure
from sample_photos.shelf import Shot

_STORED = {
    3: Image.Transpose.ROTATE_180,
    6: Image.Transpose.ROTATE_90,
    8: Image.Transpose.ROTATE_270,
}
"""How an upright picture is turned to be stored, by EXIF orientation (Exif 2.32, tag 0x0112)."""

QUALITY = 86


def save(path: Path, shot: Shot, pixels: np.ndarray, exposure: Exposure, taken: datetime) -> None:
    """Write an upright photo (8-bit pixels) to `path`, in the format of its suffix."""
    picture = Image.fromarray(pixels)
    if shot.orientation in _STORED:
        picture = picture.transpose(_STORED[shot.orientation])
    exif = _exif(shot, exposure, taken).tobytes()
    profile = display_p3() if shot.wide_gamut else None
    match path.suffix:
        case ".heic":
            heif = pillow_heif.from_pillow(picture)
            heif.save(path, quality=70, exif=exif, enc_params={"x265:pools": "none"})
        case ".webp":
            picture.save(path, "WEBP", quality=QUALITY, method=6, exif=exif, icc_profile=profile)
        case _:
            picture.save(
                path, "JPEG", quality=QUALITY, optimize=True, exif=exif, icc_profile=profile
            )


def _exif(shot: Shot, exposure: Exposure, taken: datetime) -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = MAKER
    exif[ExifTags.Base.Model] = MODEL
    exif[ExifTags.Base.Orientation] = shot.orientation
    exif[ExifTags.Base.Software] = "Simulated phone of sample_photos"
    moment = taken.strftime("%Y:%m:%d %H:%M:%S")
    exif[ExifTags.Base.DateTime] = moment
    details = exif.get_ifd(ExifTags.IFD.Exif)
    details[ExifTags.Base.DateTimeOriginal] = moment
    details[ExifTags.Base.ExposureTime] = 1 / exposure.shutter
    details[ExifTags.Base.FNumber] = APERTURE
    details[ExifTags.Base.ISOSpeedRatings] = exposure.iso
    return exif
