"""White paper or a grey card in a photo: one known grey, which sets brightness and colour of light.

It cannot undo a camera's tone curve: on real photos of a 24-patch chart the error after its white
patch alone was 5 to 20 L* on average.
"""

from typing import Final

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import Calibration, KnownGrey, calibration_of_greys
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.patches import patch_light, stored_points
from stashkeeper.luminance.region import Crop

BURNT: Final = 0.01
"""More than this share at the brightest codes: burnt out."""
EVEN: Final = 12.0
"""Paper more uneven than this in L* has a shadow or glare on it, or is no paper."""
LEAST: Final = 5.0
"""A grey darker than this tells nothing."""


def read_paper(photo: Photo, where: Crop, lightness: float) -> Calibration:
    """Return the calibration that paper of known lightness in a photo gives.

    Args:
        photo: an open photo.
        where: the part that is paper, of the upright photo.
        lightness: its L*.

    Raises:
        BadReferenceError: it is burnt out, not even, too small or too dark.
    """
    patch = patch_light(photo, stored_points(photo, where.corners))
    if patch is None or lightness < LEAST:
        raise BadReferenceError(
            f"What was marked as paper in {photo.name} is too small or too dark to be of use.",
            "Mark a larger part of it, and give its true lightness.",
        )
    if patch.clipped > BURNT:
        raise BadReferenceError(
            f"The paper in {photo.name} is burnt out.",
            "Take the photo again with less light: tap the paper and pull the exposure down.",
        )
    if patch.unevenness > EVEN:
        raise BadReferenceError(
            f"What was marked as paper in {photo.name} is not even: shadow, glare, or not paper.",
            "Mark only paper, in even light.",
        )
    return calibration_of_greys([KnownGrey(patch.light, lightness)], photo.space.to_xyz[1])
