"""The sample photos and their truth as they are kept in the checkout."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.region import Crop

FOLDER = Path(__file__).resolve().parents[2] / "sample_photos"
THE_QUILT = "the-harbour-quilt.jpg"


@dataclass(frozen=True)
class Row:
    """One fabric in one photo, with the truth about it."""

    photo: str
    crop: Crop
    name: str
    group: str
    truth: tuple[float, float, float]

    @property
    def lightness(self) -> float:
        return self.truth[0]


@cache
def rows() -> tuple[Row, ...]:
    """Return every row of expected.csv; a crop that is no crop raises BadCropError here."""
    with (FOLDER / "expected.csv").open(encoding="utf-8", newline="") as file:
        return tuple(_row(cells) for cells in csv.DictReader(file))


def _row(cells: dict[str, str]) -> Row:
    left, top, right, bottom = (float(cells[edge]) for edge in ("left", "top", "right", "bottom"))
    lightness, a, b = (float(cells[key]) for key in ("true_lightness", "true_a", "true_b"))
    crop = Crop(left, top, right, bottom)
    return Row(cells["photo"], crop, cells["name"], cells["group"], (lightness, a, b))


@cache
def measured(photo: str) -> dict[str, float]:
    """Return the L* that the program finds for each fabric in a photo."""
    opened = open_photo(FOLDER / photo)
    return {row.name: measure(opened, row.crop).lightness for row in rows() if row.photo == photo}


def of_the_quilt(group: str) -> list[str]:
    """Return the fabrics of a group of the quilt."""
    return [row.name for row in rows() if row.photo == THE_QUILT and row.group == group]


def truth() -> dict[str, float]:
    """Return the true L* of each fabric."""
    return {row.name: row.lightness for row in rows()}
