"""Whole pages compared with pictures a person approved: see tests/gold/README.md."""

import dataclasses
import os
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageChops, ImageDraw, ImageOps

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.sheet import Sheet, SheetEntry
from stashkeeper.pictures.sheet_pages import draw_sheet
from tests.conftest import checkout
from tests.pictures.made import coloured, entry, gaps_of, spread

GOLD = checkout / "tests" / "gold"
ACCEPT = "STASHKEEPER_ACCEPT_GOLD"
LARGEST_GOLD = 300_000

DIFFERENT = 48
"""A dot whose code is off by more than this is different; edges are softened in many ways."""
MOST_DIFFERENT = 0.001
"""The share of dots that may be different. One word of a page is less: test_sheet.py reads them."""
MOST_MEAN = 0.35
"""The mean difference of all codes that is let pass."""


def cloth(file: Path, number: int, lightness: float) -> Path:
    """Draw one of four prints or a solid as a photo."""
    colour = coloured(lightness, number * 0.381966, chroma=28.0)
    lighter = coloured(min(96.0, lightness + 12), number * 0.381966, chroma=28.0)
    image = Image.new("RGB", (240, 240), colour)
    draw = ImageDraw.Draw(image)
    for step in range(0, 240, 40):
        if number % 4 == 1:
            draw.rectangle((step, 0, step + 9, 239), fill=lighter)
        if number % 4 == 2:
            for down in range(0, 240, 40):
                draw.ellipse((step + 12, down + 12, step + 26, down + 26), fill=lighter)
        if number % 4 == 3:
            draw.rectangle((0, step, 239, step + 19), fill=lighter)
    image.save(file)
    return file


def marked(number: int, fabric: SheetEntry) -> SheetEntry:
    """Return a fabric with one of the marks a sheet knows."""
    return dataclasses.replace(
        fabric,
        provisional=number % 3 == 0,
        doubtful=number == 4,
        straddles=number == 5,
        weak=number in {0, 1},
        more=2 if number == 7 else 0,
        uncertainty=25.0 if number % 3 == 0 else 2.0,
    )


def shelf(folder: Path, lightnesses: list[float], paper: Paper) -> Sheet:
    """Return a sheet of drawn cloth, the fifth without a photo, the last not measured yet."""
    entries = []
    for number, lightness in enumerate(lightnesses):
        photo = cloth(folder / f"{number}.png", number, lightness)
        fabric = entry(number, lightness, None if number == 8 else photo)
        entries.append(marked(number, fabric))
    sentences = ["A1 and B1 are too close for two groups: leave B1 out, and the gap is 9.9 (fair)."]
    entries.append(entry(len(lightnesses), None))
    return Sheet(
        "Ottersound guild shelf", "25 November 2026", entries, gaps_of(entries), sentences, paper
    )


def compare(name: str, page: Image.Image) -> None:
    """Hold a page, one dot to the px, against the approved picture; or approve it."""
    small = page.resize((round(page.width / 2.5), round(page.height / 2.5)), Image.Resampling.BOX)
    gold = GOLD / f"{name}.png"
    if os.environ.get(ACCEPT) == "1":
        small.save(gold, optimize=True)
        assert gold.stat().st_size < LARGEST_GOLD
        return
    assert gold.is_file(), f"there is no approved {gold.name}: see tests/gold/README.md"
    difference = ImageChops.difference(small, Image.open(gold).convert("RGB"))
    off = np.asarray(difference).max(axis=2)
    if (off > DIFFERENT).mean() > MOST_DIFFERENT or off.mean() > MOST_MEAN:
        actual = GOLD / "actual"
        actual.mkdir(exist_ok=True)
        small.save(actual / f"{name}.png")
        ImageOps.invert(difference.convert("L")).save(actual / f"{name}-difference.png")
        pytest.fail(
            f"{name}: {(off > DIFFERENT).mean():.2%} of the dots are different, "
            f"mean {off.mean():.2f}; look into tests/gold/actual/ and read tests/gold/README.md"
        )


def test_a_shelf_of_24_on_a4(tmp_path: Path) -> None:
    lightnesses = [66.4, 63.9, *spread(22)]
    (page,) = page_images(draw_sheet(shelf(tmp_path, lightnesses, Paper.A4)))
    compare("shelf-of-24-a4", page)


def test_five_fabrics_on_letter(tmp_path: Path) -> None:
    lightnesses = [66.4, 63.9, 88.0, 31.0, 52.0]
    (page,) = page_images(draw_sheet(shelf(tmp_path, lightnesses, Paper.LETTER)))
    compare("five-fabrics-letter", page)


def test_the_comparison_notices_what_a_person_would(tmp_path: Path) -> None:
    """The tolerance is no free pass: a frame gone from one swatch is found."""
    if os.environ.get(ACCEPT) == "1":
        return
    sheet = shelf(tmp_path, [66.4, 63.9, 88.0, 31.0, 52.0], Paper.LETTER)
    plain = [dataclasses.replace(one, weak=False) for one in sheet.entries]
    (page,) = page_images(draw_sheet(dataclasses.replace(sheet, entries=plain)))
    with pytest.raises(pytest.fail.Exception, match="five-fabrics-letter"):
        compare("five-fabrics-letter", page)
    (GOLD / "actual" / "five-fabrics-letter.png").unlink()
    (GOLD / "actual" / "five-fabrics-letter-difference.png").unlink()
