"""Layouts: units tile them, and turning, mirroring and exchanging obey their laws."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError, BadSizeError, NotFoundError
from stashkeeper.quilts.grow import enlarged, grown
from stashkeeper.quilts.layout import (
    Growth,
    Layout,
    Role,
    owners,
    patches,
    roles,
    unit_counts,
)
from stashkeeper.quilts.layout_library import layout_names, layout_text, traditional_layout
from stashkeeper.quilts.rearrange import exchanged, mirrored, repeated, turned
from stashkeeper.quilts.set_blocks import sashed, set_on_point
from stashkeeper.quilts.shapes import (
    GRAIN,
    SHAPES,
    Shape,
    UnitKind,
    mirrored_shape,
    turned_shape,
)
from tests.quilts.drawn import layouts, traditional, twice_the_area

laws = settings(deadline=None, max_examples=50)
A_DOZEN = {
    "pinwheel", "chevron", "barn raising", "streak of lightning", "checkerboard", "sawtooth",
    "sawtooth star", "friendship star", "churn dash", "flying geese", "hourglass", "nine patch",
    "large star", "log cabin",
}  # fmt: skip


def areas_by_role(layout: Layout) -> Counter[Role]:
    """Return twice the area of each role, in square twelfths of a cell."""
    areas: Counter[Role] = Counter()
    for patch in patches(layout):
        areas[patch.role] += twice_the_area(patch.outline)
    return areas


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: f"{shape.kind} {shape.places}")
def test_patches_are_clockwise_and_fill_their_shape(shape: Shape) -> None:
    whole = {UnitKind.SIDE_TRIANGLE: 2, UnitKind.CORNER_TRIANGLE: 4}.get(shape.kind, 1)
    areas = [twice_the_area(outline) for outline in shape.patches]
    assert min(areas) > 0
    assert sum(areas) * whole == 2 * GRAIN**2


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: f"{shape.kind} {shape.places}")
def test_every_shape_can_be_turned_and_mirrored(shape: Shape) -> None:
    way = shape
    for _ in range(4):
        way = turned_shape(way).shape
    assert way == shape
    assert mirrored_shape(mirrored_shape(shape).shape).shape == shape


@laws
@given(layouts())
def test_units_tile_the_layout(layout: Layout) -> None:
    covered = Counter(owner for row in owners(layout) for owner in row)
    for number, placed in enumerate(layout.placed):
        assert covered[number] == placed.unit.columns * placed.unit.rows
    assert sum(areas_by_role(layout).values()) == 2 * GRAIN**2 * layout.columns * layout.rows


@laws
@given(layouts() | traditional())
def test_four_turns_change_nothing(layout: Layout) -> None:
    assert turned(layout, 4) == layout
    assert turned(turned(turned(turned(layout)))) == layout
    assert turned(layout, 3) == turned(turned(layout, 2))


@laws
@given(layouts() | traditional())
def test_two_mirrors_change_nothing(layout: Layout) -> None:
    assert mirrored(mirrored(layout)) == layout
    assert turned(mirrored(turned(layout))) == mirrored(layout)


@laws
@given(layouts() | traditional())
def test_moving_a_layout_keeps_its_units_and_areas(layout: Layout) -> None:
    for moved in (turned(layout), mirrored(layout)):
        assert unit_counts(moved) == unit_counts(layout)
        assert areas_by_role(moved) == areas_by_role(layout)


@laws
@given(layouts())
def test_turning_moves_every_point_as_a_quarter_turn_does(layout: Layout) -> None:
    """The patches of the turned layout are the turned patches: (x, y) goes to (height − y, x)."""
    height = layout.rows * GRAIN
    by_hand = {
        (patch.role, frozenset((height - y, x) for x, y in patch.outline))
        for patch in patches(layout)
    }
    assert by_hand == {(p.role, frozenset(p.outline)) for p in patches(turned(layout))}


@laws
@given(layouts())
def test_a_mirror_moves_every_point_to_the_other_side(layout: Layout) -> None:
    width = layout.columns * GRAIN
    by_hand = {
        (patch.role, frozenset((width - x, y) for x, y in patch.outline))
        for patch in patches(layout)
    }
    assert by_hand == {(p.role, frozenset(p.outline)) for p in patches(mirrored(layout))}


@laws
@given(layouts().filter(lambda layout: {"sky", "star"} <= {r.name for r in roles(layout)}))
def test_exchanging_roles_twice_changes_nothing(layout: Layout) -> None:
    swapped = exchanged(layout, "sky", "star")
    assert exchanged(swapped, "star", "sky") == layout
    assert unit_counts(swapped) == unit_counts(layout)
    names = {Role("sky"): Role("star"), Role("star"): Role("sky")}
    before, after = areas_by_role(layout), areas_by_role(swapped)
    assert all(before[role] == after[names.get(role, role)] for role in names)


@laws
@given(layouts(), st.integers(1, 3), st.integers(1, 3))
def test_repeating_multiplies_units(layout: Layout, across: int, down: int) -> None:
    copies = repeated(layout, across, down)
    assert unit_counts(copies) == Counter(
        {kind: count * across * down for kind, count in unit_counts(layout).items()}
    )


@laws
@given(layouts(), st.sampled_from([6, 12]))
def test_enlarging_keeps_every_line(layout: Layout, times: int) -> None:
    """Twelve halves, thirds, quarters and sixths alike: every unit can be enlarged so."""
    try:
        large = enlarged(layout, times)
    except BadRequestError:
        assert times == 6
        return
    assert large.columns == layout.columns * times
    wanted = Counter({role: area * times**2 for role, area in areas_by_role(layout).items()})
    assert areas_by_role(large) == wanted
    covered = Counter(owner for row in owners(large) for owner in row)
    assert set(covered.values()) == {1}
    assert -1 not in covered


def test_a_dozen_traditional_layouts_are_there() -> None:
    assert set(layout_names()) >= A_DOZEN
    for name in layout_names():
        layout = traditional_layout(name)
        assert layout.name.casefold() == name
        assert layout.about
        assert {role.name for role in roles(layout)} == {name for name, _ in layout.values}
        assert all(isinstance(value, Value) for _, value in layout.values)


@pytest.mark.parametrize("name", layout_names())
def test_traditional_layouts_grow_to_any_size_of_their_step(name: str) -> None:
    layout = traditional_layout(name)
    step = 2 if layout.growth is Growth.FROM_THE_MIDDLE else 1
    columns, rows = layout.columns * 4 * step, layout.rows * 6 * step
    large = grown(layout, columns, rows)
    assert (large.columns, large.rows) == (columns, rows)
    covered = Counter(owner for row in owners(large) for owner in row)
    assert -1 not in covered
    assert sum(areas_by_role(large).values()) == 2 * GRAIN**2 * columns * rows


@pytest.mark.parametrize(
    ("name", "turns", "mirrors"),
    [
        # The symmetry each block is known for.
        ("pinwheel", True, False),
        ("friendship star", True, False),
        ("sawtooth star", True, True),
        ("ohio star", True, True),
        ("churn dash", True, True),
        ("shoo fly", True, True),
        ("nine patch", True, True),
        ("flying geese", False, True),
    ],
)
def test_blocks_have_the_symmetry_they_are_known_for(name: str, turns: bool, mirrors: bool) -> None:
    block = traditional_layout(name)
    assert (turned(block).placed == block.placed) is turns
    assert (mirrored(block).placed == block.placed) is mirrors


def test_barn_raising_is_rings_of_one_value_around_the_middle() -> None:
    """Along the row right of the middle, the patches nearer and farther come by turns."""
    large = grown(traditional_layout("barn raising"), 8, 8)
    assert mirrored(large).placed == large.placed
    assert turned(large).placed == large.placed
    row = [here.unit.roles for here in large.placed if here.row == 4 and here.column >= 4]
    light, dark = Role("light"), Role("dark")
    assert row == [(light, dark), (dark, light), (light, dark), (dark, light)]


def test_a_large_star_has_half_square_triangles_along_its_lines_only() -> None:
    """On 8 × 8: eight points, each two units long: 2 × 8 triangles; the rest squares."""
    large = grown(traditional_layout("large star"), 8, 8)
    assert unit_counts(large) == {UnitKind.HALF_SQUARE: 16, UnitKind.SQUARE: 48}
    wider = grown(traditional_layout("large star"), 10, 12)
    assert unit_counts(wider)[UnitKind.HALF_SQUARE] == 16


def test_every_repeat_of_an_own_set_gets_a_set() -> None:
    large = grown(traditional_layout("scrappy pinwheel"), 6, 4)
    assert [role.set_number for role in roles(large)] == [1, 2, 3, 4, 5, 6, None]
    assert str(roles(large)[0]) == "blade (set 1)"


def test_sizes_a_layout_cannot_have_are_refused_with_one_near() -> None:
    star = traditional_layout("friendship star")
    with pytest.raises(BadRequestError, match="Columns go by 3 and rows by 3; 6 × 9 would do"):
        grown(star, 7, 9)
    with pytest.raises(BadRequestError, match="8 × 8 would do"):
        grown(traditional_layout("barn raising"), 7, 8)
    with pytest.raises(BadRequestError, match="rows by 4"):
        grown(traditional_layout("large star"), 5, 8)
    for columns, rows in ((0, 3), (3, -3), (1001, 3), (10**9, 10**9)):
        with pytest.raises(BadSizeError, match="no possible number"):
            grown(star, columns, rows)
    with pytest.raises(BadSizeError, match="no possible number"):
        repeated(star, 400, 1)
    with pytest.raises(BadRequestError, match="multiple of 3"):
        enlarged(traditional_layout("rail fence"), 2)
    with pytest.raises(BadRequestError, match="no role “moon”"):
        exchanged(star, "moon", "star")


def test_unknown_layouts_are_answered_with_the_nearest() -> None:
    with pytest.raises(NotFoundError, match="Did you mean “pinwheel”"):
        traditional_layout("pinwheels!")
    with pytest.raises(NotFoundError, match="Known are: barn raising"):
        layout_text("../../secret")


def test_sashing_and_points_keep_turning_and_mirroring() -> None:
    block = traditional_layout("friendship star")
    framed = sashed(block, 2, 3, Role("sash"), Role("corner"), outer=True)
    diamond = set_on_point(block, 2, 3, Role("ground"), Role("plain"))
    for layout in (framed, diamond):
        assert turned(layout, 4) == layout
        assert mirrored(mirrored(layout)) == layout
        assert unit_counts(mirrored(layout)) == unit_counts(layout)
        with pytest.raises(BadRequestError, match="already has sashing, or stands on point"):
            repeated(layout, 2, 2)
    with pytest.raises(BadRequestError, match="must be square"):
        set_on_point(traditional_layout("flying geese"), 2, 2, Role("ground"), Role("plain"))
