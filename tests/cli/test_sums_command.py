"""Quilt arithmetic on the command line, against figures that quilters have printed.

Each row names its page; it is the same page as in tests/quilts/test_trade_figures.py.
"""

import json
import re
import shlex
from pathlib import Path

import pytest

from stashkeeper.actions.sums import SUMS, work_out
from stashkeeper.lengths.length import Measure
from stashkeeper.settings.settings import usual_settings
from tests.cli.terminal import Terminal

SOURCES = {
    "piecefulliving": "piecefulliving.blogspot.com, 13 August 2011",
    "docsbay": "yardage chart for 44 in fabric, docsbay.net (cautious counts); geometry",
    "quiltmaker": "“Quilt Blocks: Easy Math, Part 4”, quiltmaker.com, April 2013",
    "granny": "grannymaudsgirl.wordpress.com, 11 June 2018",
    "ourthankfulday": "“Do the Math”, ourthankfulday.com, 22 February 2011",
    "mesquite": "mesquitequiltguildinc.com: 2 × finished + 1¾",
    "beverly": "fast flying geese table, members.shaw.ca/beverlysquiltingpage",
    "aline": "flying geese unit chart, alinequilts.blogspot.com, March 2011",
    "livinginstitches": "method three, livinginstitches.blogspot.com, September 2009",
    "pinemeadows": "“Block on point”, pinemeadowsdesigns.com",
    "christa": "christaquilts.com/quilty-math",
    "cottonpatch": "“Measuring for Binding”, cottonpatchfabrics.com",
    "quiltingboard": "“Make Any Border Fit”, quiltingboard.com",
    "spruce": "thesprucecrafts.com/standard-mattress-sizes; the drop is geometry",
    "allpeoplequilt": "“How to Miter Borders on a Quilt”, allpeoplequilt.com",
    "weednstitch": "“Metric Flying Geese”, weednstitch.blogspot.com, 2012",
    "geometry": "geometry",
    "common": "common practice",
    "definition": "definition",
}

EXACT = "--finish exact"


def ask(words: str) -> dict[str, str]:
    """Return the rows of a sum by what they are; typed as on the command line, but quicker."""
    name, *typed = shlex.split(words)
    fields = {"": list[str]()}
    option = ""
    for word in typed:
        option = word.removeprefix("--") if word.startswith("--") else option
        fields.setdefault(option, []).extend([] if word.startswith("--") else [word])
    measure = Measure.CENTIMETRES if fields.pop("measure", None) else Measure.INCHES
    first = " ".join(fields.pop(""))
    given = {option: " ".join(said) for option, said in fields.items()}
    given |= {SUMS[name].fields[0].name: first} if first else {}
    worked = work_out(name, given, usual_settings(Path("stash"), measure))
    return {row.what: row.shown for row in worked.rows}


