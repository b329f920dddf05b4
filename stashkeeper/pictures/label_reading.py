"""Labels read from a photo: what the codes to scan in it hold."""

from pathlib import Path
from typing import TYPE_CHECKING

from stashkeeper.luminance.decode import open_photo

if TYPE_CHECKING:
    from zxingcpp import Position


def read_codes(photo: Path) -> tuple[str, ...]:
    """Return what each QR code in a photo holds, from the largest one down.

    Raises:
        NotFoundError: there is no such file.
        BadPhotoError: it cannot be opened.
    """
    import zxingcpp

    grey = open_photo(photo).image.convert("L")
    found = zxingcpp.read_barcodes(
        grey, formats=zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    )
    ordered = sorted(found, key=lambda code: -_reach(code.position))
    return tuple(dict.fromkeys(code.text for code in ordered))


def _reach(corners: "Position") -> int:
    """Return the square of the longer diagonal of a code in the photo."""
    pairs = ((corners.top_left, corners.bottom_right), (corners.top_right, corners.bottom_left))
    return max((one.x - other.x) ** 2 + (one.y - other.y) ** 2 for one, other in pairs)
