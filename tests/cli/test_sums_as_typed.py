"""Sums as a person types them: sizes without quotation marks, beds by any name, long cuts."""

import re

import pytest

from stashkeeper.cli.typed_sizes import sizes_together
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.beds import bed
from tests.cli.terminal import Terminal


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("sashing 12 in --columns 4 --rows 5 --sash 2 in", "finished +54 × 68 in"),
        ("binding 40 x 50 --strip-width 3 1/2 --fabric-width 42 --join ignored --tail 0",
         "to cut +5 +3½ × 42 in"),  # cottonpatchfabrics.com, "Measuring for Binding"
        ("how-many --cut 2 1/2 18 x 22", "cuts +56 "),  # piecefulliving.blogspot.com, 2011
        ("how-many 18 x 22 --cut 2 1/2 in", "cuts +56 "),
        ("how-many 36 x 44 --cut 3 x 5", "from 36 × 44 in"),
        ("strip-set 1 1/2 in 2 in 1 1/2 --segment 2 in --count 20", "1½ in . 2 in . 1½ in fini"),
        ("borders 40 x 50 --border 2 in --border 4 in", "finished +52 × 62 in"),
    ],
)  # fmt: skip
def test_a_size_in_an_option_needs_no_quotes_either(
    run: Terminal, words: str, expected: str
) -> None:
    assert re.search(expected, run(f"sums {words}"))


def test_only_the_words_of_one_size_go_together() -> None:
    words = ["1", "1/2", "in", "2", "3", "x", "5", "cm", "40", "8", "by", "9", "long"]
    assert sizes_together(words) == ["1 1/2 in", "2", "3 x 5 cm", "40", "8 by 9", "long"]


def test_a_comma_between_inches_may_be_one_length_or_two(run: Terminal) -> None:
    said = run.refused("sums borders 40 --border 2,4")
    assert "“2,4” may be one length or two." in said and "Type “2; 4” for two" in said
    assert "Borders of 2.5 cm" in run("sums borders 40 --border 2,5 --measure cm")
    assert "Several go with semicolons" in run.refused("sums borders 40 --border '2 4'")


@pytest.mark.parametrize(
    ("name", "width", "length"),
    [
        # thesprucecrafts.com/standard-mattress-sizes-4145709
        ("long twin", 39, 80),
        # "Twin XL 39 x 80", "Full 54 x 75 (Double)": shopbedding.com, "Conventional Mattress Sizes"
        ("Twin XL", 39, 80),
        ("double", 54, 75),
        ("King-size bed", 76, 80),
        # "Twin Mattress Size (Single)": sewwhatquiltshop.blogspot.com, September 2010
        ("single", 39, 75),
    ],
)
def test_a_bed_goes_by_its_names_in_the_trade(name: str, width: int, length: int) -> None:
    assert bed(name) == Size(Length.from_inches(width), Length.from_inches(length))


def test_an_unknown_bed_is_told_which_there_are(run: Terminal) -> None:
    assert "Type one of crib, twin, long twin" in run.refused("sums bed sofa")


def test_a_cut_longer_than_the_fabric_is_wide_goes_along_it(run: Terminal) -> None:
    """A strip 40 in wide and 50 in high gives one cut of 30 × 50 in (geometry)."""
    for cut in ("50 x 30", "30 x 50"):
        assert re.search(
            r"strips of cloth +2 +40 × 50 in each", run(f"sums yardage {cut} --count 2")
        )
    assert "40 × 60½ in each" in run("sums patch 60 x 3 --count 4")
    assert "It is wider than the fabric, 40 in: join cloth." in run("sums patch 50 x 60")


def test_a_size_beside_the_ruler_marks_is_told_as_it_is(run: Terminal) -> None:
    """10 cm are 3.937 in (an inch is 25.4 mm, definition of 1959)."""
    said = run("sums patch 10 cm")
    assert "a patch of 3.937 × 3.937 in, finished" in said
    assert re.search(r"finished +3.937 × 3.937 in ", said)
    assert "of 3.15 in finished" in run("sums half-square 8 cm")
