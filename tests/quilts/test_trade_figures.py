"""Figures that quilters have printed, and definitions: the room must give the same.

Each row names its page. Where a chart and exact geometry differ, both figures are checked.
"""

from fractions import Fraction

import pytest

from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.backing import SeamDirection, backings
from stashkeeper.quilts.beds import bed, cover
from stashkeeper.quilts.binding import Join, bias_length, bias_square, straight_binding
from stashkeeper.quilts.borders import Border, Corner, border_cuts
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout_library import traditional_layout
from stashkeeper.quilts.quilt import Quilt, finished_size, unfinished_size
from stashkeeper.quilts.setting import corner_square, side_square
from stashkeeper.quilts.sewing import Finish, Sewing
from stashkeeper.quilts.units import (
    flying_geese,
    half_square,
    quarter_square,
)
from stashkeeper.quilts.yardage import (
    EIGHTH_YARD,
    fat_quarters_in_yards,
    length_of_yards,
    metres,
    yards,
)

EXACT = Sewing(finish=Finish.EXACT)
TRIMMED = Sewing()
METRIC = Sewing.in_measure(Measure.CENTIMETRES, Finish.EXACT)


def inches(number: str) -> Length:
    """Return a length from inches such as `3 7/8`."""
    return Length.from_inches(sum(Fraction(part) for part in number.split()))


def centimetres(number: str) -> Length:
    """Return a length from centimetres."""
    return Length.from_millimetres(Fraction(number) * 10)


@pytest.mark.parametrize(
    ("finished", "cut"),
    [
        ("3", "3 7/8"),  # "Quilt Blocks: Easy Math, Part 4", quiltmaker.com, April 2013
        ("2", "2 7/8"),  # "How to measure and cut triangles", grannymaudsgirl.wordpress.com, 2018
        ("6", "6 7/8"),  # "Do the Math", ourthankfulday.com, 22 February 2011
    ],
)
def test_half_square_triangles_two_at_a_time(finished: str, cut: str) -> None:
    side = half_square(inches(finished), EXACT)
    assert side.cut == side.printed == inches(cut)


def test_half_square_triangles_cut_large_and_trimmed() -> None:
    """Finished 5 in: cut 6 in, trim to 5½ in (common practice)."""
    side = half_square(inches("5"), TRIMMED)
    assert side.cut == inches("6")
    assert side.trim_to == inches("5 1/2")


def test_half_square_triangles_four_at_a_time() -> None:
    """Finished 3 in: 5.450 in exactly, so 5½ in (geometry: unfinished × √2 + ½)."""
    side = half_square(inches("3"), EXACT, at_once=4)
    assert side.cut == inches("5 1/2")
    assert float(side.exact.inches) == pytest.approx(5.450, abs=0.001)


@pytest.mark.parametrize(("finished", "cut"), [("2 1/2", "6 3/4"), ("2", "5 3/4")])
def test_half_square_triangles_eight_at_a_time(finished: str, cut: str) -> None:
    """Eight at once: 2 × finished + 1¾ (mesquitequiltguildinc.com)."""
    side = half_square(inches(finished), EXACT, at_once=8)
    assert side.cut == side.printed == inches(cut)


def test_quarter_square_triangles() -> None:
    """Finished 6 in: cut 7¼ in ("Do the Math", ourthankfulday.com, 2011)."""
    side = quarter_square(inches("6"), EXACT)
    assert side.cut == side.printed == inches("7 1/4")


@pytest.mark.parametrize(
    ("width", "large", "small"),
    [
        ("8", "9 1/4", "4 7/8"),  # fast flying geese, members.shaw.ca/beverlysquiltingpage
        ("6", "7 1/4", "3 7/8"),  # same table
        ("4", "5 1/4", "2 7/8"),  # flying geese unit chart, alinequilts.blogspot.com, March 2011
        ("3", "4 1/4", "2 3/8"),  # method three, livinginstitches.blogspot.com, September 2009
    ],
)
def test_flying_geese_four_at_a_time(width: str, large: str, small: str) -> None:
    cuts = flying_geese(inches(width), EXACT)
    assert cuts.goose == Size(inches(large), inches(large))
    assert cuts.sky == inches(small)
    assert (cuts.units, cuts.sky_squares) == (4, 4)


def test_metric_triangles_by_the_printed_rule_and_exactly() -> None:
    """Geese 10 × 5 cm: 13.5 and 7.5 cm ("Metric Flying Geese", weednstitch.blogspot.com, 2012).

    With the 7.5 mm seam of that page, exact geometry needs 13.621 and 7.561 cm.
    """
    goose, sky = quarter_square(centimetres("10"), METRIC), half_square(centimetres("5"), METRIC)
    assert (goose.printed, sky.printed) == (centimetres("13.5"), centimetres("7.5"))
    assert (goose.cut, sky.cut) == (centimetres("13.7"), centimetres("7.6"))
    assert METRIC.cut(centimetres("10")) == centimetres("11.5")  # same page: + 1.5 cm


