"""Setting and corner triangles of a quilt whose blocks stand on point.

A side triangle's long edge is the diagonal of a block, block × √2; a square cut on both diagonals
gives four, each with the straight grain along the edge of the quilt. A corner triangle's long edge
is the side of a block, so its short sides are block / √2; a square cut on one diagonal gives two.
Seam allowances as in `units.py`.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.diagonals import over_root_two, times_root_two
from stashkeeper.quilts.sewing import Sewing, checked, whole_number
from stashkeeper.quilts.units import PRINTED_HALF_SQUARE, PRINTED_QUARTER_SQUARE, CutSide

PRINTED_ROOT_TWO: Final = Fraction("1.414")
"""The square root of two as quilters print it; below the true one, so / 1.414 is on the safe
side and × 1.414 is saved by the rounding of its addend."""


def side_square(block: Length, sewing: Sewing) -> CutSide:
    """Return the square that gives four side triangles for blocks of this finished side.

    Exact: block × √2 + 2s + 2s√2. Printed: block × 1.414 + 1¼ in, rounded up to ⅛ (chart of
    christaquilts.com/quilty-math), which may ask for an eighth more than geometry does: for 10 in
    blocks 15½ in where 15.349 would do.

    Raises:
        BadSizeError: a block that no quilt has.
    """
    exact = times_root_two(checked(block) + sewing.both_seams) + sewing.both_seams
    return _side(exact, _printed(block, sewing, side=True), "block × 1.414 + added", sewing)


def corner_square(block: Length, sewing: Sewing) -> CutSide:
    """Return the square that gives two corner triangles for blocks of this finished side.

    Exact: block / √2 + 2s + s√2. Printed: block / 1.414 + ⅞ in, rounded up to ⅛ ("Block on
    point", pinemeadowsdesigns.com; chart of christaquilts.com/quilty-math).

    Raises:
        BadSizeError: a block that no quilt has.
    """
    exact = over_root_two(checked(block)) + sewing.both_seams + times_root_two(sewing.seam)
    return _side(exact, _printed(block, sewing, side=False), "block / 1.414 + added", sewing)


@dataclass(frozen=True, slots=True)
class OnPoint:
    """What a quilt of blocks on point is made of, `across` × `down` whole blocks at its edges.

    Attributes:
        blocks: the blocks whose corners touch the edges.
        between: the blocks in the spaces between four of those.
        side_triangles: the triangles along the edges.
        side_squares: the squares to cut for them, four triangles each.
        corner_squares: the squares to cut for the four corners, two triangles each.
        finished: the finished size, rounded up to a tick.
    """

    blocks: int
    between: int
    side_triangles: int
    side_squares: int
    corner_squares: int
    finished: Size


def on_point(across: int, down: int, block: Length) -> OnPoint:
    """Return what a setting of `across` × `down` blocks on point takes, by geometry.

    Raises:
        BadSizeError: an impossible number of blocks, or a block that no quilt has.
    """
    across = whole_number(across, "blocks", 1, 1000)
    down = whole_number(down, "blocks", 1, 1000)
    sides = 2 * (across - 1) + 2 * (down - 1)
    checked(block)
    return OnPoint(
        blocks=across * down,
        between=(across - 1) * (down - 1),
        side_triangles=sides,
        side_squares=-(-sides // 4),
        corner_squares=2,
        finished=Size(times_root_two(block * across), times_root_two(block * down)),
    )


def _printed(block: Length, sewing: Sewing, side: bool) -> Length | None:
    rules = PRINTED_QUARTER_SQUARE if side else PRINTED_HALF_SQUARE
    added = rules.get(sewing.seam)
    if added is None:
        return None
    factor = PRINTED_ROOT_TWO if side else 1 / PRINTED_ROOT_TWO
    return Length.from_inches(block.inches * factor + added.inches, Rounding.UP)


def _side(exact: Length, printed: Length | None, rule: str, sewing: Sewing) -> CutSide:
    return CutSide(
        cut=sewing.marked(exact),
        exact=exact,
        printed=None if printed is None else sewing.marked(printed),
        rule="" if printed is None else rule,
    )
