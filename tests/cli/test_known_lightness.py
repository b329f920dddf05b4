"""Cloth of known lightness, photographed, logged, ranked and judged: all on the command line."""

from pathlib import Path

import pytest

from tests.cli.patches import crop_of, line_up, photo_of
from tests.cli.terminal import Terminal

# Luminance of Munsell value 1 to 9 by the polynomial of ASTM D1535, then L* by CIE 1976.
MUNSELL = [10.41, 20.24, 30.38, 40.74, 51.00, 61.05, 70.86, 80.53, 90.18]
# The neutral row of the 24-patch chart, L* (D50) as its maker publishes it since November 2014.
NEUTRAL_ROW = [95.19, 81.29, 66.89, 50.76, 35.63, 20.64]


@pytest.mark.parametrize(("value", "lightness"), list(enumerate(MUNSELL, start=1)))
def test_a_munsell_value_is_read_from_a_photo(run: Terminal, value: int, lightness: float) -> None:
    photo_of(Path("grey.png"), lightness)
    added = run.json("add --size 'fat quarter' --photo grey.png")
    assert added["reading"]["lightness"] == pytest.approx(lightness, abs=0.02)
    shown = run.json("show A1")["reading"]
    assert shown == added["reading"]
    assert shown["value"] == ("dark" if value <= 3 else "light" if value >= 7 else "medium")


@pytest.mark.parametrize("lightness", NEUTRAL_ROW)
def test_a_neutral_of_the_chart_is_read_from_a_jpeg(run: Terminal, lightness: float) -> None:
    photo_of(Path("grey.jpg"), lightness)
    reading = run.json("add --size 'fat quarter' --photo grey.jpg")["reading"]
    assert reading["lightness"] == pytest.approx(lightness, abs=0.3)
    # Neutral: JPEG keeps grey as grey.
    assert abs(reading["a"]) < 0.1 and abs(reading["b"]) < 0.1
    assert reading["colour_family"] in {"white", "grey", "black"}


def test_the_row_of_the_chart_is_read_from_one_photo(run: Terminal) -> None:
    line_up(Path("chart.png"), *NEUTRAL_ROW)
    Path("sizes.csv").write_text(
        "photo,size,name,crop\n"
        + "".join(
            f'chart.png,10 x 10,N{place},"{crop_of(place, 6)}"\n' for place in range(6)
        )
    )  # fmt: skip
    run("intake . --sizes sizes.csv")
    pieces = run.json("sort")["pieces"]
    assert [piece["name"] for piece in pieces] == ["N0", "N1", "N2", "N3", "N4", "N5"]
    read = [piece["lightness"] for piece in pieces]
    assert read == pytest.approx(NEUTRAL_ROW, abs=0.05)


def test_munsell_values_fall_into_the_bands(run: Terminal) -> None:
    for value, lightness in enumerate(MUNSELL, start=1):
        photo_of(Path(f"Value-{value}v.png"), lightness)
    run("intake . --size '10 x 10'")
    sorted_ = run.json("sort")
    values = {piece["name"]: piece["value"] for piece in sorted_["pieces"]}
    # Dark below 40, light from 65 (ours): value 4 is L* 40.74, value 7 is 70.86.
    assert [values[f"Value {value}v"] for value in range(1, 10)] == (
        ["dark"] * 3 + ["medium"] * 3 + ["light"] * 3
    )
    gaps = [judged["gap"] for judged in sorted_["contrast"]]
    assert gaps == pytest.approx([70.86 - 61.05, 40.74 - 30.38], abs=0.04)


# A typed lightness is good to ±2, so a difference to U = √8 = 2.83 (cloth.reading, ours).
# The rule of the design: gap < 5 weak; else by gap − U: < 5 cannot tell, < 10 fair, < 20 clear,
# else strong. So the limits of the gap are 5, 7.83, 12.83, 22.83.
VERDICTS = [
    (-4.0, "weak"), (0.0, "weak"), (4.99, "weak"),
    (5.0, "cannot tell"), (7.8, "cannot tell"), (7.9, "fair"),
    (12.8, "fair"), (12.9, "clear"), (22.8, "clear"), (22.9, "strong"),
]  # fmt: skip


def test_the_verdict_follows_the_rule(run: Terminal, subtests: pytest.Subtests) -> None:
    """The shelf.

    | name  | lightness |
    | Sky   | 90        |
    | Slate | 50        |
    | Soot  | 10        |
    """
    for gap, verdict in VERDICTS:
        with subtests.test(gap=gap):
            run("lightness A1", f"{50 + gap:.2f}")
            first, second = run.json("contrast A1 A2 A3")["contrast"]
            assert first["gap"] == pytest.approx(gap)
            assert first["uncertainty"] == pytest.approx(8**0.5)
            assert first["verdict"] == verdict
            assert (second["gap"], second["verdict"]) == (pytest.approx(40), "strong")


