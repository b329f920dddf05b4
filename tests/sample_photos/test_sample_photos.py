"""The sample photos are what they say: varied, small, misleading as photos are, weak once."""

from datetime import timedelta
from functools import cache
from itertools import combinations
from statistics import mean

import pytest
from PIL import ExifTags, Image

from sample_photos.shelf import SHOTS, STOCK
from stashkeeper.lengths.length import Measure
from stashkeeper.luminance.decode import open_photo
from stashkeeper.transfer.photo_folder import find_photos
from stashkeeper.transfer.photo_matching import match_rows
from stashkeeper.transfer.size_list import read_size_list
from tests.sample_photos.shelf_as_kept import (
    FOLDER,
    THE_QUILT,
    measured,
    of_the_quilt,
    rows,
    truth,
)

LONE = [shot.file for shot in SHOTS if len(shot.names) == 1]
LINE_UPS = [shot.file for shot in SHOTS if len(shot.names) > 1]
STORED = [shot.file for shot in SHOTS if not shot.file.endswith(".heic")]


@cache
def stored(file: str) -> Image.Image:
    """Return a photo as Pillow finds it, not turned."""
    with Image.open(FOLDER / file) as photo:
        photo.load()
        return photo


def test_every_photo_has_its_rows_and_every_row_its_photo() -> None:
    kept = {photo.name for photo in find_photos(FOLDER).photos}
    assert kept == {row.photo for row in rows()} == {shot.file for shot in SHOTS}


def test_every_fabric_of_the_shelf_is_photographed() -> None:
    assert {row.name for row in rows()} == set(STOCK)
    assert len(STOCK) >= 24


def test_crops_of_one_photo_do_not_overlap() -> None:
    for one, other in combinations(rows(), 2):
        if one.photo == other.photo:
            a, b = one.crop, other.crop
            apart = a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top
            assert apart, f"{one.name} and {other.name} in {one.photo}"


def test_the_folder_is_small() -> None:
    assert sum(file.stat().st_size for file in FOLDER.iterdir() if file.is_file()) < 8_000_000


def test_the_shelf_is_as_varied_as_a_real_one() -> None:
    lightness = truth().values()
    kinds = {stock.tags.split(";")[0] for stock in STOCK.values()}
    assert min(lightness) < 12
    assert max(lightness) > 93
    assert {"solid", "dots", "gingham", "stripe", "tone-on-tone", "hand-dyed", "floral", "plaid",
            "geometric", "busy print", "metallic"} <= kinds  # fmt: skip
    for low in range(10, 90, 10):
        assert any(low <= value < low + 20 for value in lightness), f"nothing from L* {low}"


def test_one_heic_one_webp_and_some_in_display_p3() -> None:
    endings = [photo.suffix for photo in find_photos(FOLDER).photos]
    assert endings.count(".heic") == 1
    assert ".webp" in endings
    tagged = {file for file in STORED if "icc_profile" in stored(file).info}
    assert tagged == {shot.file for shot in SHOTS if shot.wide_gamut}
    assert len(tagged) == 3


def test_photos_are_stored_turned_all_four_ways_and_say_so() -> None:
    said = {file: stored(file).getexif()[ExifTags.Base.Orientation] for file in STORED}
    assert set(said.values()) == {1, 3, 6, 8}
    for shot in SHOTS:
        if shot.file in said:
            sideways = said[shot.file] in {6, 8}
            assert stored(shot.file).size == (shot.size[::-1] if sideways else shot.size)


def test_the_photos_are_one_sitting_by_one_phone_and_record_their_exposure() -> None:
    records = [open_photo(FOLDER / shot.file).exposure for shot in SHOTS]
    times = [record.taken_at for record in records if record.taken_at]
    assert {record.make for record in records} == {"Brindlewick"}
    assert {record.aperture for record in records} == {1.9}
    assert all(1 / 200 < (record.seconds or 0) < 1 / 20 for record in records)
    assert all(50 <= (record.iso or 0) <= 800 for record in records)
    assert len(times) == len(SHOTS)
    assert times == sorted(set(times))
    assert times[-1] - times[0] < timedelta(minutes=30)


def test_the_list_of_sizes_has_no_mistake_and_a_size_for_every_fabric() -> None:
    listed = read_size_list(FOLDER / "sizes.csv", Measure.INCHES)
    photos = find_photos(FOLDER).photos
    assert listed.mistakes == ()
    assert match_rows(listed.rows, FOLDER, photos).mistakes == ()
    assert {row.name for row in listed.rows if row.size} == set(STOCK)
    assert len([row for row in listed.rows if row.size]) == len(STOCK)


def test_lone_photos_mislead_as_photos_do() -> None:
    """Notes on a simulation of one fabric a photo: mean 8, 95th percentile 20 and more (ours)."""
    errors = [abs(found - truth()[name]) for p in LONE for name, found in measured(p).items()]
    assert 6 < mean(errors) < 12
    assert 15 < max(errors) < 25


def test_dark_cloth_comes_out_too_light_alone_and_light_cloth_too_dark() -> None:
    assert measured("soot.jpg")["Soot"] > truth()["Soot"] + 5
    assert measured("oyster.jpg")["Oyster"] < truth()["Oyster"] - 10


@pytest.mark.parametrize("photo", LINE_UPS)
def test_inside_a_line_up_fabrics_that_differ_come_out_in_order(photo: str) -> None:
    found = measured(photo)
    for one, other in combinations(found, 2):
        if truth()[one] > truth()[other] + 5:
            assert found[one] > found[other], f"{one} and {other}"


def test_the_weak_pair_of_the_quilt_is_truly_weak_and_photographed_weak() -> None:
    assert truth()["Rowan red"] - truth()["Kelp"] == pytest.approx(3.5, abs=0.5)
    assert 0 < measured(THE_QUILT)["Rowan red"] - measured(THE_QUILT)["Kelp"] < 5
    assert min(of_the_quilt("medium"), key=measured(THE_QUILT).__getitem__) == "Rowan red"
    assert max(of_the_quilt("dark"), key=measured(THE_QUILT).__getitem__) == "Kelp"


@pytest.mark.parametrize("known", ["in truth", "by the photo"])
def test_the_spare_fabric_cures_it_and_the_other_boundary_is_clear(known: str) -> None:
    """Inside one photo a difference is good to ±9: a gap from 19 is clear, 10 being one step."""
    lightness = truth() if known == "in truth" else measured(THE_QUILT)
    light, medium, dark, spare = (
        [lightness[name] for name in of_the_quilt(group)]
        for group in ("light", "medium", "dark", "spare")
    )
    assert (len(light), len(medium), len(dark), len(spare)) == (3, 3, 3, 1)
    assert min(light) - max(medium) > 19
    assert min(sorted(medium)[1:] + spare) - max(dark) > 19
    assert min(light) - max(spare) > 19


def test_the_readme_tells_the_true_lightness_of_every_fabric() -> None:
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    for name, lightness in truth().items():
        (line,) = [line for line in text.splitlines() if line.startswith(f"| {name} |")]
        assert f"| {lightness:.2f} |" in line
