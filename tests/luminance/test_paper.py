"""White paper or a grey card: it sets brightness and colour of light right, and is called weak."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from stashkeeper.errors import BadReferenceError
from stashkeeper.luminance.calibrate import recalibrated
from stashkeeper.luminance.chart import read_chart
from stashkeeper.luminance.chart_grid import patch_squares
from stashkeeper.luminance.chart_reference import reference_lightness
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.paper import read_paper
from stashkeeper.luminance.patches import stored_points, upright_fractions
from stashkeeper.luminance.referenced import paper_reading
from stashkeeper.luminance.region import Crop
from tests.luminance.made import cie_lightness, photo_of, srgb_light

PAPER = Crop(0.55, 0.1, 0.95, 0.9)
CLOTH = Crop(0.05, 0.1, 0.45, 0.9)


def halves(cloth: tuple[int, int, int], paper: tuple[int, int, int]) -> Photo:
    """Return a photo of cloth, left, and paper, right."""
    picture = Image.new("RGB", (200, 120), cloth)
    picture.paste(paper, (100, 0, 200, 120))
    return photo_of(picture)


def test_without_a_tone_curve_it_is_exact() -> None:
    # Half the light, warm: paper of L* 94 (Y by CIE 15) came out as sRGB 176, 170, 160.
    photo = halves((120, 116, 108), (176, 170, 160))
    found = recalibrated(measure(photo, CLOTH), read_paper(photo, PAPER, 94.0))
    row = (0.2126, 0.7152, 0.0722)
    light, paper = (
        sum(part * srgb_light(code) for part, code in zip(row, codes, strict=True))
        for codes in ((120, 116, 108), (176, 170, 160))
    )
    assert found.lightness == pytest.approx(
        cie_lightness(light / paper * ((94 + 16) / 116) ** 3), abs=0.3
    )
    assert found.chroma < 1.5


def test_a_reading_beside_it_is_provisional_and_wide() -> None:
    photo = halves((120, 116, 108), (176, 170, 160))
    keys = ("region:1", "photo:1")
    reading = paper_reading(measure(photo, CLOTH), read_paper(photo, PAPER, 94.0), keys)
    assert reading.provisional
    assert 12 <= reading.uncertainty < 25


def test_on_a_real_photo_the_uncertainty_holds_the_errors(check_photos: Path) -> None:
    photo = open_photo(check_photos / "chart24_real.png")
    given = np.array([(0.02, 0.0), (0.95, 0.0), (0.95, 0.99), (0.02, 0.99)])
    corners = stored_points(photo, read_chart(photo, given).corners)
    parts = []
    for square in patch_squares(corners, 0.25):
        where = upright_fractions(photo, square)
        (left, top), (right, bottom) = where.min(axis=0).tolist(), where.max(axis=0).tolist()
        parts.append(Crop(left, top, right, bottom))
    white = read_paper(photo, parts[18], float(reference_lightness()[18]))
    readings = [paper_reading(measure(photo, part), white, ("a", "b")) for part in parts[:18]]
    errors = np.abs(
        np.array([reading.lightness for reading in readings]) - reference_lightness()[:18]
    )
    assert (errors <= readings[0].uncertainty).mean() >= 0.9


@pytest.mark.parametrize(
    ("paper", "where", "lightness", "problem"),
    [
        ((255, 255, 255), PAPER, 94.0, "burnt out"),
        ((200, 200, 200), Crop(0.3, 0.1, 0.8, 0.9), 94.0, "not even"),
        ((200, 200, 200), Crop(0.6, 0.5, 0.605, 0.505), 94.0, "too small"),
        ((200, 200, 200), PAPER, 1.0, "too dark"),
    ],
)
def test_what_is_of_no_use_is_refused(
    paper: tuple[int, int, int], where: Crop, lightness: float, problem: str
) -> None:
    with pytest.raises(BadReferenceError, match=problem):
        read_paper(halves((60, 60, 60), paper), where, lightness)
