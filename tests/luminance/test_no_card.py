"""No card is found where there is none: the sample photos, and real ones."""

from pathlib import Path

import pytest

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.decode import open_photo
from tests.conftest import checkout


def photos(folder: Path) -> list[Path]:
    kinds = {".jpg", ".png", ".heic", ".heif", ".webp"}
    return sorted(path for path in folder.rglob("*") if path.suffix.lower() in kinds)


def finds_none(path: Path) -> bool:
    try:
        find_card(open_photo(path))
    except BadReferenceError as error:
        return "No reference card" in error.problem
    return False


def test_no_card_is_found_in_the_sample_photos() -> None:
    shelf = photos(checkout / "sample_photos")
    assert len(shelf) >= 20
    assert [path.name for path in shelf[::3] if not finds_none(path)] == []


def test_no_card_is_found_in_real_photos(check_photos: Path) -> None:
    assert [path.name for path in photos(check_photos) if not finds_none(path)] == []


@pytest.mark.campaign
def test_no_card_is_found_in_any_sample_photo() -> None:
    shelf = photos(checkout / "sample_photos")
    assert [path.name for path in shelf if not finds_none(path)] == []
