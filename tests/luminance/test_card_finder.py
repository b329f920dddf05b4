"""The reference card found in photos in any pose, and refused where it is not as it should be."""

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.card_finder import FoundCard, find_card
from stashkeeper.luminance.card_layout import code_modules, corner_and_id, usual_lightness
from stashkeeper.luminance.card_reading import read_card
from stashkeeper.luminance.decode import Photo
from tests.luminance.made import photo_of
from tests.simulated_phone.posed import (
    CARD_AT,
    CARD_CORNERS,
    CARD_ID,
    PIECE,
    Pose,
    card_face,
    compressed,
    piece_corners,
    pose_at_random,
    seen,
)

PLAIN = Pose(per_inch=100, turn=12, tilt=8)


def size_errors(found: FoundCard, pose: Pose) -> np.ndarray:
    """Return how far the sides of the piece beside the card are off, as shares."""
    corners = found.place.back(piece_corners(pose))
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    return np.abs(sides / PIECE - 1)


def whole(pose: Pose) -> bool:
    """Tell whether the card lies wholly in the photo."""
    card = pose.place(CARD_CORNERS + CARD_AT)
    return bool(card.min() > 8 and (card < np.array([pose.width, pose.height]) - 8).all())


def trial(count: int, seed: int, per_inch: tuple[float, float]) -> tuple[float, float]:
    """Return the share of poses in which the card was found, and the 95th percentile of size."""
    random = np.random.default_rng(seed)
    found, errors, tried = 0, [], 0
    while tried < count:
        pose = pose_at_random(random, per_inch)
        if not whole(pose):
            continue
        tried += 1
        try:
            card = find_card(seen(pose, tried))
        except BadReferenceError:
            continue
        found += 1
        errors.append(size_errors(card, pose).max())
    return found / count, float(np.percentile(errors, 95))


def test_the_card_is_found_in_a_few_poses_with_the_size_beside_it_right() -> None:
    share, size = trial(5, seed=7, per_inch=(70, 100))
    assert share == 1.0
    assert size <= 0.02


@pytest.mark.campaign
def test_the_card_is_found_in_two_hundred_poses_with_the_size_beside_it_right() -> None:
    share, size = trial(200, seed=8, per_inch=(70, 150))
    assert share >= 0.98
    assert size <= 0.02


def test_upside_down_it_is_the_same_card() -> None:
    upright, turned = find_card(seen(PLAIN)), find_card(seen(replace(PLAIN, turn=PLAIN.turn + 180)))
    assert (upright.card_id, turned.card_id) == (CARD_ID, CARD_ID)
    assert size_errors(turned, replace(PLAIN, turn=PLAIN.turn + 180)).max() < 0.02


def refused(photo: Photo, words: str) -> None:
    with pytest.raises(BadReferenceError, match=words):
        read_card(photo, find_card(photo), usual_lightness())


def test_too_far_away_is_said_so() -> None:
    refused(seen(Pose(per_inch=52, blur=0.3, noise=1)), "too small: 5. pixels to the inch")


@pytest.mark.parametrize("corner", range(4))
def test_half_out_of_the_photo_it_is_refused(corner: int) -> None:
    card = PLAIN.place(CARD_CORNERS + CARD_AT)
    middle, edge = card.mean(axis=0), card[corner]
    picture = seen(PLAIN).image
    x = int((middle + edge)[0] / 2)
    keep = {
        0: (x, 0, picture.width, picture.height),
        1: (0, 0, x, picture.height),
        2: (0, 0, x, picture.height),
        3: (x, 0, picture.width, picture.height),
    }[corner]
    refused(compressed(picture.crop(keep)), "part|Part|found")


def test_with_one_code_out_of_the_photo_the_rest_of_the_card_does() -> None:
    card = PLAIN.place(CARD_CORNERS + CARD_AT)
    picture = seen(PLAIN).image
    x, y = card[0].astype(int).tolist()
    picture.paste((90, 80, 70), (x - 40, y - 40, x + 70, y + 70))
    assert size_errors(find_card(compressed(picture)), PLAIN).max() < 0.02


def test_two_cards_are_refused() -> None:
    picture = seen(replace(PLAIN, turn=0, tilt=0)).image
    picture.paste(card_face(100), (picture.width - 640, picture.height - 430))
    refused(compressed(picture), "two reference cards")
    other = seen(replace(PLAIN, turn=0, tilt=0)).image
    other.paste(card_face(100, "ZZ99"), (other.width - 640, other.height - 430))
    refused(compressed(other), "two reference cards")


def test_in_a_mirror_it_is_refused() -> None:
    refused(compressed(seen(PLAIN).image.transpose(Image.Transpose.FLIP_LEFT_RIGHT)), "mirror|No ")


def test_on_a_screen_it_is_refused() -> None:
    # A screen shows each dot by a red, a green and a blue stripe; near enough, a photo shows them.
    picture = seen(replace(PLAIN, turn=0, tilt=0, blur=0.4)).image
    codes = np.asarray(picture).astype(np.float64)
    stripe = np.arange(picture.width) % 6 // 2
    for channel in range(3):
        codes[:, stripe != channel, channel] *= 0.35
    refused(compressed(Image.fromarray(codes.astype(np.uint8)), 95), "screen|No ")


def test_covered_greys_are_refused() -> None:
    picture = seen(replace(PLAIN, turn=0, tilt=0)).image
    card = replace(PLAIN, turn=0, tilt=0).place(CARD_CORNERS + CARD_AT)
    left, top = card[0].astype(int)
    picture.paste((200, 150, 120), (left + 200, top, left + 260, top + 70))
    refused(compressed(picture), "even|greys")


def test_without_a_card_none_is_found() -> None:
    refused(seen(PLAIN, card=False), "No reference card")


CODE = np.array(code_modules("A", CARD_ID))


def test_the_codes_are_read_as_they_were_written() -> None:
    import zxingcpp

    picture = np.pad(
        np.where(np.repeat(np.repeat(CODE, 8, 0), 8, 1), 0, 255), 40, constant_values=255
    )
    (code,) = zxingcpp.read_barcodes(picture.astype(np.uint8))
    assert corner_and_id(code.text) == ("A", CARD_ID)


def test_another_code_is_no_card() -> None:
    import segno

    code = np.array(segno.make("A7", micro=False).matrix)
    picture = np.where(np.repeat(np.repeat(code, 12, 0), 12, 1), 0, 255).astype(np.uint8)
    refused(photo_of(np.pad(picture, 60, constant_values=255)), "No reference card")