@pytest.mark.parametrize(
    ("words", "expected", "source"),
    [
        ("how-many '18 x 22' --cut 2", {"cuts": "99"}, "piecefulliving"),
        ("how-many '18 x 22' --cut '2 1/2'", {"cuts": "56"}, "piecefulliving"),
        ("how-many '18 x 22' --cut 3", {"cuts": "42"}, "piecefulliving"),
        ("how-many '18 x 22' --cut '3 1/2'", {"cuts": "30"}, "piecefulliving"),
        ("how-many '18 x 22' --cut '4 1/2'", {"cuts": "16"}, "piecefulliving"),
        ("how-many '18 x 22' --cut 5", {"cuts": "12"}, "piecefulliving"),
        ("how-many '18 x 22' --cut 6", {"cuts": "9"}, "piecefulliving"),
        ("how-many '18 x 22' --cut '6 1/2'", {"cuts": "6"}, "piecefulliving"),
        ("how-many '36 x 44' --cut '2 1/2'", {"cuts": "238"}, "docsbay"),
        ("how-many '36 x 44' --cut '4 1/2'", {"cuts": "72"}, "docsbay"),
        ("how-many '36 x 44' --cut '6 1/2'", {"cuts": "30"}, "docsbay"),
        (f"half-square 3in {EXACT}", {"square to cut": "3⅞ in"}, "quiltmaker"),
        (f"half-square 2in {EXACT}", {"square to cut": "2⅞ in"}, "granny"),
        (f"half-square 6in {EXACT}", {"square to cut": "6⅞ in"}, "ourthankfulday"),
        (
            "half-square 5in",
            {"square to cut": "6 in", "trim each unit to": "5½ in"},
            "common",
        ),
        (
            f"half-square 3in --at-once 4 {EXACT}",
            {"square to cut": "5½ in", "by geometry": "5.45 in"},
            "geometry",
        ),
        (f"half-square 2.5 --at-once 8 {EXACT}", {"square to cut": "6¾ in"}, "mesquite"),
        (f"half-square 2 --at-once 8 {EXACT}", {"square to cut": "5¾ in"}, "mesquite"),
        (f"quarter-square 6in {EXACT}", {"square to cut": "7¼ in"}, "ourthankfulday"),
        (
            f"flying-geese '8 x 4' {EXACT}",
            {"large square to cut": "9¼ × 9¼ in", "small square to cut": "4⅞ × 4⅞ in"},
            "beverly",
        ),
        (
            f"flying-geese 6 x 3 {EXACT}",
            {"large square to cut": "7¼ × 7¼ in", "small square to cut": "3⅞ × 3⅞ in"},
            "beverly",
        ),
        (
            f"flying-geese 4in {EXACT}",
            {"large square to cut": "5¼ × 5¼ in", "small square to cut": "2⅞ × 2⅞ in"},
            "aline",
        ),
        (
            f"flying-geese 3in {EXACT}",
            {"large square to cut": "4¼ × 4¼ in", "small square to cut": "2⅜ × 2⅜ in"},
            "livinginstitches",
        ),
        (
            f"flying-geese 10 --measure cm {EXACT}",
            {
                "large square, by the printed rule": "13.5 cm",
                "small square, by the printed rule": "7.5 cm",
                "large square to cut": "13.7 × 13.7 cm",
            },
            "weednstitch",
        ),
        ("on-point 12", {"corner square, by the printed rule": "9⅜ in"}, "pinemeadows"),
        (
            "on-point 6",
            {
                "side square, by the printed rule": "9¾ in",
                "corner square, by the printed rule": "5⅛ in",
            },
            "christa",
        ),
        (
            "on-point 8",
            {
                "side square, by the printed rule": "12⅝ in",
                "corner square, by the printed rule": "6⅝ in",
            },
            "christa",
        ),
        (
            "on-point 10",
            {
                "side square, by the printed rule": "15½ in",
                "side square to cut": "15⅜ in",
                "side square, by geometry": "15.349 in",
                "corner square to cut": "8 in",
            },
            "christa",
        ),
        ("on-point '3 1/2'", {"corner square to cut": "3⅜ in"}, "geometry"),
        (
            "binding '40 x 50' --fabric-width 42 --strip-width 3.5 --join ignored --tail 0",
            {"strips to cut": "5", "fabric": "17½ in"},
            "cottonpatch",
        ),
        (
            "binding '60 x 72'",
            {
                "binding needed": "274 in",
                "strips by the printed rule": "7",
                "strips to cut": "8",
                "eaten by the joins": "17½ in",
            },
            "christa",
        ),
        (
            "bias-binding --square 20 --strip-width 2",
            {"by the printed rule": "200 in"},
            "quiltingboard",
        ),
        (
            "bias-binding --length 250in --strip-width 2",
            {"the same, rounded up": "23 in"},
            "quiltingboard",
        ),
        ("yards '1/8 yd'", {"in inches": "4.5 in"}, "definition"),
        ("yards '5/8 yd'", {"in inches": "22.5 in", "ask for": "⅝ yd"}, "definition"),
        ("bed queen --drop 12", {"finished": "84 × 92 in"}, "spruce"),
        ("top 6 --columns 7 --rows 9", {"unfinished": "42½ × 54½ in"}, "common"),
        ("fat-quarters 6", {"by area": "1½ yd"}, "common"),
        (
            "borders 40 --border 5 --corner mitred",
            {"left and right, printed rule": "56 in", "finished": "50 × 50 in"},
            "allpeoplequilt",
        ),
        ("patch '4 1/2' --given cut", {"finished": "4 × 4 in"}, "common"),
        ("patch '3 x 6'", {"cut": "3½ × 6½ in"}, "common"),
        ("batting '60 x 72'", {"batting": "68 × 80 in", "package": "twin"}, "common"),
        (
            f"from-squares '3 7/8' {EXACT}",
            {"half-square triangles, 2 at a time": "3 in"},
            "quiltmaker",
        ),
        (
            "from-squares 6",
            {"half-square triangles, 2 at a time": "5 in", "as it is": "5½ in"},
            "common",
        ),
        ("four-patch 6 --count 20", {"square to cut": "3½ in"}, "common"),
    ],
)
def test_figures_that_quilters_have_printed(
    words: str, expected: dict[str, str], source: str
) -> None:
    assert source in SOURCES
    told = ask(words)
    assert {what: told[what] for what in expected} == expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("flying-geese 6 x 3 --finish exact", "large square to cut +7¼ × 7¼ in"),
        ("borders 40 --border 2 --border '5 in' --corner mitred", "finished +54 × 54 in"),
        ("strip-set 1.5 '2 in' 1.5 --segment 2 --count 20", "strip 2 to cut +2½ in +2 of them"),
        ("on-point '3 1/2' --across 4 --down 5", "side triangles +14 +from 4 squares"),
        ("how-many fat quarter --cut 5", "cuts +12"),
    ],
)
def test_words_of_a_size_need_no_quotes(run: Terminal, words: str, expected: str) -> None:
    assert re.search(expected, run(f"sums {words}"))


