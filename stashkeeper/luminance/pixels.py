"""Every kind of pixel that a file may hold, brought to eight-bit grey or colour codes.

Codes are left as they are wherever their meaning is known (sRGB, a matrix profile, a grey
profile); only pictures with a table profile, CMYK and Lab are converted, by littleCMS.
"""

import io
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from stashkeeper.errors import BadPhotoError
from stashkeeper.luminance.colour_space import ColourSpace, display_p3, srgb
from stashkeeper.luminance.profile import NotMatrixError, matrix_space
from stashkeeper.luminance.region import Box

Memory = NDArray[np.uint8]
"""Codes row by row: red, green, blue and a byte that says nothing for every pixel."""
DEPTH = 4
"""Bytes of a pixel in memory."""

OPAQUE = 128
"""Pixels less opaque than this (of 255) are no cloth."""

SCREEN = ("L", "RGB", "RGBA")


@dataclass(frozen=True, slots=True, eq=False)
class Pixels:
    """Decoded pixels as stored.

    Attributes:
        stored: grey ("L") or colour ("RGB", "RGBX" where it lies in memory as decoded, or "RGBA"
            where it came so).
        mask: which pixels are cloth; None where all are. (Transparent pixels are left out: they
            are what somebody cut away around the cloth.)
        space: what the code values mean.
        trusted: False where the profile was missing or unreadable and sRGB was taken instead.
        profile: the colour profile as bytes, where the codes still need it to be shown.
        memory: what `stored` shows, and a row to spare; None where it does not lie in one piece.
    """

    stored: Image.Image
    mask: Image.Image | None
    space: ColourSpace
    trusted: bool = True
    profile: bytes | None = None
    memory: Memory | None = None


def plain_pixels(image: Image.Image, name: str) -> Pixels:
    """Return a loaded picture as grey or colour codes, with what they mean.

    Raises:
        BadPhotoError: when its numbers have no known scale, or nothing of it is opaque.
    """
    profile = image.info.get("icc_profile") or None
    stored = _eight_bit(image, name)
    mask = _mask(stored, name)
    if stored.mode in {"CMYK", "LAB"}:
        return _converted(stored, profile)
    if profile is None:
        return replace(_without_profile(image, stored), mask=mask)
    return replace(_with_profile(stored, profile), mask=mask)


def picture_of(memory: Memory, width: int, box: Box) -> Image.Image:
    """Return a region of codes in memory, in rows of `width` pixels, as a picture and no copy.

    The picture holds the memory, so that it is not left to another photo.
    """
    first = DEPTH * (box.top * width + box.left)
    # By a memoryview, for a slice of an array holds what the array was sliced from instead.
    codes = np.frombuffer(memoryview(memory), dtype=np.uint8, offset=first)
    size = box.width, box.height
    return Image.frombuffer("RGBX", size, codes, "raw", "RGBX", DEPTH * width, 1)


def screen_colours(pixels: Pixels) -> Image.Image:
    """Return the picture in RGB and sRGB colours, transparent parts on white."""
    picture = pixels.stored
    if picture.mode == "RGBA":
        white = Image.new("RGB", picture.size, "white")
        white.paste(picture, mask=picture.getchannel("A"))
        picture = white
    if pixels.profile is not None:
        picture = _through_profile(picture, pixels.profile) or picture
    return picture.convert("RGB")


def _eight_bit(image: Image.Image, name: str) -> Image.Image:
    """Return the picture in one of the modes L, RGB, RGBX, RGBA, CMYK or LAB."""
    mode = image.mode
    if mode.startswith("I;16"):
        return Image.fromarray((np.asarray(image) >> 8).astype(np.uint8))
    if mode in {"I", "F"}:
        raise BadPhotoError(
            f"{name} holds numbers without a scale, as instruments write them, not a photo.",
            "Save it as an ordinary picture of 8 or 16 bits, or take a photo.",
        )
    if "transparency" in image.info or mode in {"LA", "La", "PA", "RGBa"}:
        return image.convert("RGBA")
    if mode in {"L", "RGB", "RGBX", "RGBA", "CMYK", "LAB"}:
        return image
    return image.convert("L" if mode == "1" else "RGB")


def _mask(image: Image.Image, name: str) -> Image.Image | None:
    """Return which pixels are cloth, or None where all are."""
    if image.mode != "RGBA":
        return None
    alpha = image.getchannel("A")
    clearest, densest = alpha.getextrema()
    if float(clearest) >= OPAQUE:  # type: ignore[arg-type]
        return None
    if float(densest) < OPAQUE:  # type: ignore[arg-type]
        raise BadPhotoError(
            f"{name} is transparent all over: there is no cloth in it.",
            "Give the photo as the camera took it.",
        )
    return alpha.point([255 * (level >= OPAQUE) for level in range(256)])


def _with_profile(stored: Image.Image, profile: bytes) -> Pixels:
    """Return pixels whose codes mean what `profile` says; sRGB where it cannot be read.

    A quilter did not make the profile and cannot mend it, and nearly every such photo is sRGB
    all the same, so an unreadable one is doubted, not refused.
    """
    try:
        ImageCms.getOpenProfile(io.BytesIO(profile))
        return Pixels(stored, None, matrix_space(profile), profile=profile)
    except (OSError, ImageCms.PyCMSError):
        return Pixels(stored, None, srgb(), trusted=False)
    except NotMatrixError:
        changed = _through_profile(stored, profile)
        if changed is None:
            return Pixels(stored, None, srgb(), trusted=False)
        return Pixels(changed, None, srgb())


def _without_profile(image: Image.Image, stored: Image.Image) -> Pixels:
    """Return pixels without a profile: sRGB, unless a HEIC says Display P3 (ITU-T H.273)."""
    noted = image.info.get("nclx_profile") or {}
    kind = noted.get("color_primaries"), noted.get("transfer_characteristics")
    if kind == (12, 13):
        return Pixels(stored, None, display_p3())
    usual = not noted or (kind[0] in {1, 2, 5, 6} and kind[1] in {1, 2, 6, 13})
    return Pixels(stored, None, srgb(), trusted=usual)


def _converted(stored: Image.Image, profile: bytes | None) -> Pixels:
    """Return inks or Lab as sRGB; inks without a usable profile are only a guess at colour."""
    if stored.mode == "LAB":
        lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
        return Pixels(_transformed(stored, lab), None, srgb())
    changed = _through_profile(stored, profile) if profile else None
    if changed is None:
        return Pixels(stored.convert("RGB"), None, srgb(), trusted=False)
    return Pixels(changed, None, srgb())


def _through_profile(picture: Image.Image, profile: bytes) -> Image.Image | None:
    """Return the picture in sRGB by littleCMS, or None where the profile does not serve it."""
    try:
        return _transformed(picture, ImageCms.getOpenProfile(io.BytesIO(profile)))
    except (OSError, ValueError, ImageCms.PyCMSError):
        return None


def _transformed(picture: Image.Image, profile: ImageCms.ImageCmsProfile) -> Image.Image:
    """Return the picture converted from `profile` to sRGB, relative to the white of each."""
    changed = ImageCms.profileToProfile(
        picture,
        profile,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
    )
    assert changed is not None  # None only when it works in place
    return changed
