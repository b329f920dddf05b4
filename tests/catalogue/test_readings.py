"""Photos, regions and readings on record, and the one reading that counts."""

import uuid

import pytest

from stashkeeper.catalogue.columns import Side
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric, fabric_by_id
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.photos import (
    add_measurement,
    add_photo,
    add_region,
    corners_of_crop,
    fabrics_of_photo,
    measurement_by_id,
    photo_by_checksum,
    regions_of,
)
from stashkeeper.catalogue.pieces import add_pieces, piece_by_code
from stashkeeper.catalogue.readings import add_reading, all_readings_of, readings_of
from stashkeeper.catalogue.thresholds import Thresholds, set_thresholds, thresholds
from stashkeeper.catalogue.undo import undo
from stashkeeper.cloth.reading import (
    Doubt,
    Factor,
    Method,
    Reading,
    Spread,
    difference_uncertainty,
)
from stashkeeper.cloth.reading import lone_photo_factors as lone
from stashkeeper.errors import AlreadyThereError, BadCropError, BadSettingError
from tests.catalogue.made import (
    MIDDLE,
    add,
    add_photo_of,
    codes,
    find,
    measure,
    photographed,
    piece_and_fabric,
    type_lightness,
    typed,
)


def test_a_reading_comes_back_whole_with_its_factors(catalogue: Catalogue) -> None:
    written = Reading(
        41.123456789012345,
        -3.5,
        12.25,
        Method.PHOTO,
        lone("own", "photo"),
        Spread(4.5, 20.0, 60.0),
        (Doubt.BLURRED, Doubt.CLIPPED),
    )
    with deed(catalogue, "add") as doing:
        fabric = add_fabric(doing, "Blue dots")
        region = add_photo_of(doing, fabric, "one.jpg")
        counted = add_measurement(
            doing,
            region,
            method_version=1,
            histograms=bytes(range(256)),
            linear_means=(0.1, 0.2, 0.3),
            spread=Spread(4.5, 20.0, 60.0),
            doubts=written.doubts,
            pixels=12_000_000_000,
        )
        add_reading(doing, fabric, written, measurement=counted, colour_family="blue")
    with reading(catalogue) as session:
        read = readings_of(session, [fabric.id])[fabric.id]
        assert read == Reading(
            written.lightness,
            written.a,
            written.b,
            written.method,
            tuple(sorted(written.factors, key=lambda factor: factor.key)),
            written.spread,
            written.doubts,
        )
        (past,) = all_readings_of(session, fabric_by_id(session, fabric.id))
        assert past.counts
        assert past.measurement_id is not None
        kept = measurement_by_id(session, past.measurement_id)
        assert (kept.histograms, kept.pixels) == (bytes(range(256)), 12_000_000_000)


