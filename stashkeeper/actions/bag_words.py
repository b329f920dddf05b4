"""What a bag of scraps holds, in a line."""

from typing import Any

from stashkeeper.cutting.bag_record import bag_from_plain
from stashkeeper.lengths.format import format_length
from stashkeeper.lengths.length import Measure


def bag_words(scraps: dict[str, Any] | None, measure: Measure) -> str:
    """Return what a bag holds: `3 × 2½ in strip, 12 × 3 in square, 150 g of crumbs`."""
    bag = bag_from_plain(scraps or {})
    words = [
        f"{count} × {format_length(side, measure)} {kind}"
        for kind, counts in (("strip", bag.strips), ("square", bag.squares))
        for side, count in sorted(counts.items())
    ]
    words += [f"{whole_grams(bag.crumbs)} of crumbs"] if bag.crumbs else []
    return ", ".join(words) or "nothing yet"


def whole_grams(grams: float) -> str:
    """Return a weight as a kitchen scale shows it: `142 g`; what we have rounds down."""
    return f"{int(grams):,} g" if grams >= 1 else "less than 1 g"
