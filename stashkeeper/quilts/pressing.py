"""Pressing: which way the seam allowances go.

Toward the darker fabric, so that they do not show through a light one; rows by turns to the left
and to the right, so that the seams of neighbouring rows nest; open where many seams meet. (All
common practice.)
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from stashkeeper.quilts.layout import Role, Unit
from stashkeeper.quilts.shapes import UnitKind


class Way(StrEnum):
    """Where a seam allowance is pressed to."""

    TOWARD = "toward"
    OPEN = "open"
    LEFT = "to the left"
    RIGHT = "to the right"


@dataclass(frozen=True, slots=True)
class Pressing:
    """How to press one seam, or one kind of seam.

    Attributes:
        seam: which seam, in words.
        way: which way.
        toward: the role it is pressed toward; None for other ways.
    """

    seam: str
    way: Way
    toward: Role | None = None


def row_pressing(row: int) -> Pressing:
    """Return how to press the seams between the units of a row, counted from 0."""
    return Pressing("between the units of a row", Way.RIGHT if row % 2 else Way.LEFT)


def toward_darker(one: Role, other: Role, lightness: Mapping[Role, float]) -> Role:
    """Return the darker of two roles by L*; the first where that is not known or equal."""
    if one in lightness and other in lightness and lightness[other] < lightness[one]:
        return other
    return one


def unit_pressing(unit: Unit, lightness: Mapping[Role, float]) -> tuple[Pressing, ...]:
    """Return how to press the seams inside a unit, in the order they are sewn.

    Args:
        unit: the unit.
        lightness: the L* (0 to 100) of the fabric of each role, where known.
    """
    roles = unit.roles
    match unit.kind:
        case UnitKind.HALF_SQUARE:
            return (_darker("the diagonal seam", roles[0], roles[1], lightness),)
        case UnitKind.QUARTER_SQUARE | UnitKind.FOUR_PATCH:
            first = _darker("the first seams", roles[0], roles[1], lightness)
            return first, Pressing("the last seam", Way.OPEN)
        case UnitKind.FLYING_GEESE:
            return tuple(
                Pressing(f"the {seam} seam", Way.TOWARD, sky)
                for seam, sky in zip(("first", "second"), roles[1:], strict=True)
            )
        case UnitKind.BARS:
            return tuple(
                _darker(f"seam {number}", one, other, lightness)
                for number, (one, other) in enumerate(pairwise(roles), 1)
            )
        case _:
            return ()


def _darker(seam: str, one: Role, other: Role, lightness: Mapping[Role, float]) -> Pressing:
    return Pressing(seam, Way.TOWARD, toward_darker(one, other, lightness))
