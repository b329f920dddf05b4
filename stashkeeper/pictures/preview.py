"""Previews: small pictures to be thrown away and made again at any time."""

import io
from pathlib import Path

from PIL import Image

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.region import Crop
from stashkeeper.pictures.greys import encoded
from stashkeeper.pictures.swatch import linear_region


def draw_preview(photo: Path, crop: Crop, width: int) -> bytes:
    """Return the cropped part of a photo as a JPEG: upright, in sRGB, without any record in it.

    Reduced in linear light, so that a fine print keeps its lightness; never enlarged.

    Args:
        photo: the file.
        crop: the part of the upright photo to show.
        width: of the preview in pixels, from 1; a narrower part stays as it is.

    Raises:
        NotFoundError: when there is no such file.
        BadPhotoError: when it cannot be opened.
    """
    image = open_photo(photo).image
    region = crop.pixels(image.width, image.height)
    scale = min(1.0, width / region.width)
    size = max(1, round(region.width * scale)), max(1, round(region.height * scale))
    linear = linear_region(image, region, size)[: size[1], : size[0]]
    packed = io.BytesIO()
    Image.fromarray(encoded(linear)).save(packed, "JPEG", quality=85)
    return packed.getvalue()
