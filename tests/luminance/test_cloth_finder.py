"""The size of the piece beside the card, with its corners found."""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.cloth_finder import SAFETY, find_cloth, size_of
from stashkeeper.luminance.components import largest_component
from tests.simulated_phone.posed import (
    CARD_AT,
    CARD_CORNERS,
    PIECE,
    Pose,
    compressed,
    piece_corners,
    pose_at_random,
    seen,
)

STRAIGHT = Pose(per_inch=80)


def sizes(count: int, seed: int) -> tuple[list[float], int]:
    """Return how far sizes are off, as shares, and how often the corners were asked for."""
    random, off, asked, tried = np.random.default_rng(seed), [], 0, 0
    while tried < count:
        pose = pose_at_random(random, (70, 84))
        both = np.concatenate([piece_corners(pose), pose.place(CARD_CORNERS + CARD_AT)])
        if both.min() < 15 or (both > np.array([pose.width, pose.height]) - 15).any():
            continue
        tried += 1
        photo = seen(pose, tried)
        try:
            found = find_card(photo)
            off += [size / PIECE - 1 for size in size_of(found, find_cloth(photo, found))]
        except BadReferenceError:
            asked += 1
    return off, asked


def good(off: list[float], asked: int, count: int) -> None:
    assert asked <= count / 10
    assert np.percentile(np.abs(off), 95) <= 0.02
    assert np.mean(np.array(off) <= 0.001) >= 0.95, (
        "a size must not promise cloth that is not there"
    )


def test_a_piece_beside_the_card_is_measured_on_the_safe_side() -> None:
    good(*sizes(4, seed=1), 4)


@pytest.mark.campaign
def test_many_pieces_beside_the_card_are_measured_on_the_safe_side() -> None:
    good(*sizes(60, seed=2), 60)


def test_with_corners_given_the_size_is_theirs_less_what_may_be_off() -> None:
    found = find_card(seen(STRAIGHT))
    across, down = size_of(found, piece_corners(STRAIGHT))
    assert (across, down) == pytest.approx([PIECE * (1 - SAFETY)] * 2, rel=0.008)


def asked_for(photo_of_table: Image.Image) -> None:
    photo = compressed(photo_of_table)
    with pytest.raises(BadReferenceError, match="cannot be told from the ground"):
        find_cloth(photo, find_card(photo))


def test_cloth_of_another_shape_is_asked_for() -> None:
    picture = seen(STRAIGHT).image
    x, y = piece_corners(STRAIGHT)[0]
    ImageDraw.Draw(picture).polygon(
        [(x - 5, y - 5), (x + 300, y - 5), (x - 5, y + 300)], fill=(110, 110, 110)
    )
    asked_for(picture)


def test_cloth_that_goes_on_beyond_the_photo_is_asked_for() -> None:
    picture = seen(STRAIGHT).image
    asked_for(picture.crop((0, 0, int(piece_corners(STRAIGHT)[1][0]) - 60, picture.height)))


def test_without_cloth_there_is_none() -> None:
    picture = seen(STRAIGHT).image
    left, top = piece_corners(STRAIGHT)[0].astype(int).tolist()
    picture.paste((110, 110, 110), (left - 4, top - 4, left + 520, top + 520))
    asked_for(picture)


def test_corners_that_cross_are_refused() -> None:
    with pytest.raises(BadReferenceError, match="in order"):
        size_of(find_card(seen(STRAIGHT)), piece_corners(STRAIGHT)[[0, 2, 1, 3]])


def test_the_largest_part_is_that_of_scikit_image() -> None:
    measure = pytest.importorskip("skimage.measure", reason="scikit-image is not installed")
    for seed in range(10):
        mask = np.random.default_rng(seed).random((40, 60)) < 0.55
        labels = measure.label(mask, connectivity=1)
        areas = np.bincount(labels.ravel())[1:]
        assert largest_component(mask).sum() == areas.max()
        assert len(np.unique(labels[largest_component(mask)])) == 1
