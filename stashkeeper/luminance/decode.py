"""Open a photo at full size, whatever wrote it, or say in a sentence why it cannot be.

The pixels stay as they are stored: measuring counts them without turning or converting them, so
that a 12-megapixel photo needs no second copy. `Photo.image` is the upright picture for showing.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import BinaryIO

from PIL import Image, ImageFile, UnidentifiedImageError, _imaging
from PIL.ExifTags import Base

from stashkeeper.errors import BadPhotoError, NotFoundError
from stashkeeper.luminance.colour_space import ColourSpace
from stashkeeper.luminance.exposure import Exposure, read_exposure
from stashkeeper.luminance.jpeg import decoded, picture_in
from stashkeeper.luminance.orientation import SIDEWAYS, TURNS, turned, unturned
from stashkeeper.luminance.pixels import Memory, Pixels, plain_pixels, screen_colours
from stashkeeper.luminance.quiet import hush
from stashkeeper.luminance.region import Box, Crop

MAX_PIXELS = 80_000_000
"""More pixels than cloth needs; beyond it a small file can fill all memory (a picture bomb)."""

KEPT_BLOCKS = 2
"""Blocks of pixels, 16 MiB at most each, that Pillow keeps for the next photo (its own name for it
is PILLOW_BLOCKS_MAX): to get the memory from the system anew costs a third of the decoding. With a
few more, small pictures fill the blocks and the next photo finds none of its size."""

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF", "AVIF", "GIF", "BMP")
"""What is opened, by content and never by file name. (No format that would run a program.)"""

HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
"""What the first box of a HEIC or HEIF file may say (ISO/IEC 23008-12)."""

KINDS = "Give a photo: JPEG, PNG, WebP, TIFF or HEIC."
COPY_AGAIN = "Copy it again from the phone or camera, or take another photo."


@dataclass(eq=False)
class Photo:
    """A decoded photo at full size.

    Attributes:
        name: what the person calls it, for messages.
        pixels: as stored, not turned.
        orientation: the stored rotation still to apply (Exif tag 274, 1 to 8).
        exposure: the camera's exposure record.
        format: "JPEG", "PNG", "WEBP", "TIFF", "HEIF", "AVIF", "GIF" or "BMP".
    """

    name: str
    pixels: Pixels
    orientation: int
    exposure: Exposure
    format: str

    @property
    def width(self) -> int:
        """Pixels across, upright."""
        return self.pixels.stored.size[self.orientation in SIDEWAYS]

    @property
    def height(self) -> int:
        """Pixels down, upright."""
        return self.pixels.stored.size[self.orientation not in SIDEWAYS]

    @property
    def space(self) -> ColourSpace:
        """What the code values mean."""
        return self.pixels.space

    @cached_property
    def image(self) -> Image.Image:
        """The photo upright, in RGB and sRGB colours: for showing, never for measuring."""
        return turned(screen_colours(self.pixels), self.orientation)

    def stored_box(self, crop: Crop) -> Box:
        """Return the stored pixels that a crop of the upright photo covers."""
        box = crop.pixels(self.width, self.height)
        return unturned(box, self.width, self.height, self.orientation)


def open_photo(source: Path | BinaryIO, max_pixels: int = MAX_PIXELS) -> Photo:
    """Open and decode a photo at full size.

    Args:
        source: a file, or an open binary file that can be wound back.
        max_pixels: refuse photos of more pixels, before decoding them (up to 178 million, where
            Pillow itself stops).

    Raises:
        NotFoundError: when there is no such file.
        BadPhotoError: when it cannot be read, is cut off, is no photo, or is too large.
    """
    if not isinstance(source, Path):
        return _decode(source, _shown(getattr(source, "name", None)), max_pixels)
    name = _shown(source.name)
    try:
        with source.open("rb") as file:
            return _decode(file, name, max_pixels)
    except FileNotFoundError:
        raise NotFoundError(
            f"There is no file {_short(str(source))}.", "Look at the spelling and the folder."
        ) from None
    except IsADirectoryError:
        raise BadPhotoError(f"{name} is a folder, not a photo.", "Give one file in it.") from None
    except OSError as trouble:
        raise _unreadable(name, trouble) from trouble


def _decode(file: BinaryIO, name: str, max_pixels: int) -> Photo:
    """Return the photo in an open file."""
    _look_at_start(file, name)
    hush("PIL")
    image = _identified(file, name)
    _check_size(image, name, max_pixels)
    memory = decoded(image, file)
    if memory is None:
        _load(image, name)
    return _photo(image, memory, name)


def _look_at_start(file: BinaryIO, name: str) -> None:
    """Refuse an empty file, and have HEIC opened where this is one: its library is slow to load.

    Raises:
        BadPhotoError: when the file is empty or cannot be read.
    """
    try:
        start = file.read(12)
        file.seek(0)
    except OSError as trouble:
        raise _unreadable(name, trouble) from trouble
    if not start:
        raise BadPhotoError(f"{name} is empty: it holds no bytes at all.", COPY_AGAIN)
    if start[4:8] == b"ftyp" and start[8:12] in HEIF_BRANDS:
        from pillow_heif import register_heif_opener

        register_heif_opener()


def _identified(file: BinaryIO, name: str) -> Image.Image:
    """Return the picture with its head read and its pixels not yet decoded."""
    try:
        Image.init()
        return Image.open(file, formats=[name for name in FORMATS if name in Image.OPEN])
    except Image.DecompressionBombError:
        raise _too_large(name, "far more") from None
    except UnidentifiedImageError:
        raise BadPhotoError(f"{name} is not a photo{_looks_like(file)}.", KINDS) from None
    except Exception as trouble:  # a decoder may raise anything on a damaged head
        raise BadPhotoError(f"{name} is damaged and cannot be opened.", COPY_AGAIN) from trouble


def _check_size(image: Image.Image, name: str, max_pixels: int) -> None:
    """Refuse a picture of too many pixels."""
    pixels = image.width * image.height
    if pixels > max_pixels:
        raise _too_large(name, f"{pixels / 1e6:,.0f} million", max_pixels)


def _load(image: Image.Image, name: str) -> None:
    """Decode the pixels."""
    if _imaging.get_blocks_max() < KEPT_BLOCKS:
        _imaging.set_blocks_max(KEPT_BLOCKS)
    if isinstance(image, ImageFile.ImageFile):
        # In few portions: between two of them a thread waits for its turn among the others.
        image.decodermaxblock = 1 << 20
    try:
        image.load()
    except Exception as trouble:  # a decoder may raise anything on damaged bytes
        raise BadPhotoError(
            f"{name} is cut off or damaged: part of the picture is missing.", COPY_AGAIN
        ) from trouble


def _photo(image: Image.Image, memory: Memory | None, name: str) -> Photo:
    """Return a picture that is loaded, or decoded into memory, with what is known of it.

    The rotation is read after loading: the decoders of TIFF, HEIC and AVIF apply it themselves
    and then no longer report it.
    """
    try:
        exif = image.getexif()
        noted, exposure = exif.get(Base.Orientation), read_exposure(exif)
    except Exception:  # a damaged exposure record is no reason to refuse a good picture
        noted, exposure = None, Exposure()
    picture = image if memory is None else picture_in(memory, image)
    pixels = plain_pixels(picture, name)
    return Photo(
        name=name,
        pixels=replace(pixels, memory=memory) if pixels.stored is picture else pixels,
        orientation=noted if isinstance(noted, int) and noted in TURNS else 1,
        exposure=exposure,
        format="JPEG" if image.format == "MPO" else str(image.format),
    )


def _shown(name: object) -> str:
    """Return a file name as it may stand in a sentence."""
    if not isinstance(name, str) or not name:
        return "The photo"
    return _short(Path(name).name)


def _short(name: str, longest: int = 120) -> str:
    """Return a name fit for a line: signs that cannot be shown replaced, its middle left out."""
    shown = "".join(sign if sign.isprintable() else "�" for sign in name)
    half = longest // 2
    return shown if len(shown) <= longest else f"{shown[:half]}…{shown[-half:]}"


def _looks_like(file: BinaryIO) -> str:
    """Return what the file seems to be instead of a photo, as the end of a sentence."""
    file.seek(0)
    start = file.read(512)
    if start.startswith(b"%PDF"):
        return ": it is a PDF"
    try:
        text = start.decode("utf-8", errors="strict" if len(start) < 512 else "ignore")
    except UnicodeDecodeError:
        return ", or it is damaged"
    plain = all(sign.isprintable() or sign.isspace() for sign in text)
    return ": it holds text" if plain else ", or it is damaged"


def _too_large(name: str, size: str, limit: int = MAX_PIXELS) -> BadPhotoError:
    """Return the refusal of a picture that is too large."""
    return BadPhotoError(
        f"{name} has {size} pixels; Stashkeeper opens up to {limit / 1e6:,.0f} million.",
        "Save a smaller copy of it, or take the photo at an ordinary resolution.",
    )


def _unreadable(name: str, trouble: OSError) -> BadPhotoError:
    """Return the refusal of a file that the system does not let us read."""
    reason = (trouble.strerror or "input error").lower()
    return BadPhotoError(
        f"{name} cannot be read: {reason}.", "Look at its permissions, or copy it elsewhere."
    )
