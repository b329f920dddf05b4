"""A bag of scraps: strips by width, squares by size, crumbs by weight.

Nobody measures every scrap. A strip counts as long as the shortest strip worth keeping unless the
bag says otherwise; an irregular leftover goes in as the largest rectangle it holds.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

STRIP_LENGTH: Final = Length.from_inches(10)
"""How long a strip in a bag is at least (common practice: shorter ones are not kept)."""


class ScrapKind(StrEnum):
    """How scraps are sorted."""

    STRIP = "strip"
    """By width; every strip is at least as long as the bag says."""
    SQUARE = "square"
    """By side."""


@dataclass(frozen=True, slots=True)
class Bag:
    """What is in a bag of scraps.

    Attributes:
        strips: how many strips of each width.
        squares: how many squares of each side.
        crumbs: the weight of the rest in grams; crumbs are found by nobody.
        strip_length: how long every strip is at least.
    """

    strips: Mapping[Length, int] = field(default_factory=dict)
    squares: Mapping[Length, int] = field(default_factory=dict)
    crumbs: float = 0.0
    strip_length: Length = STRIP_LENGTH

    def put_in(self, kind: ScrapKind, side: Length, count: int = 1) -> "Bag":
        """Return the bag with so many more strips of a width, or squares of a side.

        Raises:
            BadCutError: a count below 1, or a side of nothing.
        """
        if count < 1 or side.ticks <= 0:
            raise BadCutError(
                f"{count} scraps cannot be counted in.", "Count in at least one, with a size."
            )
        return self._with(kind, side, count)

    def take_out(self, kind: ScrapKind, side: Length, count: int = 1) -> "Bag":
        """Return the bag with so many fewer.

        Raises:
            BadCutError: a count below 1, or more than there are.
        """
        there = self._of(kind).get(side, 0)
        if not 1 <= count <= there:
            raise BadCutError(
                f"{count} were to be taken out of the bag, and {there} of that size are in it.",
                "Take out between one and as many as there are.",
            )
        return self._with(kind, side, -count)

    def weigh(self, grams: float) -> "Bag":
        """Return the bag with its crumbs weighed anew.

        Raises:
            BadCutError: a weight that is none.
        """
        if not 0 <= grams < float("inf"):
            raise BadCutError(
                f"{grams} g is not a weight of crumbs.", "A weight is 0 grams or more."
            )
        return replace(self, crumbs=grams)

    def cloths(self, code: str, fabric: str) -> tuple[tuple[Cloth, int], ...]:
        """Return what the bag offers, each size once with its count; none of it is certain."""
        sizes = [(Size(side, self.strip_length), count) for side, count in self.strips.items()]
        sizes += [(Size(side, side), count) for side, count in self.squares.items()]
        return tuple(
            (Cloth(code, fabric, size, certain=False, grain_known=False), count)
            for size, count in sorted(sizes, key=lambda pair: pair[0].area)
            if count
        )

    def _of(self, kind: ScrapKind) -> Mapping[Length, int]:
        return self.strips if kind is ScrapKind.STRIP else self.squares

    def _with(self, kind: ScrapKind, side: Length, more: int) -> "Bag":
        counts = dict(self._of(kind))
        counts[side] = counts.get(side, 0) + more
        kept = {size: count for size, count in sorted(counts.items()) if count}
        if kind is ScrapKind.STRIP:
            return replace(self, strips=kept)
        return replace(self, squares=kept)