@pytest.mark.parametrize(
    ("block", "side", "corner"),
    [
        # Printed chart of christaquilts.com/quilty-math.
        ("6", "9 3/4", "5 1/8"),
        ("8", "12 5/8", "6 5/8"),
        ("10", "15 1/2", "8"),
    ],
)
def test_setting_triangles_by_the_printed_rule(block: str, side: str, corner: str) -> None:
    assert side_square(inches(block), EXACT).printed == inches(side)
    assert corner_square(inches(block), EXACT).printed == inches(corner)


def test_setting_triangles_by_exact_geometry() -> None:
    """A 10 in block: 15.349 in, so 15⅜ does where the chart prints 15½."""
    side = side_square(inches("10"), EXACT)
    assert side.cut == inches("15 3/8")
    assert float(side.exact.inches) == pytest.approx(15.349, abs=0.001)


@pytest.mark.parametrize(
    ("block", "corner"),
    [
        ("12", "9 3/8"),  # "Block on point", pinemeadowsdesigns.com, Sewing Hints
        ("3 1/2", "3 3/8"),  # geometry: block / √2 + ⅞; the chart of christaquilts.com prints 3½
    ],
)
def test_corner_triangles(block: str, corner: str) -> None:
    square = corner_square(inches(block), EXACT)
    assert square.cut == square.printed == inches(corner)


def test_binding_with_straight_joins_ignored() -> None:
    """40 × 50 in, 42 in wide, 3½ in strips: 180 / 42 = 4.29, so 5 strips, 17½ in of fabric.

    "Measuring for Binding", cottonpatchfabrics.com; no tail.
    """
    quilt = Size(inches("40"), inches("50"))
    binding = straight_binding(quilt, inches("42"), inches("3 1/2"), Join.IGNORED, tail=Length(0))
    assert (binding.strips, binding.fabric) == (5, inches("17 1/2"))


def test_binding_and_what_diagonal_joins_eat() -> None:
    """60 × 72 in + 10 in: 7 strips by the printed rule (christaquilts.com), 8 by geometry.

    Each diagonal join takes a strip width of 2½ in, so 7 strips of 40 in give 265 in of the 274.
    """
    quilt = Size(inches("60"), inches("72"))
    binding = straight_binding(quilt, inches("40"), inches("2 1/2"))
    assert binding.needed == inches("274")
    assert (binding.printed_strips, binding.strips) == (7, 8)
    assert inches("40") * 7 - inches("2 1/2") * 6 == inches("265")
    assert binding.made == inches("40") * 8 - inches("2 1/2") * 7


def test_bias_binding() -> None:
    """Thread "Make Any Border Fit", quiltingboard.com: area / width; √500 = 22.36, so 23 in."""
    assert bias_length(inches("20"), inches("2")) == inches("200")
    assert bias_square(inches("250"), inches("2"), mark=inches("1")) == inches("23")


def test_yards_and_metres() -> None:
    """An eighth of a yard is 4½ in, five eighths 22½ in (definition: a yard is 36 in)."""
    assert inches("4 1/2") == EIGHTH_YARD == length_of_yards(Fraction(1, 8))
    assert length_of_yards(Fraction(5, 8)) == inches("22 1/2")
    assert yards(inches("22 1/2")) == Fraction(5, 8)
    assert yards(inches("22 1/2") + Length(1)) == Fraction(6, 8)
    assert metres(Length.from_millimetres(601)) == Fraction(7, 10)


def test_fat_quarters_by_area() -> None:
    """Six fat quarters are a yard and a half (common practice)."""
    assert fat_quarters_in_yards(6) == Fraction(3, 2)


def test_bed_cover() -> None:
    """A US queen, 60 × 80 in (thesprucecrafts.com), 12 in on both sides and the foot: geometry."""
    assert cover(bed("Queen"), inches("12")) == Size(inches("84"), inches("92"))


def test_quilt_top() -> None:
    """7 × 9 units of 6 in are 42½ × 54½ in unfinished, quarter-inch seams (common practice)."""
    quilt = Quilt(grown(traditional_layout("checkerboard"), 7, 9), inches("6"))
    assert finished_size(quilt) == Size(inches("42"), inches("54"))
    assert unfinished_size(quilt) == Size(inches("42 1/2"), inches("54 1/2"))


def test_mitred_border() -> None:
    """40 in and a 5 in border: printed 56 in ("How to Miter Borders", allpeoplequilt.com).

    Exactly 40 + 10 + ½(1 + √2) = 51.207 in.
    """
    border = Border("frame", inches("5"), corner=Corner.MITRED)
    cuts = border_cuts(Size(inches("40"), inches("40")), border, EXACT)
    assert cuts.printed_sides == inches("56")
    assert cuts.sides.length == inches("51 1/4")


def test_backing_with_horizontal_seams() -> None:
    """A backing of 80 × 56 in from 40 in: 2 widths of 56 in, 112 in by the printed rule.

    Thread "Mathematically Challenged", quiltingboard.com. With half-inch seams two widths are
    79 in (geometry), so it takes three; without seams the printed rule comes out.
    """
    size = Size(inches("56"), inches("80"))
    printed = backings(size, inches("40"), overhang=Length(0), seam=Length(0))[1]
    assert (printed.panels, printed.fabric) == (2, inches("112"))
    assert printed.seams is SeamDirection.HORIZONTAL
    assert backings(size, inches("40"), overhang=Length(0))[1].panels == 3