def test_the_surest_reading_counts_then_the_newest(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")

    def counting() -> float | None:
        return find(catalogue, "")[0].lightness

    def photograph(lightness: float) -> None:
        with deed(catalogue, "photo") as doing:
            measure(doing, piece_and_fabric(doing, "A1")[1], lightness, "blue")

    assert counting() is None
    photograph(30)
    assert counting() == 30
    photograph(33)
    assert counting() == 33
    type_lightness(catalogue, "A1", 41)
    assert counting() == 41
    photograph(35)
    assert counting() == 41
    type_lightness(catalogue, "A1", 42)
    assert counting() == 42
    with deed(catalogue, "undo") as doing:
        undo(doing)
    assert counting() == 41
    with reading(catalogue) as session:
        fabric = fabric_by_id(session, piece_by_code(session, "A1").fabric_id)
        assert [past.reading.lightness for past in all_readings_of(session, fabric)] == [
            35,
            41,
            33,
            30,
        ]


def line_up(lightness: float, uncertainty: float) -> Reading:
    """Return a reading of a line-up that shares nearly all it may be off by with its neighbours."""
    factors = Factor(f"own:{uuid.uuid4()}", 4.0), Factor("tie", uncertainty)
    return Reading(lightness, 5.0, -20.0, Method.LINE_UP, factors, Spread(4.0, 20.0, 44.0))


def test_a_line_up_counts_before_a_photo_alone_and_the_last_line_up_before_others(
    catalogue: Catalogue,
) -> None:
    """What a line-up says hangs together with its other fabrics, and the last knows all photos.

    So it is not given up for a number that is surer by a hair, but compares with nothing.
    """
    add(catalogue, "Blue dots")

    def counting_after(one: Reading) -> tuple[str | None, float | None]:
        with deed(catalogue, "photo") as doing:
            add_reading(doing, piece_and_fabric(doing, "A1")[1], one, colour_family="blue")
        (row,) = find(catalogue, "colour:blue")
        return row.method, row.lightness

    assert counting_after(photographed(79)) == ("photo", 79)
    assert counting_after(line_up(83, 28)) == ("line-up", 83)
    assert counting_after(photographed(78)) == ("line-up", 83)
    assert counting_after(line_up(84, 29)) == ("line-up", 84)
    assert counting_after(line_up(85, 9)) == ("line-up", 85)
    assert counting_after(line_up(86, 10)) == ("line-up", 86)
    assert counting_after(typed(88)) == ("typed", 88)
    for _ in range(2):
        with deed(catalogue, "undo") as doing:
            undo(doing)
    assert find(catalogue, "")[0].lightness == 85


def test_the_measured_colour_stays_when_a_lightness_is_typed(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with deed(catalogue, "photo") as doing:
        measure(doing, piece_and_fabric(doing, "A1")[1], 30, "blue")
    type_lightness(catalogue, "A1", 70)
    (row,) = find(catalogue, "colour:blue value:light")
    assert (row.lightness, row.a, row.method, row.uncertainty) == (70, None, "typed", 2.0)


def test_two_fabrics_of_one_photo_share_its_factor_after_storing(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        fabrics = [add_fabric(doing, name) for name in ("one", "other", "none")]
        for fabric in fabrics[:2]:
            factors = lone(f"own:{fabric.id}", "photo:same")
            add_reading(doing, fabric, Reading(50, 0, 0, Method.PHOTO, factors))
    with reading(catalogue) as session:
        known = readings_of(session, [fabric.id for fabric in fabrics])
        one, other = known[fabrics[0].id], known[fabrics[1].id]
        assert fabrics[2].id not in known
    # Design: ±25 alone, ±9 inside one photo.
    assert one.uncertainty == pytest.approx(25, abs=0.1)
    assert difference_uncertainty(one, other) == pytest.approx(9, abs=0.1)


def test_readings_of_very_many_fabrics_come_in_one_call(sqlite_stash: Catalogue) -> None:
    with deed(sqlite_stash, "add") as doing:
        fabric = add_fabric(doing, "Blue dots")
        add_reading(doing, fabric, typed(50))
    unknown = [uuid.uuid4() for _ in range(40_000)]  # more than one query of SQLite takes
    with reading(sqlite_stash) as session:
        assert list(readings_of(session, [*unknown, fabric.id])) == [fabric.id]


def test_the_same_photo_again_is_the_one_there(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        one = add_photo(doing, "AB" * 32, "JPEG", 4, 3, exposure={"iso": 100}, file_name="a.jpg")
        assert add_photo(doing, "ab" * 32, "JPEG", 4, 3, file_name="b.jpg").id == one.id
    with reading(catalogue) as session:
        kept = photo_by_checksum(session, "ab" * 32)
        assert kept is not None
        assert (kept.file_name, kept.exposure) == ("a.jpg", {"iso": 100})
        assert photo_by_checksum(session, "cd" * 32) is None


def test_the_same_region_of_a_photo_is_refused_for_the_same_fabric(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        one, other = add_fabric(doing, "one"), add_fabric(doing, "other")
        region = add_photo_of(doing, one, "line-up.jpg")
        with pytest.raises(AlreadyThereError, match=r"line-up\.jpg"):
            add_photo_of(doing, one, "line-up.jpg")
        add_photo_of(doing, other, "line-up.jpg")
        photo = add_photo(doing, "ef" * 32, "PNG", 4, 3)
        add_region(doing, photo, one, corners_of_crop(0.0, 0.0, 0.5, 0.5))
        add_region(doing, photo, one, corners_of_crop(0.5, 0.5, 1.0, 1.0))
        add_region(doing, photo, one, corners_of_crop(0.5, 0.5, 1.0, 1.0), side=Side.BACK)
        with pytest.raises(BadCropError):
            add_region(doing, photo, one, corners_of_crop(0.5, 0.5, 1.5, 1.0))
    with reading(catalogue) as session:
        assert [row.corners for row in regions_of(session, one.id)][-1] == region.corners == MIDDLE
        assert len(regions_of(session, one.id)) == 4
        photo_checksum = regions_of(session, other.id)[0].checksum
        assert fabrics_of_photo(session, photo_checksum) == {one.id, other.id}


def test_the_newest_face_shows_the_fabric(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")

    def add_one(checksum: str, side: Side) -> None:
        with deed(catalogue, "photo") as doing:
            photo = add_photo(doing, checksum * 32, "JPEG", 4, 3)
            add_region(doing, photo, piece_and_fabric(doing, "A1")[1], MIDDLE, side=side)

    for checksum, side in (("0a", Side.BACK), ("0b", Side.FACE), ("0c", Side.BACK)):
        add_one(checksum, side)
    (row,) = find(catalogue, "")
    assert (row.checksum, row.photo_format, row.corners) == ("0b" * 32, "JPEG", MIDDLE)


def test_thresholds_are_shared_and_move_the_groups(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        fabric = add_fabric(doing, "Blue dots")
        add_pieces(doing, fabric)
        add_reading(doing, fabric, photographed(50))
    assert codes(catalogue, "value:medium") == ["A1"]
    with deed(catalogue, "thresholds") as doing:
        assert set_thresholds(doing, Thresholds(55, 80))
        assert not set_thresholds(doing, Thresholds(55, 80))
    assert codes(catalogue, "value:dark") == ["A1"]
    with deed(catalogue, "undo") as doing:
        undo(doing)
    with reading(catalogue) as session:
        assert thresholds(session) == Thresholds(40, 65)


@pytest.mark.parametrize(
    ("dark", "light"), [(65, 40), (50, 50), (-1, 40), (40, 101), (float("nan"), 50)]
)
def test_thresholds_that_part_nothing_are_refused(
    sqlite_stash: Catalogue, dark: float, light: float
) -> None:
    with deed(sqlite_stash, "thresholds") as doing, pytest.raises(BadSettingError):
        set_thresholds(doing, Thresholds(dark, light))
