"""Parts lists: enough of everything, at ruler marks, and the sizes that come of it."""

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.cut import check_cuts
from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Layout, Role, patches
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.quilt import (
    Quilt,
    centre_size,
    finished_size,
    parts,
    quilt_lines,
    recipes,
    unfinished_size,
)
from stashkeeper.quilts.quilt_patches import quilt_meetings, quilt_patches
from stashkeeper.quilts.rearrange import mirrored, repeated, turned
from stashkeeper.quilts.recipes import Methods
from stashkeeper.quilts.sashing import sashing
from stashkeeper.quilts.set_blocks import sashed, set_on_point
from stashkeeper.quilts.setting import corner_square, side_square
from stashkeeper.quilts.sewing import Finish, Sewing
from tests.quilts.drawn import INCH, layouts, traditional, twice_the_area

laws = settings(deadline=None, max_examples=50)
EXACT = Sewing(finish=Finish.EXACT)
METHODS = st.builds(Methods, st.sampled_from([2, 4, 8]), st.sampled_from([1, 4]))
SEWINGS = st.builds(Sewing.in_measure, st.sampled_from(Measure), st.sampled_from(Finish))
UNITS = (
    st.integers(40, 640)
    .map(lambda marks: Length.from_inches(1) * marks)
    .map(lambda length: Length(length.ticks // 40))
)


def size(width: str, length: str) -> Size:
    """Return a size in inches."""
    return Size(Length.from_inches(width), Length.from_inches(length))


def listed(quilt: Quilt) -> dict[str, tuple[Size, int]]:
    """Return the size and count of each cut by its name."""
    return {part.cut.name: (part.cut.size, part.cut.count) for part in parts(quilt)}


def finished_areas(quilt: Quilt) -> Counter[Role]:
    """Return the finished area of each role, in half square ticks."""
    areas: Counter[Role] = Counter()
    for patch in quilt_patches(quilt):
        areas[patch.role] += twice_the_area(patch.outline)
    return areas


def test_the_parts_of_four_sawtooth_stars() -> None:
    """3 in units, exact: centres 6½ in, corners 3½, geese of 6 × 3 in four at a time.

    Four geese take one 7¼ in and four 3⅞ in squares (members.shaw.ca/beverlysquiltingpage); 16
    geese take four of the one and sixteen of the other.
    """
    quilt = Quilt(repeated(traditional_layout("sawtooth star"), 2, 2), INCH * 3, EXACT)
    assert listed(quilt) == {
        "background: squares": (size("7/2", "7/2"), 16),
        "background: flying geese": (size("29/4", "29/4"), 4),
        "star: flying geese": (size("31/8", "31/8"), 16),
        "star: squares": (size("13/2", "13/2"), 4),
    }
    assert finished_size(quilt) == size("24", "24")
    assert unfinished_size(quilt) == size("49/2", "49/2")


def test_the_parts_of_a_churn_dash_cut_large() -> None:
    """4 in units: 5 in squares for triangles (+ 1 in, common practice), bars of 2½ × 4½ in."""
    quilt = Quilt(traditional_layout("churn dash"), INCH * 4)
    assert listed(quilt) == {
        "dash: half-square triangles": (size("5", "5"), 2),
        "dash: bars": (size("5/2", "9/2"), 4),
        "background: half-square triangles": (size("5", "5"), 2),
        "background: bars": (size("5/2", "9/2"), 4),
        "background: squares": (size("9/2", "9/2"), 1),
    }
    assert {made.trim_to for made in recipes(quilt)} == {size("9/2", "9/2"), None}


def test_units_of_different_sets_are_cut_apart() -> None:
    """Six pinwheels of their own sets: four units each, so two pairs for every set."""
    quilt = Quilt(repeated(traditional_layout("scrappy pinwheel"), 3, 2), INCH * 4)
    counts = Counter({str(part.role): part.cut.count for part in parts(quilt)})
    assert counts == {"background": 12} | {f"blade (set {n})": 2 for n in range(1, 7)}
    assert {part.cut.role for part in parts(quilt)} == set(counts)


def test_parts_on_point() -> None:
    """3 × 4 blocks of 6 in: 6 between, 10 side triangles of 3 squares, 2 corner squares.

    Sizes from the chart of christaquilts.com/quilty-math: 9¾ and 5⅛ in; the quilt is 3 and 4
    diagonals of 8.485 in.
    """
    block = grown(traditional_layout("checkerboard"), 2, 2)
    quilt = Quilt(set_on_point(block, 3, 4, Role("ground"), Role("plain")), INCH * 3, EXACT)
    cuts = listed(quilt)
    assert cuts["ground: side triangles"] == (size("39/4", "39/4"), 3)
    assert cuts["ground: corner triangles"] == (size("41/8", "41/8"), 2)
    assert cuts["plain: squares"] == (size("13/2", "13/2"), 6)
    assert cuts["light: squares"][1] == cuts["dark: squares"][1] == 24
    width = float(centre_size(quilt).width.inches)
    assert width == pytest.approx(3 * 6 * math.sqrt(2), abs=0.001)
    assert side_square(INCH * 6, EXACT).cut == cuts["ground: side triangles"][0].width
    assert corner_square(INCH * 6, EXACT).cut == cuts["ground: corner triangles"][0].width


@pytest.mark.parametrize("outer", [True, False])
@pytest.mark.parametrize("stones", [True, False])
def test_sashing_in_a_layout_and_by_formula_agree(outer: bool, stones: bool) -> None:
    block = traditional_layout("nine patch")
    stone = Role("stone") if stones else None
    quilt = Quilt(sashed(block, 3, 4, Role("sash"), stone, outer), INCH * 2, EXACT, INCH)
    formula = sashing(3, 4, size("6", "6"), INCH, EXACT, stones, outer)
    assert finished_size(quilt) == formula.finished
    cuts = Counter[tuple[Length, Length]]()
    for part in parts(quilt):
        if part.role == Role("sash"):
            cuts[min(*_sides(part.cut.size)), max(*_sides(part.cut.size))] += part.cut.count
    expected = Counter[tuple[Length, Length]]()
    for strip, count in (formula.upright, formula.level):
        expected[min(*_sides(strip)), max(*_sides(strip))] += count
    assert cuts == expected
    if formula.cornerstone:
        assert listed(quilt)["stone: cornerstones"] == formula.cornerstone


def _sides(of: Size) -> tuple[Length, Length]:
    return of.width, of.length


def test_borders_are_cut_in_order_and_joined_where_cloth_is_short() -> None:
    """24 in of nine patches, 2 in and 6 in borders: 24½, 28½, 28½ and 40½ in long; 40 in strips.

    Two of 40½ in are 81 in; two strips of 40 in with a straight join give 79½, so three. (By hand.)
    """
    layout = grown(traditional_layout("nine patch"), 12, 12)
    borders = (Border("light", INCH * 2), Border("frame", INCH * 6))
    quilt = Quilt(layout, INCH * 2, EXACT, borders=borders)
    cuts = listed(quilt)
    assert cuts["light: border 1, sides"] == (size("5/2", "49/2"), 2)
    assert cuts["light: border 1, top and bottom"] == (size("5/2", "57/2"), 2)
    assert cuts["frame: border 2, sides"] == (size("13/2", "57/2"), 2)
    assert cuts["frame: border 2, top and bottom"] == (size("13/2", "40"), 3)
    assert finished_size(quilt) == size("40", "40")


@laws
@given(layouts() | traditional(), SEWINGS, METHODS, UNITS)
def test_parts_lists_are_never_short(
    layout: Layout, sewing: Sewing, methods: Methods, unit: Length
) -> None:
    """Every role gets more cloth than it shows, at ruler marks, under names of its own."""
    quilt = Quilt(layout, unit, sewing, methods=methods)
    made = parts(quilt)
    check_cuts([part.cut for part in made])
    cloth: Counter[Role] = Counter()
    for part in made:
        assert part.cut.size.width.ticks % sewing.mark.ticks == 0
        assert part.cut.size.length.ticks % sewing.mark.ticks == 0
        cloth[part.role] += 2 * part.cut.count * part.cut.size.area
    shown = finished_areas(quilt)
    assert cloth.keys() == shown.keys()
    assert all(cloth[role] > shown[role] for role in shown)


@laws
@given(layouts() | traditional(), METHODS)
def test_turned_and_mirrored_layouts_take_the_same_number_of_cuts(
    layout: Layout, methods: Methods
) -> None:
    def taken(way: Layout) -> Counter[tuple[str, tuple[int, int]]]:
        counts: Counter[tuple[str, tuple[int, int]]] = Counter()
        for part in parts(Quilt(way, INCH * 3, methods=methods)):
            low, high = sorted((part.cut.size.width.ticks, part.cut.size.length.ticks))
            counts[str(part.role), (low, high)] += part.cut.count
        return counts

    assert taken(turned(layout)) == taken(layout)
    assert taken(mirrored(layout)) == taken(layout)


@laws
@given(
    st.sampled_from(["checkerboard", "nine patch", "log cabin", "single irish chain"]),
    st.integers(8, 100),
)
def test_seams_and_finished_are_the_cut_cloth(name: str, eighths: int) -> None:
    """Squares and rectangles: cut = finished + the seam strips along all four sides, exactly.

    A w × h patch loses ¼ in along each side: (w + ½)(h + ½) − wh = (w + h)/2 + ¼ square inches.
    """
    unit = Length.from_inches(1) * eighths
    quilt = Quilt(traditional_layout(name), Length(unit.ticks // 8), EXACT)
    cloth = sum(2 * part.cut.count * part.cut.size.area for part in parts(quilt))
    seam = EXACT.seam.ticks
    in_seams = 0
    for patch in patches(quilt.layout):
        xs, ys = zip(*map(quilt_lines(quilt).place, patch.outline), strict=True)
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        in_seams += 2 * (2 * seam * (wide + high) + 4 * seam**2)
    assert cloth == sum(finished_areas(quilt).values()) + in_seams


@laws
@given(
    layouts() | traditional(),
    UNITS,
    st.lists(st.tuples(st.integers(1, 9), st.sampled_from(Corner)), max_size=3),
)
def test_patches_and_borders_tile_the_finished_quilt(
    layout: Layout, unit: Length, borders: list[tuple[int, Corner]]
) -> None:
    made = tuple(Border("frame", INCH * width, corner=corner) for width, corner in borders)
    quilt = Quilt(layout, Length(unit.ticks // 12 * 12), borders=made)
    assert sum(finished_areas(quilt).values()) == 2 * finished_size(quilt).area
    corners = [point for patch in quilt_patches(quilt) for point in patch.outline]
    far = finished_size(quilt)
    assert (min(corners)[0], min(y for _, y in corners)) == (0, 0)
    assert max(x for x, _ in corners) == far.width.ticks
    assert max(y for _, y in corners) == far.length.ticks


@pytest.mark.parametrize(("across", "down"), [(1, 1), (2, 3), (4, 2)])
def test_patches_on_point_tile_the_finished_quilt(across: int, down: int) -> None:
    block = traditional_layout("friendship star")
    filling = traditional_layout("nine patch")
    layout = set_on_point(block, across, down, Role("ground"), filling)
    quilt = Quilt(layout, INCH * 3, borders=(Border("frame", INCH),))
    area = 2 * finished_size(quilt).area
    assert sum(finished_areas(quilt).values()) == pytest.approx(area, rel=1e-4)
    corners = [point for patch in quilt_patches(quilt) for point in patch.outline]
    assert (min(x for x, _ in corners), min(y for _, y in corners)) == (0, 0)
    assert all(twice_the_area(patch.outline) > 0 for patch in quilt_patches(quilt) if patch.placed)


def test_borders_and_binding_meet_all_around() -> None:
    """12 in of checkerboard, a 1 in and a 2 in border: 4 × 12, 4 × 14 and 4 × 18 in, by hand."""
    borders = (Border("frame", INCH), Border("edge", INCH * 2))
    quilt = Quilt(grown(traditional_layout("checkerboard"), 4, 4), INCH * 3, borders=borders)
    met = {(m.one.name, m.other.name): m.length for m in quilt_meetings(quilt, Role("binding"))}
    assert met["dark", "frame"] + met["frame", "light"] == pytest.approx(48)
    assert met["edge", "frame"] == pytest.approx(56)
    assert met["binding", "edge"] == pytest.approx(72)


@pytest.mark.parametrize("name", layout_names())
def test_every_traditional_layout_makes_a_quilt(name: str) -> None:
    layout = traditional_layout(name)
    quilt = Quilt(grown(layout, layout.columns * 2, layout.rows * 2), INCH * 2)
    assert {part.role.name for part in parts(quilt)} == {role for role, _ in layout.values}


@pytest.mark.campaign
def test_a_grid_of_500_by_500_has_parts_and_seams() -> None:
    """A quarter of a million half-square triangles: one diagonal seam each, two from a pair."""
    layout = grown(traditional_layout("barn raising"), 500, 500)
    quilt = Quilt(layout, INCH)
    assert {part.cut.count for part in parts(quilt)} == {500 * 500 // 2}
    (met,) = quilt_meetings(quilt)
    assert met.count == 500 * 500


@pytest.mark.parametrize("unit", [Length(0), -INCH, INCH * 2000])
def test_units_that_no_quilt_has_get_a_sentence(unit: Length) -> None:
    with pytest.raises(BadSizeError, match="A unit of"):
        parts(Quilt(traditional_layout("pinwheel"), unit))
    with pytest.raises(BadSizeError, match="A quilt of"):
        parts(Quilt(grown(traditional_layout("pinwheel"), 900, 2), INCH * 2))
    with pytest.raises(BadSizeError, match="A border of"):
        Border("frame", unit)
    with pytest.raises(BadSizeError, match="same width all around"):
        Border("frame", INCH, INCH * 2, Corner.MITRED)
