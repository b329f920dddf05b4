"""Rows of a list of sizes find the photos they mean."""

import unicodedata
from pathlib import Path

import pytest

from stashkeeper.luminance.region import Crop
from stashkeeper.transfer.photo_matching import match_rows
from stashkeeper.transfer.size_list import SizeRow

FOLDER = Path("cloth")
PHOTOS = [
    FOLDER / name
    for name in ("a.jpg", "b.jpg", "b.png", "box/c.heic", "box/é.jpg", "box/d.jpg", "d.jpg")
]


@pytest.mark.parametrize(
    ("typed", "photo"),
    [
        ("a.jpg", "a.jpg"),
        ("A.JPG", "a.jpg"),
        ("a", "a.jpg"),
        ("./a.jpg", "a.jpg"),
        ("c.heic", "box/c.heic"),
        ("box\\c", "box/c.heic"),
        ("d.jpg", "d.jpg"),
        ("box/d", "box/d.jpg"),
        (unicodedata.normalize("NFD", "é.jpg"), "box/é.jpg"),
    ],
)
def test_a_photo_answers_to_every_way_of_writing_its_name(typed: str, photo: str) -> None:
    matched = match_rows([SizeRow(line=2, photo=typed)], FOLDER, PHOTOS)
    assert list(matched.by_photo) == [FOLDER / photo]
    assert matched.mistakes == ()


@pytest.mark.parametrize(
    ("typed", "problem"),
    [
        ("z.jpg", "No photo in the folder is called “z.jpg”."),
        ("box/c.haic", "Did you mean “box/c.heic”?"),
        ("b", "2 photos answer to “b”, “b.jpg” and “b.png”: give the whole name."),
        ("c\0.heic", "“c<U+0000>.heic”"),
    ],
)
def test_a_row_that_means_no_photo_is_told(typed: str, problem: str) -> None:
    matched = match_rows([SizeRow(line=7, photo=typed)], FOLDER, PHOTOS)
    assert matched.by_photo == {}
    (mistake,) = matched.mistakes
    assert mistake.line == 7
    assert problem in mistake.text


def test_rows_of_one_photo_differ_by_their_crops() -> None:
    left, right = Crop(0, 0, 0.5, 1), Crop(0.5, 0, 1, 1)
    rows = [
        SizeRow(line=2, photo="a.jpg", crop=left),
        SizeRow(line=3, photo="a", crop=right),
        SizeRow(line=4, photo="A.jpg", crop=left),
    ]
    matched = match_rows(rows, FOLDER, PHOTOS)
    assert matched.by_photo == {FOLDER / "a.jpg": (rows[0], rows[1])}
    assert [mistake.line for mistake in matched.mistakes] == [4]
    assert "in line 2 already" in matched.mistakes[0].text
