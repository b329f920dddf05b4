"""Make the sample photos and write down the truth about them.

Run from the checkout: `uv run python sample_photos/generate.py`. Same seed and libraries, same
bytes. Only the photos named in shelf.py, expected.csv (the truth) and sizes.csv (what
the owner wrote down) are written, into this folder.
"""

import csv
import sys
import zlib
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from sample_photos.compose import Placed, compose
from sample_photos.fabrics import NAMES, mean_colour
from sample_photos.phone import Exposure, develop, expose, linear_mean
from sample_photos.photo_file import save
from sample_photos.shelf import SHOTS, STOCK, Shot
from sample_photos.tints import lab_of

HERE = Path(__file__).resolve().parent
COLUMNS = (
    "photo", "left", "top", "right", "bottom", "name", "size", "place", "tags", "group",
    "true_lightness", "true_a", "true_b",
)  # fmt: skip
SIZE_COLUMNS = ("photo", "crop", "name", "size", "place", "tags")
_FIRST_SHOT = datetime(2025, 10, 18, 14, 5, 10)

type Truth = dict[str, tuple[float, float, float]]


def generate(folder: Path) -> None:
    """Write all photos and expected.csv into `folder`, printing how far each photo misleads."""
    folder.mkdir(parents=True, exist_ok=True)
    truth = {name: lab_of(np.array(mean_colour(name))) for name in NAMES}
    rows: list[dict[str, str]] = []
    print(f"{'photo':30} {'fabric':22} {'true':>6} {'photo':>6} {'error':>6}  exposure")
    for index, shot in enumerate(SHOTS):
        pixels, placed, exposure = take(shot)
        taken = _FIRST_SHOT + timedelta(seconds=37 * index + 11 * (index % 3))
        save(folder / shot.file, shot, pixels, exposure, taken)
        for one in placed:
            rows.append(_row(shot, one, truth))
            _report(shot, one, pixels, exposure, truth)
    _write(folder / "expected.csv", COLUMNS, rows)
    _write(folder / "sizes.csv", SIZE_COLUMNS, _sizes(rows))


def _write(path: Path, columns: tuple[str, ...], rows: list[dict[str, str]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, lineterminator="\n", extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)


def _sizes(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """Return the list an owner would keep: no truth, and each piece's size once, in name order."""
    told: set[str] = set()
    listed = []
    for row in sorted(rows, key=lambda row: row["photo"]):
        crop = " ".join(row[edge] for edge in ("left", "top", "right", "bottom"))
        again = {"size": "", "place": "", "tags": ""} if row["name"] in told else {}
        listed.append({**row, "crop": crop, **again})
        told.add(row["name"])
    return listed


def take(shot: Shot) -> tuple[np.ndarray, list[Placed], Exposure]:
    """Return an upright photo, 8-bit, with what lies in it and how it was exposed."""
    rng = np.random.Generator(np.random.PCG64(zlib.crc32(shot.file.encode())))
    scene, placed = compose(shot, rng)
    exposure = expose(scene)
    return develop(scene, exposure, rng, wide_gamut=shot.wide_gamut), placed, exposure


def _row(shot: Shot, one: Placed, truth: Truth) -> dict[str, str]:
    stock = STOCK[one.name]
    left, top, right, bottom = (f"{edge:.3f}" for edge in one.crop)
    lightness, a, b = (f"{value:.2f}" for value in truth[one.name])
    values = (shot.file, left, top, right, bottom, one.name, stock.size, stock.place, stock.tags,
              stock.group, lightness, a, b)  # fmt: skip
    return dict(zip(COLUMNS, values, strict=True))


def _report(shot: Shot, one: Placed, pixels: np.ndarray, exposure: Exposure, truth: Truth) -> None:
    height, width = pixels.shape[:2]
    left, top, right, bottom = one.crop
    region = pixels[
        round(top * height) : round(bottom * height), round(left * width) : round(right * width)
    ]
    seen = lab_of(linear_mean(region, wide_gamut=shot.wide_gamut))[0]
    true = truth[one.name][0]
    print(
        f"{shot.file:30} {one.name:22} {true:6.2f} {seen:6.2f} {seen - true:+6.2f}"
        f"  1/{exposure.shutter} s ISO {exposure.iso}"
    )


if __name__ == "__main__":
    generate(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