def test_where_a_printed_rule_and_geometry_differ_both_are_told(run: Terminal) -> None:
    assert "15½ in by the printed rule are a little much" in run("sums on-point 10")
    short = run("sums half-square 5 --measure cm --finish exact")
    assert "7.5 cm by the printed rule are short: geometry needs 7.561 cm, so 7.6 cm." in short
    assert "it takes 8" in run("sums binding 60 x 72")


@pytest.mark.parametrize("name", SUMS)
def test_every_sum_says_what_it_asks_and_where_it_comes_from(run: Terminal, name: str) -> None:
    asked = SUMS[name]
    help_page = run(f"sums {name} --help")
    for field in asked.fields:
        assert field.about and field.label
        assert field.name in help_page or field.name.upper() in help_page
    assert asked.source.endswith(".") and asked.title and asked.about


def test_forty_triangles_are_twenty_pairs(run: Terminal) -> None:
    """Two at a time, 20 squares of each fabric; 40 in / 4 in = 10 squares a strip (geometry)."""
    said = run("sums half-square 3in --count 40")
    assert re.search(r"pairs of squares +20 +each makes 2", said)
    assert re.search(r"strips of cloth of each fabric +2 ", said)
    assert "Where it comes from: finished + ⅞ in" in said


def test_the_measure_is_the_setting_or_typed(run: Terminal) -> None:
    assert "3⅞ in" in run("sums half-square 3 --finish exact")
    assert "4.1 cm" in run("sums half-square 1.5 --finish exact --measure centimetres")
    run("settings measure centimetres")
    assert "4.1 cm" in run("sums half-square 1.5 --finish exact")
    assert "fabric" in run("sums binding '100 x 120' --fabric-width 110")


def test_unrounded_numbers_in_json(run: Terminal) -> None:
    said = json.loads(run("sums half-square 3in --finish exact --json"))
    cut = next(row for row in said["rows"] if row["what"] == "square to cut")
    assert cut["amount"] == {"inches": 3.875, "millimetres": 98.425}
    assert said["name"] == "half-square" and said["source"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("half-square abc", "Finished side: “abc” is not a length."),
        ("half-square 0", "“0” is nothing"),
        ("half-square -- -3in", "“-3in” is less than nothing"),
        ("half-square 3 x 4", "is a size, and one length is needed here"),
        ("half-square 3 --at-once 3", "Give one of: 2, 4, 8."),
        ("half-square 3 --count many", "“many” is no whole number"),
        ("half-square 3 --count -4", "-4 is no possible number of units."),
        ("half-square 3 --trim 1/4", "Cutting large adds less than the seams take."),
        ("half-square 3 --measure ells", "“ells” is not a measure."),
        ("half-square 3000", "is too long"),
        ("flying-geese 6x4", "are not twice as wide as high"),
        ("bed quen", "Did you mean “queen”?"),
        ("bias-binding", "was not said"),
        ("sashing 12 --columns 0 --rows 3 --sash 2", "0 is no possible number of blocks."),
        ("patch 1/2 --given cut", "is all seam"),
        ("yardage 50 --count 3", "A strip is too short for one cut."),
        ("from-squares 1/4", "is all seam"),
        ("borders 40 --border 0", "Borders: “0” is nothing"),
        ("strip-set 1 2 --segment 50 --count 2", "A strip is too short for one cut."),
    ],
)
def test_wrong_sizes_get_their_sentences(run: Terminal, words: str, said: str) -> None:
    assert said in run.refused(f"sums {words}")
