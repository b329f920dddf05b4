"""What can be used of a piece: never more than was typed, never more for larger allowances.

The figures are common practice: a fat quarter of 21 × 18 in is assumed by patterns to give
20½ × 17½ in, and the width of quilting cotton 40 in once the selvedges are off.
"""

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.cloth.usable import Cause, Direction, Usable, usable
from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import Size

PREWASHING = Allowances(shrinkage=Fraction(3, 100), flannel_shrinkage=Fraction(6, 100))


def of(
    typed: str,
    basis: Basis | None = None,
    squared: bool = False,
    washed: bool = True,
    flannel: bool = False,
    allowances: Allowances | None = None,
) -> Usable:
    """Return what can be used of a piece of a typed size, washed unless said otherwise."""
    said = parse_size(typed, Measure.INCHES)
    basis = basis or said.basis or Basis.MEASURED
    allowances = allowances or Allowances()
    return usable(said.size, basis, said.selvedges, squared, washed, flannel, allowances)


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("fat quarter", "20½ × 17½ in"),
        ("fat eighth", "20½ × 8½ in"),
        ("half yard", "40 × 17½ in"),
        ("2½ in strip", "40 × 2 in"),
        ("18 x 21", "17½ × 20½ in"),
        ("1/4 x 6", "0 × 5½ in"),
    ],
)
def test_what_common_practice_counts_on(typed: str, shown: str) -> None:
    assert format_size(of(typed).size, Measure.INCHES) == shown


def test_a_measured_width_of_fabric_loses_its_selvedges_and_nothing_else() -> None:
    half_a_yard = of("half yard", basis=Basis.MEASURED)
    assert format_size(half_a_yard.size, Measure.INCHES) == "41 × 17½ in"
    assert half_a_yard.certain


def test_squared_up_cloth_loses_no_more_to_squaring_up() -> None:
    assert format_size(of("fat quarter", squared=True).size, Measure.INCHES) == "20½ × 18 in"


def test_unwashed_cloth_shrinks_whole_before_it_is_cut() -> None:
    cotton = of("100 x 50", washed=False, squared=True, allowances=PREWASHING)
    flannel = of("100 x 50", washed=False, squared=True, flannel=True, allowances=PREWASHING)
    assert format_size(cotton.size, Measure.INCHES) == "97 × 48½ in"
    assert format_size(flannel.size, Measure.INCHES) == "94 × 47 in"
    # 42 in unmeasured counts as 40 and two selvedges; 41 × 0.97 − 1 = 38.77.
    width = of("half yard", washed=False, allowances=PREWASHING).size.width
    assert width == Length.from_inches("38.77")


@pytest.mark.parametrize(("basis", "certain"), [("measured", 1), ("nominal", 0), ("about", 0)])
def test_only_a_measured_size_is_certain(basis: str, certain: int) -> None:
    assert of("18 x 21", basis=Basis(basis)).certain == bool(certain)


def test_what_was_taken_off_is_said_in_plain_sentences() -> None:
    said = of("half yard", washed=False, allowances=PREWASHING).taken_off(Measure.INCHES)
    assert said == (
        "1 in off the width: fabrics differ in width, and this one was not measured.",
        "1¼ in off the width: it has not been washed yet and may shrink.",
        "1 in off the width: the selvedge is cut away.",
        "⅝ in off the length: it has not been washed yet and may shrink.",
        "½ in off the length: it still has to be squared up.",
    )
    assert of("18 x 21").taken_off(Measure.CENTIMETRES) == (
        "1.3 cm off the width: it still has to be squared up.",
        "1.3 cm off the length: it still has to be squared up.",
    )


class Piece(NamedTuple):
    """What is known of a piece, in the order `usable` takes it."""

    size: Size
    basis: Basis
    selvedges: frozenset[Edge]
    squared: bool
    washed: bool
    flannel: bool


sides = st.integers(1, 8128 * 300).map(Length)
losses = st.integers(0, 8128 * 6).map(Length)
shares = st.fractions(min_value=0, max_value=Fraction(1, 2), max_denominator=1000)
some_allowances = st.builds(Allowances, losses, losses, sides, shares, shares)
pieces = st.builds(
    Piece,
    st.builds(Size, sides, sides),
    st.sampled_from(Basis),
    st.frozensets(st.sampled_from(Edge)),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)


def within(inner: Size, outer: Size) -> bool:
    return outer.holds(inner, turning=False)


@given(pieces, some_allowances)
@settings(deadline=None)
def test_usable_cloth_is_never_more_than_typed_nor_less_than_nothing(
    piece: Piece, allowances: Allowances
) -> None:
    found = usable(*piece, allowances)
    assert within(found.size, piece.size)
    assert within(Size(Length(0), Length(0)), found.size)
    assert found.certain == (piece.basis is Basis.MEASURED)


@given(pieces, some_allowances)
@settings(deadline=None)
def test_every_tick_that_is_missing_is_accounted_for(piece: Piece, allowances: Allowances) -> None:
    found = usable(*piece, allowances)
    taken = {way: sum(loss.length.ticks for loss in found.losses if loss.direction is way)
             for way in Direction}  # fmt: skip
    assert found.size.width.ticks + taken[Direction.WIDTH] == piece.size.width.ticks
    assert found.size.length.ticks + taken[Direction.LENGTH] == piece.size.length.ticks
    assert all(loss.length.ticks > 0 for loss in found.losses)


@given(pieces, some_allowances, losses, losses, shares)
@settings(deadline=None)
def test_larger_allowances_never_give_more_cloth(
    piece: Piece, allowances: Allowances, more: Length, less: Length, share: Fraction
) -> None:
    before = usable(*piece, allowances).size
    width = Length(max(0, allowances.usable_width.ticks - less.ticks))
    for larger in (
        replace(allowances, selvedge=allowances.selvedge + more),
        replace(allowances, squaring_up=allowances.squaring_up + more),
        replace(allowances, usable_width=width),
        replace(allowances, shrinkage=max(share, allowances.shrinkage)),
        replace(allowances, flannel_shrinkage=max(share, allowances.flannel_shrinkage)),
    ):
        assert within(usable(*piece, larger).size, before)


@given(pieces, some_allowances, sides, sides)
@settings(deadline=None)
def test_a_larger_piece_never_gives_less(
    piece: Piece, allowances: Allowances, wider: Length, longer: Length
) -> None:
    larger = Size(piece.size.width + wider, piece.size.length + longer)
    before = usable(*piece, allowances).size
    assert within(before, usable(*piece._replace(size=larger), allowances).size)


@given(pieces, some_allowances)
@settings(deadline=None)
def test_knowing_more_never_takes_cloth_away(piece: Piece, allowances: Allowances) -> None:
    before = usable(*piece, allowances).size
    for better in (
        piece._replace(basis=Basis.MEASURED),
        piece._replace(squared=True),
        piece._replace(washed=True),
    ):
        assert within(before, usable(*better, allowances).size)


@given(pieces, some_allowances)
@settings(deadline=None)
def test_measured_squared_and_washed_without_selvedge_all_of_it_can_be_used(
    piece: Piece, allowances: Allowances
) -> None:
    ready = Piece(piece.size, Basis.MEASURED, frozenset(), True, True, piece.flannel)
    assert usable(*ready, allowances) == Usable(piece.size, True, ())


@given(pieces)
@settings(deadline=None)
def test_cloth_sewn_unwashed_loses_nothing_to_shrinkage(piece: Piece) -> None:
    found = usable(*piece, Allowances())
    assert Cause.SHRINKAGE not in {loss.cause for loss in found.losses}
