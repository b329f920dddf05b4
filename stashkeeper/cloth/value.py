"""Value: light, medium or dark, the group a fabric plays in a quilt."""

from enum import StrEnum


class Value(StrEnum):
    """The three groups of the trade, from light to dark; their lightness is L*, 0 to 100."""

    LIGHT = "light"
    MEDIUM = "medium"
    DARK = "dark"


BOUNDARIES: tuple[tuple[Value, Value], ...] = (
    (Value.LIGHT, Value.MEDIUM),
    (Value.MEDIUM, Value.DARK),
)
"""The two places where neighbouring groups meet, lighter group first."""
