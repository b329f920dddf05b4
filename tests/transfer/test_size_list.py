"""A list of sizes: read forgivingly, every mistake told with its line, the good rows kept."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from stashkeeper.errors import BadFileError, NotFoundError
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.luminance.region import Crop
from stashkeeper.transfer.size_list import SizeList, SizeRow, read_size_list


def read(folder: Path, text: str | bytes, measure: Measure = Measure.INCHES) -> SizeList:
    """Write a list of sizes and read it."""
    file = folder / "sizes.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_size_list(file, measure)


def widths(listed: SizeList) -> list[tuple[str, str]]:
    """Return each row's photo and its width in inches."""
    return [(row.photo, str(row.size.size.width.inches)) for row in listed.rows if row.size]


def told(listed: SizeList) -> dict[int, str]:
    return {mistake.line: mistake.text for mistake in listed.mistakes}


def test_a_row_says_all_there_is_to_say(tmp_path: Path) -> None:
    listed = read(
        tmp_path,
        "photo,size,name,place,tags,crop,count,basis,washed,squared,note\n"
        'dots.jpg,18 x 21,Navy dots,Shelf 2,"dots, navy","0,0,0.5,1",3,about,yes,no,"a ""find"""\n',
    )
    (row,) = listed.rows
    assert listed.mistakes == ()
    assert row.size is not None
    assert row.size.size.width == Length.from_inches(18)
    assert row == SizeRow(
        line=2, photo="dots.jpg", size=row.size, name="Navy dots", place="Shelf 2",
        tags=("dots", "navy"), crop=Crop(0, 0, 0.5, 1), count=3, basis=Basis.ABOUT,
        washed=True, squared=False, note='a "find"',
    )  # fmt: skip


def test_wrong_headings_and_three_bad_rows_are_told_at_once(tmp_path: Path) -> None:
    listed = read(
        tmp_path,
        """Foto,Size,Colour
        a.jpg,18 x 21,
        b.jpg,twenty by,
        c.jpg,9 7/8 x 10,
        ,10 x 10,
        d.jpg,-4 x 10,
        """,
    )
    assert widths(listed) == [("a.jpg", "18"), ("c.jpg", "79/8")]
    assert sorted(told(listed)) == [1, 3, 5, 6]
    assert [mistake.text for mistake in listed.mistakes if mistake.line == 1] == [
        "“Foto” was taken for “photo”, by what is in it.",
        (
            "“Colour” is no column of such a list; it was left out. The columns are photo, size, "
            "name, place, tags, crop, count, basis, washed, squared, note."
        ),
    ]
    assert "“twenty by”" in told(listed)[3]
    assert "No photo is named" in told(listed)[5]
    assert "“-4 x 10”" in told(listed)[6]


@pytest.mark.parametrize(
    "text",
    [
        "photo,size\na.jpg,18x21\n",
        "\ufeffPhoto ,  SIZE\r\na.jpg, 18x21\r\n",
        "size;photo\n18x21;a.jpg\n",
        "File name\tSize\na.jpg\t18x21",
        "sep=;\nphoto;size\na.jpg;18x21\n",
        "\n\nphoto,size\n\n,,\na.jpg,18x21,,\n",
        "photo,size\ra.jpg,18x21\r",
        "photo,size\na.jpg,18x21\n".encode("utf-16"),
        'photo,size\n"a.jpg","18""x21"""\n',
        'photo,size\na.jpg,18"x21"\n',
    ],
)
def test_what_a_spreadsheet_writes_is_read(tmp_path: Path, text: str | bytes) -> None:
    listed = read(tmp_path, text)
    assert widths(listed) == [("a.jpg", "18")]
    assert listed.mistakes == ()


def test_windows_letters_are_read(tmp_path: Path) -> None:
    # Windows code page 1252: É is C9, ½ is BD.
    listed = read(tmp_path, b"photo,size,name\na.jpg,9\xbd x 10,\xc9toile\n")
    assert widths(listed) == [("a.jpg", "19/2")]
    assert listed.rows[0].name == "Étoile"


def test_a_heading_may_give_the_unit(tmp_path: Path) -> None:
    listed = read(tmp_path, "photo,size (cm)\na.jpg,25 x 50\nb.jpg,10 x 10 in\n")
    lengths = [row.size.size.length for row in listed.rows if row.size]
    assert lengths == [Length.from_millimetres(500), Length.from_inches(10)]


