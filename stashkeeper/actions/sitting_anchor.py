"""What sets the scale of a sitting: a photo of white paper, the card, or something known."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from stashkeeper.actions.beside import WHITE_PAPER
from stashkeeper.actions.card import known_levels
from stashkeeper.actions.piece_words import read_lightness
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.errors import BadReferenceError, quoted
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.card_layout import paper_squares, usual_lightness
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.paper import EVEN
from stashkeeper.luminance.patches import patch_light, stored_points
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop, parse_crop

PAPER_UNSURE = 3.0
TYPED_UNSURE = 2.0


@dataclass(frozen=True, slots=True)
class Anchor:
    """The photo that sets the scale: what is known in it.

    Attributes:
        exposure: the camera's record.
        light: luminance of the known thing, as decoded.
        lightness: its true L*.
        unsure: the 95 % uncertainty of that, ± L*.
        checksum: of the file.
        what: "card", "paper" or "typed".
    """

    exposure: Exposure
    light: float
    lightness: float
    unsure: float
    checksum: str
    what: str


def anchor_of(stash: Stash, file: Path, crop: str | None, typed: str | None) -> Anchor:
    """Return what is known in the photo that sets the scale.

    Args:
        stash: the open stash, which knows the cards.
        file: the photo.
        crop: the part of it that is known; the middle where None.
        typed: its L* as typed; the card's, or that of white paper, where None.

    Raises:
        StashkeeperError: the photo is bad, or does not show what it should.
    """
    photo = open_photo(file)
    checksum = checksum_of(file)
    if typed is None and crop is None and (card := _by_card(stash, photo)) is not None:
        light, lightness, unsure = card
        return Anchor(photo.exposure, light, lightness, unsure, checksum, "card")
    part = WHOLE_LESS_MARGIN if crop is None else parse_crop(crop)
    measured = measure(photo, part)
    if float(measured.histograms[:, 254:].sum()) > 0.03 * measured.pixels:
        raise BadReferenceError(
            f"The paper in {quoted(file.name)} is burnt out.",
            "Take it again with less light: tap the paper and pull the exposure down.",
        )
    if typed is None:
        _refuse_no_paper(photo, part)
    lightness = WHITE_PAPER if typed is None else read_lightness(typed)
    unsure = PAPER_UNSURE if typed is None else TYPED_UNSURE
    what = "paper" if typed is None else "typed"
    return Anchor(photo.exposure, float(measured.xyz[1]), lightness, unsure, checksum, what)


def _refuse_no_paper(photo: Photo, part: Crop) -> None:
    """Refuse what cannot be a sheet of paper, for nobody said what else it is."""
    patch = patch_light(photo, stored_points(photo, part.corners))
    if patch is not None and patch.unevenness > EVEN:
        raise BadReferenceError(
            f"What {photo.name} shows is not even: not only paper, or a shadow on it.",
            "Fill the photo with the paper, or say with --crop where it is.",
            on_page="Take a photo that is filled with the paper, in even light.",
        )


def _by_card(stash: Stash, photo: Photo) -> tuple[float, float, float] | None:
    """Return luminance, L* and uncertainty of the card's paper in a photo; None without a card."""
    try:
        found = find_card(photo)
    except BadReferenceError:
        return None
    patches = [
        patch_light(photo, found.place(square.core(2.0).corners)) for square in paper_squares()
    ]
    light = [patch.light for patch in patches if patch is not None and patch.clipped < 0.01]
    if not light:
        return None
    with stash.reading() as session:
        levels = known_levels(session, found.card_id)
    mean: Sequence[float] = np.mean(light, axis=0).tolist()
    luminance = float(np.array(mean) @ photo.space.to_xyz[1])
    return luminance, (levels or usual_lightness())[0], TYPED_UNSURE if levels else PAPER_UNSURE