@pytest.mark.parametrize(
    ("gap", "verdict"),
    # Inside one photo a difference is good to U = 6.4 × √2 = 9.05 (notes on real photos: ±9).
    [(4.9, "weak"), (13.9, "cannot tell"), (14.2, "fair"), (19.2, "clear"), (29.2, "strong")],
)
def test_what_one_photo_shows_of_both_cancels(run: Terminal, gap: float, verdict: str) -> None:
    line_up(Path("both.png"), 50 + gap, 50)
    for place, name in enumerate(("Sky", "Slate")):
        run(f"add {name} --size fq --photo both.png --crop {crop_of(place, 2)}")
    judged = run.json("contrast A1 A2")["contrast"][0]
    assert judged["gap"] == pytest.approx(gap, abs=0.05)
    assert judged["uncertainty"] == pytest.approx(9.05, abs=0.01)
    assert judged["verdict"] == verdict


def test_two_lone_photos_cannot_tell_what_a_line_up_can(run: Terminal) -> None:
    photo_of(Path("sky.png"), 75)
    photo_of(Path("slate.png"), 45)
    run("add Sky --size fq --photo sky.png")
    run("add Slate --size fq --photo slate.png")
    alone = run.json("contrast A1 A2")["contrast"][0]
    # Each ±25 (own 6.4, photo 24.2): √2 × 25.03 = 35.4.
    assert alone["uncertainty"] == pytest.approx(35.4, abs=0.01)
    assert alone["verdict"] == "cannot tell"
    line_up(Path("both.png"), 75, 45)
    run(f"photo A1 both.png --crop {crop_of(0, 2)}")
    run(f"photo A2 both.png --crop {crop_of(1, 2)}")
    together = run.json("contrast A1 A2")["contrast"][0]
    assert together["uncertainty"] == pytest.approx(9.05, abs=0.01)
    assert together["verdict"] == "strong"


# Luminance factor Y of the neutral row of the 24-patch chart (colour-science, "ColorChecker 2005"),
# in percent, and the L* its maker published for the same row (typed from memory of that sheet).
PUBLISHED = [
    (91.31, 96.539),
    (58.94, 81.257),
    (36.32, 66.766),
    (19.15, 50.867),
    (8.83, 35.656),
    (3.11, 20.461),
]


@pytest.mark.parametrize(("percent", "lightness"), PUBLISHED)
def test_a_light_reflectance_value_is_turned_into_lightness(
    run: Terminal, percent: float, lightness: float
) -> None:
    run("add Moss --size 'fat quarter'")
    run(f"lightness A1 --lrv {percent}")
    reading = run.json("show A1")["reading"]
    assert reading["lightness"] == pytest.approx(lightness, abs=0.06)
    assert (reading["method"], reading["provisional"]) == ("reflectance", False)


@pytest.mark.parametrize(
    "typed",
    [
        "'LRV 22'",
        "lrv22",
        "'22 LRV'",
        "LRV=22",
        "'LRV 22 %'",
        "--lrv 22",
        "--lrv 22%",
        "--lrv 22,0",
    ],
)
def test_a_reflectance_is_typed_as_people_write_it(run: Terminal, typed: str) -> None:
    run("add Moss --size 'fat quarter'")
    assert "lightness 54.0, by its light reflectance value" in run(f"lightness A1 {typed}")


def test_a_whole_percent_says_less_of_dark_cloth(run: Terminal) -> None:
    run("add Moss --size 'fat quarter'")
    run("lightness A1 'LRV 2'")
    assert run.json("show A1")["reading"]["uncertainty"] == pytest.approx(3.2, abs=0.2)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("lightness A1 'LRV 140'", "140 is not a light reflectance value"),
        ("lightness A1 --lrv much", "is not a light reflectance value"),
        ("lightness A1 54 --lrv 22", "Give either a lightness or a light reflectance value"),
        ("lightness A1", "Give either a lightness or a light reflectance value"),
    ],
)
def test_what_is_no_reflectance_is_told(run: Terminal, words: str, told: str) -> None:
    run("add Moss --size 'fat quarter'")
    assert told in run.refused(words)


def test_a_reflectance_can_be_typed_with_a_new_piece(run: Terminal) -> None:
    added = run.json("add Moss --size 'fat quarter' --lightness 'LRV 22'")
    assert added["reading"]["method"] == "reflectance"
