"""What a photo's file name says about the cloth in it."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.transfer.photo_names import read_photo_name

Inches = tuple[str, str]


@pytest.mark.parametrize(
    ("file", "name", "inches"),
    [
        ("blue dots 18x21.jpg", "blue dots", ("18", "21")),
        ("navy dots - 18 x 21 in.jpg", "navy dots", ("18", "21")),
        ("sage_fat-quarter.heic", "sage", ("21", "18")),
        ("9⅞x12.5 red.png", "red", ("79/8", "25/2")),
        ("stripe (9.875in x 10in).tiff", "stripe", ("79/8", "10")),
        ("plaid 10 in square.jpg", "plaid", ("10", "10")),
        ("blue 2 18x21.jpg", "blue 2", ("18", "21")),
        ("18x21.jpg", None, ("18", "21")),
        ("IMG_1234 18x21.jpg", None, ("18", "21")),
        ("🌸 blossom 18x21.jpg", "🌸 blossom", ("18", "21")),
    ],
)
def test_a_name_and_a_size_are_told_apart(file: str, name: str | None, inches: Inches) -> None:
    read = read_photo_name(Path(file), Measure.INCHES)
    assert read.size is not None
    assert read.size.size.width == Length.from_inches(inches[0])
    assert read.size.size.length == Length.from_inches(inches[1])
    assert read.name == name


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("blue dots.jpg", "blue dots"),
        ("half moon.jpg", "half moon"),
        ("fat cat.jpg", "fat cat"),
        ("two by two.jpg", "two by two"),
        ("dots 0x0.jpg", "dots 0x0"),
        ("poster 19200x10800.jpg", "poster 19200x10800"),
        ("IMG_1234.jpg", None),
        ("DSC_0012 (2).jpg", None),
        ("ABCD0012.jpg", None),
        ("20260102_101112.jpg", None),
        ("Photo 2026-01-02 at 10.11.12.jpg", None),
    ],
)
def test_no_size_is_seen_where_none_is_written(file: str, name: str | None) -> None:
    read = read_photo_name(Path(file), Measure.INCHES)
    assert (read.name, read.size) == (name, None)


def test_a_trade_name_says_how_the_size_is_known() -> None:
    read = read_photo_name(Path("sage fat quarter.jpg"), Measure.INCHES)
    assert read.size is not None
    assert read.size.basis is Basis.NOMINAL


def test_bare_numbers_take_the_measure_of_the_person() -> None:
    read = read_photo_name(Path("dots 25x50.jpg"), Measure.CENTIMETRES)
    assert read.size is not None
    assert read.size.size.length == Length.from_millimetres(500)


@settings(deadline=None, max_examples=100)
@given(some.text(min_size=1, max_size=100).filter(lambda text: "/" not in text))
def test_every_file_name_can_be_read(stem: str) -> None:
    read_photo_name(Path(stem), Measure.INCHES)
