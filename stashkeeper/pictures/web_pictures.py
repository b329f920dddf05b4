"""Pictures for pages: square swatches in colour and grey, and whole photos, all small WebP files.

Reduced in linear light, so that a fine print keeps its lightness; upright, in sRGB, and without
any record of camera, place or maker.
"""

import io
from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path

from PIL import Image

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.region import Crop
from stashkeeper.pictures.canvas import page_image
from stashkeeper.pictures.greys import encoded
from stashkeeper.pictures.swatch import cut_swatch, linear_region


class Tone(StrEnum):
    """Which of a swatch's two pictures."""

    COLOUR = "colour"
    GREY = "grey"


def draw_web_swatches(
    photo: Path, crop: Crop, lightness: float | None, widths: Sequence[int]
) -> Mapping[tuple[Tone, int], bytes]:
    """Return the square swatches of a photo's region, in both tones and in every width wanted.

    Args:
        photo: the file; it is opened once.
        crop: the part of the upright photo that is cloth.
        lightness: the reading's L*, to which the grey one is brought; None leaves it as it is.
        widths: in pixels.

    Raises:
        NotFoundError: there is no such file.
        BadPhotoError: it cannot be opened.
    """
    image = open_photo(photo).image
    region = crop.pixels(image.width, image.height)
    drawn: dict[tuple[Tone, int], bytes] = {}
    for width in widths:
        swatch = cut_swatch(image, region, (width, width), lightness)
        drawn[Tone.COLOUR, width] = _webp(swatch.colour, width)
        drawn[Tone.GREY, width] = _webp(swatch.grey, width)
    return drawn


def draw_web_photo(photo: Path, width: int) -> bytes:
    """Return a whole photo, upright, at most `width` pixels wide; never enlarged.

    Raises:
        NotFoundError: there is no such file.
        BadPhotoError: it cannot be opened.
    """
    image = open_photo(photo).image
    whole = Crop(0.0, 0.0, 1.0, 1.0).pixels(image.width, image.height)
    scale = min(1.0, width / whole.width)
    size = max(1, round(whole.width * scale)), max(1, round(whole.height * scale))
    shown = encoded(linear_region(image, whole, size)[: size[1], : size[0]])
    return _webp(Image.fromarray(shown), width)


def web_page_picture(pdf: bytes, dots_per_inch: int = 96) -> bytes:
    """Return the first page of a PDF of ours, to be looked at before it is printed."""
    return _webp(page_image(pdf, 1, dots_per_inch), dots_per_inch)


def packed_png(image: Image.Image) -> bytes:
    """Return a picture as a PNG file that knows how large it is in print."""
    packed = io.BytesIO()
    image.save(packed, "PNG", dpi=image.info["dpi"])
    return packed.getvalue()


def _webp(image: Image.Image, width: int) -> bytes:
    # A swatch of 240 is for screens of two dots to the px, where what is lost is half as large.
    quality = 55 if width == 240 else 78
    packed = io.BytesIO()
    image.save(packed, "WEBP", quality=quality, method=4)
    return packed.getvalue()
