"""A folder of photos: what is found, what is passed over, in which order."""

import os
from pathlib import Path

import pillow_heif
import pytest
from PIL import Image

from stashkeeper.errors import NotFoundError
from stashkeeper.luminance.decode import FORMATS
from stashkeeper.transfer.photo_folder import PHOTO_ENDINGS, FolderListing, find_photos


def folder_with(root: Path, *names: str) -> Path:
    """Make files of these names below `root`, folders as needed."""
    for name in names:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).touch()
    return root


def names(listing: FolderListing, root: Path) -> list[str]:
    return [photo.relative_to(root).as_posix() for photo in listing.photos]


def reasons(listing: FolderListing) -> dict[str, str]:
    return {passed.path.name: passed.reason for passed in listing.passed_over}


def test_photos_come_in_the_order_a_person_counts(tmp_path: Path) -> None:
    folder_with(tmp_path, "10.jpg", "9.JPG", "b.png", "A.jpg", "set 2/1.heic", "set 10/1.webp")
    found = find_photos(tmp_path)
    assert names(found, tmp_path) == [
        "9.JPG", "10.jpg", "A.jpg", "b.png", "set 2/1.heic", "set 10/1.webp"
    ]  # fmt: skip
    assert found.passed_over == ()


def test_endings_are_those_of_formats_that_can_be_opened() -> None:
    # Pillow and pillow-heif say which endings belong to which format.
    pillow_heif.register_heif_opener()
    known = Image.registered_extensions()
    assert {known[ending] for ending in PHOTO_ENDINGS} == set(FORMATS)


def test_other_files_are_passed_over_with_a_reason(tmp_path: Path) -> None:
    folder_with(tmp_path, "a.jpg", "._a.jpg", ".cache/b.jpg", "sizes.csv", "notes")
    assert reasons(find_photos(tmp_path)) == {
        "._a.jpg": "hidden",
        ".cache": "hidden",
        "sizes.csv": ".csv is no photo",
        "notes": "no photo by its name",
    }


def test_a_folder_reached_twice_through_links_is_read_once(tmp_path: Path) -> None:
    folder_with(tmp_path, "shelf/a.jpg")
    (tmp_path / "shelf" / "round").symlink_to(tmp_path)
    found = find_photos(tmp_path)
    assert names(found, tmp_path) == ["shelf/a.jpg"]
    assert reasons(found) == {"round": "this folder was read already, under another name"}


def test_links_that_lead_nowhere_and_pipes_are_passed_over(tmp_path: Path) -> None:
    folder_with(tmp_path, "a.jpg")
    (tmp_path / "gone.jpg").symlink_to(tmp_path / "not there.jpg")
    os.mkfifo(tmp_path / "pipe.jpg")
    found = find_photos(tmp_path)
    assert names(found, tmp_path) == ["a.jpg"]
    assert reasons(found)["pipe.jpg"] == "no ordinary file"
    assert "cannot be reached" in reasons(found)["gone.jpg"]


def test_a_folder_that_cannot_be_opened_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder_with(tmp_path, "a.jpg", "locked/b.jpg")
    real = os.scandir

    def refuse(folder: Path) -> object:
        # Root may open everything, so the refusal is played.
        if folder.name == "locked":
            raise PermissionError(13, "Permission denied")
        return real(folder)

    monkeypatch.setattr(os, "scandir", refuse)
    found = find_photos(tmp_path)
    assert names(found, tmp_path) == ["a.jpg"]
    assert reasons(found) == {"locked": "this folder cannot be opened (permission denied)"}


@pytest.mark.parametrize(
    ("name", "problem"),
    [("gone", "is not there"), ("a file.txt", "is a file, not a folder"), ("", "No photo is in")],
)
def test_a_folder_without_photos_gets_its_sentence(tmp_path: Path, name: str, problem: str) -> None:
    folder_with(tmp_path, "a file.txt")
    with pytest.raises(NotFoundError, match=problem) as raised:
        find_photos(tmp_path / name)
    assert raised.value.remedy.endswith(".")


def test_an_empty_folder_is_called_empty(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="is empty"):
        find_photos(tmp_path)
