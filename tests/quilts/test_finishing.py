"""Borders from off-cuts, backing, batting, binding, beds and pressing."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.errors import BadSizeError, NotFoundError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.backing import SeamDirection, backing, backings
from stashkeeper.quilts.batting import smallest_package, with_overhang
from stashkeeper.quilts.beds import BEDS, bed, cover
from stashkeeper.quilts.binding import Join, bias_length, bias_square, straight_binding
from stashkeeper.quilts.borders import Border, border_cuts
from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.layout_library import traditional_layout
from stashkeeper.quilts.pieced_borders import PiecedBorder, widest_border
from stashkeeper.quilts.pressing import Way, row_pressing, unit_pressing
from stashkeeper.quilts.sewing import Sewing
from stashkeeper.quilts.yardage import length_for_cuts, metres, yards
from tests.quilts.drawn import INCH

laws = settings(deadline=None, max_examples=60)
sides = st.integers(8, 90 * 8).map(lambda eighths: Length(INCH.ticks * eighths // 8))
sizes = st.builds(Size, sides, sides)
SEWING = Sewing()


def size(width: str, length: str) -> Size:
    """Return a size in inches."""
    return Size(Length.from_inches(width), Length.from_inches(length))


def border_that_can_be_made(inside: Size, off_cuts: dict[str, Size], width: Length) -> bool:
    """Tell by plain counting whether off-cuts give a border of this finished width."""
    cut = SEWING.cut(width)
    cuts = border_cuts(inside, Border("x", width), SEWING)
    needed = 2 * cuts.sides.length.ticks + 2 * cuts.ends.width.ticks
    seams = SEWING.both_seams.ticks
    joined = seams
    for piece in off_cuts.values():
        along = piece.width.ticks // cut.ticks * (piece.length.ticks - seams)
        across = piece.length.ticks // cut.ticks * (piece.width.ticks - seams)
        joined += max(along, across, 0)
    return joined >= needed


@laws
@given(sizes, st.lists(sizes, max_size=8))
def test_a_pieced_border_is_the_widest_and_can_be_made(inside: Size, pieces: list[Size]) -> None:
    off_cuts = {f"O{number}": piece for number, piece in enumerate(pieces)}
    made = widest_border(inside, off_cuts, SEWING)
    if made is None:
        assert not border_that_can_be_made(inside, off_cuts, SEWING.mark)
        return
    assert border_that_can_be_made(inside, off_cuts, made.width)
    assert not border_that_can_be_made(inside, off_cuts, made.width + SEWING.mark)
    _strips_come_out_of_their_off_cuts(made, off_cuts)


def _strips_come_out_of_their_off_cuts(made: PiecedBorder, off_cuts: dict[str, Size]) -> None:
    total, count = 0, 0
    for strips in made.strips:
        piece = off_cuts[strips.off_cut].turned() if strips.across else off_cuts[strips.off_cut]
        assert strips.strip.width * strips.count <= piece.width
        assert strips.strip.length <= piece.length
        assert strips.strip.width >= SEWING.cut(made.width)
        total += strips.strip.length.ticks * strips.count
        count += strips.count
    assert made.joins == count - 1
    assert made.made.ticks == total - made.joins * SEWING.both_seams.ticks
    assert made.made >= made.needed


def test_a_pieced_border_by_hand() -> None:
    """Around 20 × 20 in, four off-cuts of 6½ × 30 in.

    At 3 in finished (3½ cut) each gives one strip; four give 120 − 1½ in of the 94 needed. At 6 in
    (6½ cut) the way is 2 × 20½ + 2 × 32½ = 106 in: still enough. At 6⅛ none comes out.
    """
    off_cuts = {name: size("13/2", "30") for name in "ABCD"}
    made = widest_border(size("20", "20"), off_cuts, SEWING)
    assert made is not None
    assert (made.width, made.joins) == (INCH * 6, 3)
    assert (made.needed, made.made) == (INCH * 106, Length.from_inches("237/2"))
    assert made.cuts.finished == size("32", "32")
    narrower = widest_border(size("20", "20"), off_cuts, SEWING, widest=INCH * 3)
    assert narrower is not None
    assert (narrower.width, len(narrower.strips)) == (INCH * 3, 4)


@laws
@given(sizes)
def test_backings_cover_the_top_and_its_overhang(top: Size) -> None:
    """With p panels of 40 in: 40p − (p − 1) in with half-inch seams; one fewer does not do."""
    best = backing(top)
    for made in backings(top):
        covered = made.size.length if made.seams is SeamDirection.HORIZONTAL else made.size.width
        if made.panels > 1:
            assert INCH * (40 * made.panels - made.panels + 1) >= covered
            assert INCH * (40 * (made.panels - 1) - made.panels + 2) < covered
        assert made.size == with_overhang(top) == size_plus(top, INCH * 8)
        assert best.fabric <= made.fabric == made.panel.length * made.panels


def size_plus(top: Size, more: Length) -> Size:
    """Return a size with both sides longer."""
    return Size(top.width + more, top.length + more)


def test_the_way_of_the_seams_follows_the_cloth() -> None:
    """60 × 72 in: 68 × 80 in; down, two panels of 80 in; across, three of 68 in, by hand."""
    made = backing(size("60", "72"))
    assert (made.panels, made.seams, made.fabric) == (2, SeamDirection.VERTICAL, INCH * 160)
    assert yards(made.fabric) == Fraction(9, 2)
    assert metres(made.fabric) == Fraction(41, 10)
    assert backing(size("32", "70")).seams is SeamDirection.NONE


def test_batting_packages() -> None:
    """39 × 54 in with 6 in more comes in 45 × 60, 80 × 88 in 90 × 108 (honeybegood.com, 2012).

    With our 8 in more the crib quilt goes up a size.
    """
    assert smallest_package(size("45", "60")) == "crib"
    assert smallest_package(with_overhang(size("39", "54"), INCH * 3)) == "crib"
    assert smallest_package(with_overhang(size("39", "54"))) == "twin"
    assert smallest_package(with_overhang(size("80", "88"))) == "queen"
    assert smallest_package(size("130", "130")) is None


@laws
@given(sizes, st.integers(20, 60).map(lambda n: INCH * n), st.sampled_from(Join))
def test_binding_strips_are_enough_and_none_too_many(
    quilt: Size, strip: Length, join: Join
) -> None:
    made = straight_binding(quilt, strip, join=join)
    lost = {Join.DIAGONAL: "5/2", Join.STRAIGHT: "1/2", Join.IGNORED: "0"}[join]
    one_less = strip * (made.strips - 1) - Length.from_inches(lost) * (made.strips - 2)
    assert made.made == strip * made.strips - made.eaten >= made.needed
    assert made.strips == 1 or one_less < made.needed
    assert made.printed_strips <= made.strips


@laws
@given(st.integers(50, 500), st.sampled_from(["2", "9/4", "5/2"]), st.sampled_from(Join))
def test_a_bias_square_gives_enough_and_one_mark_less_does_not(
    needed: int, width: str, join: Join
) -> None:
    strip, eighth = Length.from_inches(width), Length.from_inches("1/8")
    square = bias_square(INCH * needed, strip, eighth, join)
    assert bias_length(square, strip, join) >= INCH * needed
    if join is Join.IGNORED:
        assert bias_length(square - eighth, strip, join) < INCH * needed
    else:
        assert square >= bias_square(INCH * needed, strip, eighth)


def test_joins_eat_bias_binding() -> None:
    """20 in square, 2 in strips: 7 rows fit the 14.14 in of slant, each (20 − 1)√2 in: 188 in.

    200 in by area. (Geometry.)
    """
    assert float(bias_length(INCH * 20, INCH * 2, Join.STRAIGHT).inches) == pytest.approx(
        188.09, abs=0.01
    )
    assert bias_length(
        Length.from_inches("1/2"), Length.from_inches("1/4"), Join.DIAGONAL
    ) == Length(0)


def test_cloth_for_cuts_and_beds_with_tucks() -> None:
    """24 squares of 4½ in: 8 to a 40 in strip, three strips, 13½ in, by geometry."""
    assert length_for_cuts(size("9/2", "9/2"), 24, INCH * 40) == Length.from_inches("27/2")
    assert cover(bed("twin"), INCH * 10, foot=False, tuck=INCH * 8) == size("59", "83")
    assert bed("90 × 200 cm") == BEDS["90 x 200 cm"]


def test_bad_finishing_gets_a_sentence() -> None:
    with pytest.raises(NotFoundError, match="Did you mean “queen”"):
        bed("quen")
    with pytest.raises(BadSizeError, match="hang down"):
        cover(bed("queen"), -INCH)
    with pytest.raises(BadSizeError, match="no wider than its seams"):
        backing(size("40", "40"), usable_width=INCH)
    with pytest.raises(BadSizeError, match="overhang"):
        with_overhang(size("40", "40"), -INCH)
    with pytest.raises(BadSizeError, match="than what their joins take"):
        straight_binding(size("40", "40"), INCH * 2)
    with pytest.raises(BadSizeError, match="A strip width of 0 in"):
        bias_length(INCH, Length(0))
    with pytest.raises(BadSizeError, match="shorter than nothing"):
        yards(-INCH)


def test_pressing_goes_toward_the_darker_and_rows_nest() -> None:
    """Common practice: the darker hides the seam; rows by turns; geese away from the goose."""
    light, dark = Role("background"), Role("dash")
    corner = traditional_layout("churn dash").placed[0].unit
    (diagonal,) = unit_pressing(corner, {light: 90.0, dark: 20.0})
    assert (diagonal.way, diagonal.toward) == (Way.TOWARD, dark)
    assert [row_pressing(row).way for row in range(3)] == [Way.LEFT, Way.RIGHT, Way.LEFT]
    goose = traditional_layout("flying geese").placed[0].unit
    assert {step.toward for step in unit_pressing(goose, {})} == {Role("sky")}
    hourglass = traditional_layout("hourglass").placed[0].unit
    assert unit_pressing(hourglass, {})[-1].way is Way.OPEN
    rail = traditional_layout("rail fence").placed[0].unit
    assert len(unit_pressing(rail, {})) == 2
    assert unit_pressing(traditional_layout("nine patch").placed[0].unit, {}) == ()
