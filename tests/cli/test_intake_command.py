"""Taking in a folder: lists, file names, what is usual, what is known already, what is wrong."""

import json
import shutil
from pathlib import Path

import pytest
from PIL import Image

from tests.cli.patches import crop_of, line_up, photo_of
from tests.cli.terminal import Terminal


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder of four photos in two folders, with a note and a hidden file."""
    shots = tmp_path / "my shots é"
    (shots / "more").mkdir(parents=True)
    photo_of(shots / "IMG_0001.jpg", 20)
    photo_of(shots / "navy dots 18x21.png", 30)
    photo_of(shots / "sage_fat-quarter.png", 55)
    photo_of(shots / "more" / "cream linen.png", 88)
    (shots / "note.txt").write_text("buy thread")
    (shots / ".hidden.png").write_bytes(b"")
    return shots


def shelf(run: Terminal) -> dict[str, str]:
    """Return the size, as people read it, of each fabric by its name."""
    return {
        piece["name"]: " × ".join(
            f"{piece['size'][side]['inches']:g}" for side in ("width", "length")
        ) if piece["size"] else ""
        for piece in run.json("list")["pieces"]
    }  # fmt: skip


def test_file_names_tell_names_and_sizes(run: Terminal, folder: Path) -> None:
    said = run("intake", folder)
    assert shelf(run) == {
        "black": "", "navy dots": "18 × 21", "sage": "21 × 18", "cream linen": "",
    }  # fmt: skip
    assert "Took in 4 fabrics from 4 photos." in said
    assert "2 pieces without a size yet (A1, A2)" in said or "2 pieces without a size yet" in said
    assert "Passed over, being no photos: .hidden.png, note.txt." in said
    kept = [path for path in (run.home / "photos").rglob("*") if path.is_file()]
    assert len(kept) == 4


def test_what_is_usual_holds_where_nothing_else_is_said(run: Terminal, folder: Path) -> None:
    run("intake", folder, "--size", "10 x 10", "--at", "Table / Heap", "-t", "new", "-t", "spring")
    assert set(shelf(run).values()) == {"10 × 10", "18 × 21", "21 × 18"}
    assert run.codes("at:Table tag:new tag:spring") == ["A1", "A2", "A3", "A4"]


def test_a_list_tells_everything(run: Terminal, tmp_path: Path) -> None:
    shots = tmp_path / "shots"
    shots.mkdir()
    line_up(shots / "table.png", 80, 30)
    photo_of(shots / "moss.png", 50)
    Path("sizes.csv").write_text(
        "photo,size,name,place,tags,crop,count,basis,washed,squared,note\n"
        f'table.png,fat quarter,Cream linen,Shelf 1,"pale, plain","{crop_of(0, 2)}",2,,yes,,\n'
        f'table.png,1/2 yd,Navy dots,Shelf 1,,"{crop_of(1, 2)}",,,,yes,"a note, with a comma"\n'
        "moss,10 x 12,,,,,,about,no,no,\n"
    )
    taken = run.json("intake shots --sizes sizes.csv")
    assert [piece["name"] for piece in taken["pieces"]] == ["moss", "Cream linen", "Navy dots"]
    assert [piece["count"] for piece in taken["pieces"]] == [1, 2, 1]
    cream, navy, moss = run.json("show A2"), run.json("show A4"), run.json("show A1")
    assert (cream["alike"], cream["tags"], cream["washed"]) == (["A3"], ["pale", "plain"], True)
    assert cream["reading"]["lightness"] == pytest.approx(80, abs=0.05)
    assert (navy["place"], navy["squared"], navy["note"]) == (
        "Shelf 1", True, "a note, with a comma",
    )  # fmt: skip
    assert navy["reading"]["lightness"] == pytest.approx(30, abs=0.05)
    assert moss["basis"] == "about"


@pytest.mark.parametrize(
    ("encoding", "separator"), [("utf-8", ","), ("utf-8-sig", ";"), ("utf-16", "\t")]
)
def test_a_list_may_come_from_any_spreadsheet(
    run: Terminal, tmp_path: Path, encoding: str, separator: str
) -> None:
    shots = tmp_path / "shots"
    shots.mkdir()
    photo_of(shots / "один.png", 50)
    rows = [["Photo", "Size (cm)", "Name"], ["один.png", "25 x 50", "Müsli — “grün”"]]
    text = "\r\n".join(separator.join(row) for row in rows)
    Path("sizes.csv").write_bytes(text.encode(encoding))
    run("intake shots --sizes sizes.csv")
    piece = run.json("show A1")
    assert piece["name"] == "Müsli — “grün”"
    assert piece["size"]["width"]["millimetres"] == 250


def test_run_again_it_finds_everything_known(run: Terminal, folder: Path) -> None:
    run("intake", folder)
    before = run.all_of_it()
    again = run("intake", folder)
    assert again.splitlines()[0] == ("Took in 0 fabrics from 0 photos; 4 were on record already.")
    assert run.all_of_it() == before
    photo_of(folder / "plum.png", 35)
    assert run.json("intake", folder)["pieces"][0]["name"] == "plum"


def test_a_renamed_photo_is_still_known(run: Terminal, folder: Path) -> None:
    run("intake", folder)
    (folder / "IMG_0001.jpg").rename(folder / "black 5x5.jpg")
    assert run.json("intake", folder)["known"] == 4


def test_a_copy_in_the_same_folder_is_told_and_not_taken(run: Terminal, folder: Path) -> None:
    shutil.copy(folder / "navy dots 18x21.png", folder / "zz copy.png")
    taken = run.json("intake", folder)
    assert len(taken["pieces"]) == 4
    assert "“zz copy.png” is on record already" in taken["problems"][0]["problem"]
    # `intake` has neither --fabric nor --crop, so neither is advised.
    assert "--" not in taken["problems"][0]["remedy"]
    assert "a copy of the very same photo" in taken["problems"][0]["remedy"]


def test_what_was_taken_back_is_taken_in_again(run: Terminal, folder: Path) -> None:
    run("intake", folder)
    undone = run("undo")
    taken = run.json("intake", folder)
    assert len(taken["pieces"]) == 1
    assert taken["pieces"][0]["photo"] in undone


def test_a_name_given_twice_is_one_fabric(run: Terminal, tmp_path: Path) -> None:
    shots = tmp_path / "shots"
    shots.mkdir()
    for name, lightness in (("a", 50), ("b", 51), ("c", 52)):
        photo_of(shots / f"{name}.png", lightness)
    Path("sizes.csv").write_text(
        "photo,size,name\na,10 x 10,Moss\nb,,moss\nc,5 x 5,MOSS\n"
    )  # fmt: skip
    run("intake shots --sizes sizes.csv")
    assert run.codes() == ["A1", "A2"]
    piece = run.json("show A1")
    assert (piece["name"], piece["alike"], len(piece["photos"])) == ("Moss", ["A2"], 3)
    run("intake shots --sizes sizes.csv")
    assert run.codes() == ["A1", "A2"]


def test_wrong_headings_and_three_bad_rows_are_told_at_once(run: Terminal, tmp_path: Path) -> None:
    shots = tmp_path / "shots"
    shots.mkdir()
    for index, name in enumerate(("good", "also good", "bad", "unnamed")):
        photo_of(shots / f"{name}.png", 30 + 10 * index)
    Path("sizes.csv").write_text(
        "picture,measures,naam\n"
        "good.png,10 x 10,Good\n"
        "bad.png,9 7/0,Bad size\n"
        "missing.png,10 x 10,No photo\n"
        "unnamed.png,-4 x 4,Less than nothing\n"
        "also good.png,fat quarter,Also good\n"
    )
    said = run("intake shots --sizes sizes.csv")
    assert "line 3: Size: “9 7/0” has a fraction over zero." in said
    assert "line 4: No photo in the folder is called “missing.png”." in said
    assert "line 5: Size: “-4 x 4” is less than nothing." in said
    assert "line 1: “measures” was taken for “size”" in said
    assert "The columns are photo, size, name" in said
    # The good ones are in; the others wait until the list is mended.
    assert shelf(run) == {"Good": "10 × 10", "Also good": "21 × 18"}
    assert "Waiting until the list is mended: bad.png, unnamed.png." in said
    mended = Path("sizes.csv").read_text().replace("9 7/0", "9 7/8 x 3").replace("-4", "4")
    Path("sizes.csv").write_text(mended.replace("missing.png,10 x 10,No photo\n", ""))
    run("intake shots --sizes sizes.csv")
    assert set(shelf(run)) == {"Good", "Also good", "Bad size", "Less than nothing"}


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"", "“sizes.csv” is empty."),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00", "“sizes.csv” is no text"),
        (b"PK\x03\x04workbook", "“sizes.csv” is a workbook or document, not CSV."),
    ],
)
def test_a_list_that_is_none_is_refused(
    run: Terminal, folder: Path, content: bytes, problem: str
) -> None:
    Path("sizes.csv").write_bytes(content)
    assert problem in run.refused("intake --sizes sizes.csv", folder)


def test_a_mistake_in_what_is_usual_is_told_once(run: Terminal, folder: Path) -> None:
    assert "“huge” is not a size." in run.refused("intake --size huge", folder)
    assert "The tag is empty." in run.refused("intake --tag ''", folder)
    assert "The place is empty." in run.refused("intake --at ///", folder)
    assert "cannot be opened" in run.refused("intake --sizes none.csv", folder)


def test_a_folder_without_photos_is_told(run: Terminal, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert "The folder “empty” is empty." in run.refused("intake empty")
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "a.txt").write_text("x")
    assert "No photo is in “notes”: passed over a.txt" in run.refused("intake notes")
    Path("file.png").write_text("x")
    assert "“file.png” is a file, not a folder." in run.refused("intake file.png")


def test_bad_photos_are_listed_and_the_good_ones_are_in(run: Terminal, folder: Path) -> None:
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "text.jpg").write_text("this is no photo")
    good = (folder / "IMG_0001.jpg").read_bytes()
    (folder / "cut.jpg").write_bytes(good[: len(good) // 2])
    (folder / "folder.jpg").mkdir()
    (folder / "gone.jpg").symlink_to(folder / "nowhere.jpg")
    taken = run.json("intake", folder)
    assert len(taken["pieces"]) == 4
    problems = {Path(one["photo"]).name: one["problem"] for one in taken["problems"]}
    assert set(problems) == {"empty.jpg", "text.jpg", "cut.jpg"}
    said = run("intake", folder)
    assert "Not taken in: empty.jpg is empty" in said
    assert "Not taken in: text.jpg is not a photo: it holds text." in said
    assert "Not taken in: cut.jpg is cut off or damaged" in said


def test_a_row_with_an_impossible_crop_or_name_spoils_only_itself(
    run: Terminal, folder: Path
) -> None:
    Path("sizes.csv").write_text(
        "photo,size,name,crop\n"
        "IMG_0001,10 x 10,Fine,\n"
        'sage_fat-quarter,10 x 10,Outside,"0,0,2,1"\n'
        f"navy dots 18x21,10 x 10,{'x' * 300},\n"
    )
    taken = run.json("intake --sizes sizes.csv", folder)
    assert [piece["name"] for piece in taken["pieces"]] == ["Fine"]
    assert [mistake["line"] for mistake in taken["mistakes"]] == [3]
    assert "300 signs long" in taken["problems"][0]["problem"]


def test_a_row_that_is_spoilt_leaves_the_others_of_its_photo(run: Terminal, tmp_path: Path) -> None:
    (tmp_path / "shots").mkdir()
    line_up(Path("shots/table.png"), 80, 50, 30)
    names = ("Cream", "x" * 300, "Navy")
    rows = [f'table.png,fq,{name},"{crop_of(at, 3)}"' for at, name in enumerate(names)]
    Path("sizes.csv").write_text("\n".join(["photo,size,name,crop", *rows]) + "\n")
    taken = run.json("intake shots --sizes sizes.csv")
    assert [piece["name"] for piece in taken["pieces"]] == ["Cream", "Navy"]
    assert len(taken["problems"]) == 1


def test_doubts_about_a_photo_are_told(run: Terminal, tmp_path: Path) -> None:
    (tmp_path / "shots").mkdir()
    burnt = Image.new("RGB", (300, 200), (128, 128, 128))
    burnt.paste((255, 255, 255), (60, 40, 200, 160))
    burnt.save("shots/burnt.png")
    taken = run.json("intake shots")
    assert "clipped" in taken["pieces"][0]["doubts"]
    assert "clipped" in run.json("sort")["pieces"][0]["flags"]
    assert "take it again with less or more light" in run("show A1")


def test_json_is_one_document_even_with_problems(run: Terminal, folder: Path) -> None:
    (folder / "text.jpg").write_text("this is no photo")
    answer = run.type(f"intake --json '{folder}'")
    assert set(json.loads(answer.words)) >= {"pieces", "known", "problems", "mistakes"}
    assert answer.errors == ""
