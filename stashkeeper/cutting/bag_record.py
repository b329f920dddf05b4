"""A bag of scraps as plain values that a database can keep, and back again, exactly."""

from typing import Any

from stashkeeper.cutting.scraps import STRIP_LENGTH, Bag
from stashkeeper.lengths.length import Length

type Plain = dict[str, Any]


def bag_to_plain(bag: Bag) -> Plain:
    """Return a bag as dictionaries of whole numbers: ticks to counts, grams for the crumbs."""
    return {
        "strips": {str(side.ticks): count for side, count in bag.strips.items()},
        "squares": {str(side.ticks): count for side, count in bag.squares.items()},
        "crumbs": bag.crumbs,
        "strip_length": bag.strip_length.ticks,
    }


def bag_from_plain(plain: Plain) -> Bag:
    """Return the bag that `bag_to_plain` wrote down."""
    return Bag(
        {Length(int(ticks)): count for ticks, count in plain.get("strips", {}).items()},
        {Length(int(ticks)): count for ticks, count in plain.get("squares", {}).items()},
        plain.get("crumbs", 0.0),
        Length(plain.get("strip_length", STRIP_LENGTH.ticks)),
    )