def test_columns_without_headings_are_known_by_what_they_hold(tmp_path: Path) -> None:
    listed = read(tmp_path, "18x21,a.jpg\n9x10,b.png\n")
    assert widths(listed) == [("a.jpg", "18"), ("b.png", "9")]
    assert "holds no headings" in listed.mistakes[0].text
    assert "“column 2” was taken for “photo”" in listed.mistakes[1].text


def test_headings_that_cannot_be_split_do_not_spoil_the_rows(tmp_path: Path) -> None:
    listed = read(tmp_path, '"photo,size\na.jpg,18x21\n')
    assert widths(listed) == [("a.jpg", "18")]
    assert "quotation marks do not pair up" in listed.mistakes[0].text


def test_a_row_without_a_size_is_offered_without(tmp_path: Path) -> None:
    listed = read(tmp_path, "photo,size,name\na.jpg,,Dots\n")
    assert listed.rows == (SizeRow(line=2, photo="a.jpg", name="Dots"),)
    assert listed.mistakes == ()


def test_one_photo_may_show_several_pieces(tmp_path: Path) -> None:
    listed = read(
        tmp_path,
        "photo;size;crop\na.jpg;18x21;0,0,0.5,1\na.jpg;9x10;0.5 0 1 1\n",
    )
    assert [row.crop for row in listed.rows] == [Crop(0, 0, 0.5, 1), Crop(0.5, 0, 1, 1)]


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        ("a.jpg,18x21,,0", "“0” is not a whole number from 1"),
        ("a.jpg,18x21,,٣", "“٣” is not a whole number from 1"),
        ("a.jpg,18x21,,1,exact", "“exact” does not say how a size is known"),
        ("a.jpg,18x21,,1,about,perhaps", "“perhaps” is neither yes nor no"),
        ('a.jpg,18x21,"1,0,0,1"', "Crop: "),
        ("a.jpg,18x21,0,0,1,1,1,1", "There are 8 cells, but 6 headings"),
        ('a.jpg,"18x21', "quotation marks do not pair up"),
        ('a.jpg,"18"x21', "quotation marks do not pair up"),
    ],
)
def test_every_bad_cell_gets_its_sentence(tmp_path: Path, row: str, problem: str) -> None:
    listed = read(tmp_path, f"photo,size,crop,count,basis,washed\n{row}\nb.jpg,9x10\n")
    assert widths(listed) == [("b.jpg", "9")]
    assert problem in told(listed)[2]


def test_several_mistakes_of_one_row_are_all_told(tmp_path: Path) -> None:
    listed = read(tmp_path, "photo,size,count\n,huge,many\n")
    assert [mistake.line for mistake in listed.mistakes] == [2, 2, 2]


def test_strange_text_is_kept_or_told_and_never_fatal(tmp_path: Path) -> None:
    long = "x" * 10_000
    listed = read(
        tmp_path,
        f"photo,size,name\na.jpg,18x21,🌸 O'Neil\u202e\nb.jpg,{long},{long}\nc\0.jpg,9x10,{long}\n"
        f"d.jpg,{'y' * 200_000}\n",
    )
    assert [row.name for row in listed.rows] == ["🌸 O'Neil\u202e", long]
    assert set(told(listed)) == {3, 5}
    assert all(len(text) < 200 for text in told(listed).values())


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"", "is empty"),
        (b"\n \r\n", "is empty"),
        (b"PK\x03\x04rest of a workbook", "not CSV"),
        (b"x" * 10_000_001, "too large"),
    ],
)
def test_a_file_that_is_no_list_is_refused(tmp_path: Path, data: bytes, problem: str) -> None:
    with pytest.raises(BadFileError, match=problem):
        read(tmp_path, data)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="cannot be opened"):
        read_size_list(tmp_path / "sizes.csv", Measure.INCHES)
    with pytest.raises(NotFoundError, match="cannot be opened"):
        read_size_list(tmp_path, Measure.INCHES)


@settings(deadline=None, max_examples=150)
@given(data=some.binary(max_size=300) | some.text(max_size=300).map(str.encode))
def test_no_file_is_a_crash(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    try:
        read(tmp_path_factory.getbasetemp(), data)
    except BadFileError as error:
        assert error.problem
