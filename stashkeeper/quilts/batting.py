"""Batting: larger than the top on every side, and the smallest package that will do."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.sewing import checked

OVERHANG: Final = Length.from_inches(4)
"""What backing and batting show beyond the top on each side, to be trimmed after quilting (common
practice)."""

PACKAGES: Final[Mapping[str, Size]] = MappingProxyType(
    {
        name: Size(Length.from_inches(width), Length.from_inches(length))
        for name, width, length in (
            ("crib", 45, 60),
            ("twin", 72, 90),
            ("full", 81, 96),
            ("queen", 90, 108),
            ("king", 120, 120),
        )
    }
)
"""Sizes that batting is packed in ("Common Quilt and Batting Sizes", honeybegood.com, May 2012)."""


def with_overhang(top: Size, overhang: Length = OVERHANG) -> Size:
    """Return the size that backing or batting needs for a top of this size.

    Raises:
        BadSizeError: a top that no quilt has, or an overhang below zero.
    """
    if overhang.ticks < 0:
        raise BadSizeError("An overhang cannot be less than nothing.", "Give one such as 4 in.")
    return Size(
        checked(top.width, "quilt top") + overhang * 2,
        checked(top.length, "quilt top") + overhang * 2,
    )


def smallest_package(needed: Size) -> str | None:
    """Return the name of the smallest package that holds the batting needed; None if none does."""
    holding = [name for name, size in PACKAGES.items() if size.holds(needed)]
    return min(holding, key=lambda name: PACKAGES[name].area, default=None)
