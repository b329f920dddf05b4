"""Strips of a line-up found, or asked for: photos by a simulated phone (tests/simulated_phone).

It ranks ways of splitting and proves nothing about real photos.
"""

import numpy as np
import pytest
from PIL import Image

from stashkeeper.errors import BadCropError
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.lineup import Line, Split, find_split, parse_lines, typed_lines
from stashkeeper.luminance.region import Crop
from tests.luminance.made import photo_of
from tests.simulated_phone.lined_up import LineUp, line_up, print_at_random
from tests.simulated_phone.snapped import Shot, snap

CLOSE = 0.02
"""Boundaries between fabrics are right within this share of the frame, at both of their ends."""
Case = tuple[Photo, LineUp]


def shot_at_random(random: np.random.Generator, seed: int) -> Shot:
    """Return a shot by any phone in light that falls off by up to ±20 %."""
    return Shot(
        bend=float(random.uniform(0.92, 1.12)),
        slope=(float(random.uniform(-0.2, 0.2)), float(random.uniform(-0.2, 0.2))),
        warm=float(random.uniform(0.92, 1.08)),
        brighter=float(random.uniform(-0.5, 0.5)),
        seed=seed,
    )


def case_at_random(seed: int) -> Case:
    """Return a photo of 5 to 12 fabrics with prints, wrinkles and tilt."""
    random = np.random.default_rng(seed)
    fabrics = tuple(print_at_random(random) for _ in range(random.integers(5, 13)))
    scene = line_up(random, fabrics)
    return snap(scene.light, shot_at_random(random, seed)), scene


def right(split: Split, truth: LineUp) -> bool:
    """Tell whether strips, their count and every boundary between fabrics are right."""
    if split.lying is not truth.lying or split.count != len(truth.cloths):
        return False
    axis = 1 if truth.lying else 0
    return all(
        abs(found - true[axis]) <= CLOSE
        for line, ends in list(zip(split.lines, truth.lines, strict=True))[1:-1]
        for found, true in zip((line.start, line.end), ends, strict=True)
    )


@pytest.mark.parametrize(("seed", "told"), [(9000, True), (9001, True), (9002, False)])
def test_strips_are_found_with_their_tilt_and_count(seed: int, told: bool) -> None:
    photo, truth = case_at_random(seed)
    split = find_split(photo, len(truth.cloths) if told else None)
    assert right(split, truth)
    for crop, line, after in zip(split.crops(), split.lines[:-1], split.lines[1:], strict=True):
        near, far = (crop.top, crop.bottom) if split.lying else (crop.left, crop.right)
        first, last = (crop.left, crop.right) if split.lying else (crop.top, crop.bottom)
        assert near >= max(line.at(first), line.at(last)) - 1e-9
        assert far <= min(after.at(first), after.at(last)) + 1e-9


def test_a_count_that_the_photo_does_not_show_is_doubted() -> None:
    photo, truth = case_at_random(9000)
    for wrong in (-1, 1):
        assert not find_split(photo, len(truth.cloths) + wrong).sure


@pytest.mark.parametrize(("table", "count"), [(118, 5), (126, 4)])
def test_a_strip_at_the_side_is_cloth_where_it_stops_with_the_others(
    table: int, count: int
) -> None:
    """Greys in rows 40 to 500; the first, of code 126, is a little lighter than the table or is it.

    Nearer than the noise of one pixel, but seen over many.
    """
    noise = np.random.default_rng(5).normal(0, 2.0, (540, 720, 1))
    codes = np.full((540, 720, 1), float(table))
    for place, code in enumerate((126, 200, 60, 170, 40)):
        codes[40:500, place * 144 : place * 144 + 144] = code
    shown = np.clip(codes + noise, 0, 255).astype(np.uint8).repeat(3, axis=2)
    assert find_split(photo_of(shown)).count == count


def test_a_part_of_the_photo_can_hold_the_line_up() -> None:
    """Four greys, upright, in the lower half only."""
    codes = np.full((400, 600, 3), 120, dtype=np.uint8)
    for place, code in enumerate((40, 200, 90, 160)):
        codes[200:, place * 150 : place * 150 + 150] = code
    split = find_split(photo_of(codes), 4, Crop(0, 0.5, 1, 1))
    assert [line.start for line in split.lines] == pytest.approx([0, 0.25, 0.5, 0.75, 1], abs=0.01)


def test_a_photo_of_one_fabric_is_no_line_up() -> None:
    noise = np.random.default_rng(2).normal(110, 6, (300, 400, 1)).repeat(3, axis=2)
    split = find_split(photo_of(noise.astype(np.uint8)))
    assert not split.sure


def test_a_turned_photo_splits_as_it_is_seen() -> None:
    """Exif tag 274 = 6: stored on its side, strips upright when seen."""
    seen = np.repeat(np.array([30, 190, 90, 220, 60], dtype=np.uint8), 80)
    picture = Image.fromarray(np.tile(seen, (300, 1))).convert("RGB")
    exif = Image.Exif()
    exif[274] = 6
    photo = photo_of(picture.transpose(Image.Transpose.ROTATE_90), "JPEG", exif=exif, quality=95)
    split = find_split(photo, 5)
    assert not split.lying
    assert [line.at(0.5) for line in split.lines[1:-1]] == pytest.approx(
        [0.2, 0.4, 0.6, 0.8], abs=0.01
    )


def test_lines_are_read_as_they_are_told() -> None:
    lines = (Line(0.05, 0.05), Line(0.3, 0.32), Line(0.9, 0.9))
    assert typed_lines(lines) == "0.050 0.300/0.320 0.900"
    assert parse_lines(typed_lines(lines), lying=True) == Split(lines, lying=True)


@pytest.mark.parametrize("text", ["", "0.1", "0.1 0.2", "0.1 0.5 x", "0.1 0.6 0.4", "0 0.5 1.9"])
def test_what_are_no_lines_is_refused(text: str) -> None:
    with pytest.raises(BadCropError):
        parse_lines(text)


@pytest.fixture(scope="module")
def many() -> list[Case]:
    # Not those that the weights of the evidence were fitted on: 50,000 to 50,419.
    return [case_at_random(seed) for seed in range(30_000, 30_100)]


@pytest.mark.campaign
def test_where_the_count_is_known_most_splits_are_right_and_the_rest_is_asked(
    many: list[Case],
) -> None:
    splits = [(find_split(photo, len(truth.cloths)), truth) for photo, truth in many]
    taken = [right(split, truth) for split, truth in splits if split.sure]
    guessed = np.mean([right(split, truth) for split, truth in splits])
    print(
        f"\ncount known: sure and right {sum(taken)} of {len(many)}, sure and wrong "
        f"{len(taken) - sum(taken)}, best guess right {guessed:.2f}"
    )
    assert sum(taken) >= 0.9 * len(many)
    assert len(taken) - sum(taken) <= 0.01 * len(many)


@pytest.mark.campaign
def test_where_nobody_says_the_count_most_splits_are_right_all_the_same(many: list[Case]) -> None:
    splits = [(find_split(photo), truth) for photo, truth in many]
    taken = [right(split, truth) for split, truth in splits if split.sure]
    guessed = np.mean([right(split, truth) for split, truth in splits])
    print(
        f"\ncount found: sure and right {sum(taken)} of {len(many)}, sure and wrong "
        f"{len(taken) - sum(taken)}, best guess right {guessed:.2f}"
    )
    assert guessed >= 0.92
    assert sum(taken) >= 0.85 * len(many)
    assert len(taken) - sum(taken) <= 0.02 * len(many)
