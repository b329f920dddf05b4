"""What the pieces of the shelf offer, as numbers that are searched in one go."""

from collections.abc import Container, Sequence
from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import NDArray

from stashkeeper.actions.cloths import Allowance
from stashkeeper.actions.found import FoundPiece
from stashkeeper.actions.usable_sizes import usable_sizes
from stashkeeper.catalogue.cloth_columns import ClothColumns
from stashkeeper.cutting.fit import Found, Held
from stashkeeper.cutting.shelf import Flags, Shelf
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class Offered:
    """The pieces of which something is usable, and their usable sizes as numbers."""

    cloth: ClothColumns
    numbers: Shelf
    certain: Flags

    @classmethod
    def of(cls, cloth: ClothColumns, taken: Allowance) -> "Offered":
        """Derive every usable size."""
        usable = usable_sizes(cloth, taken)
        numbers = Shelf(usable.widths, usable.lengths, usable.directional)
        return cls(cloth, numbers, usable.certain)

    def take(self, where: NDArray[np.int64]) -> "Offered":
        """Return what the pieces at these positions offer."""
        return Offered(self.cloth.take(where), self.numbers.take(where), self.certain[where])

    def piece(self, at: int, holds: int, left: Size | None) -> FoundPiece:
        """Return the piece at a position, with how many it holds and what would be left."""
        cloth = self.cloth
        return FoundPiece(
            cloth.codes[at],
            cloth.names[at],
            cloth.places[at],
            holds,
            left,
            bool(self.certain[at]),
            self.numbers.size(at),
        )

    def found(self, found: Found, bags: Sequence[FoundPiece]) -> "Hits":
        """Return the pieces found and the bags among them, the smallest first."""
        areas = self.numbers.widths * self.numbers.lengths
        sorted_bags = sorted(bags, key=lambda bag: bag.usable.area)
        room = [bag.usable.area for bag in sorted_bags]
        places = np.searchsorted(areas[found.positions], room, side="right")
        order = np.insert(np.arange(len(found)), places, [~at for at in range(len(room))])
        return Hits(self, found, sorted_bags, order)

    def hit(self, held: Held) -> FoundPiece:
        """Return one of the pieces found."""
        left = held.largest_left if held.largest_left.area else None
        return self.piece(held.position, held.holds, left)

    def lacking(self, size: Size, turning: bool) -> tuple[int, Length] | None:
        """Return the piece that lacks least of one cut, and how much of its worst side."""
        if not len(self.cloth):
            return None
        widths, lengths = self.numbers.widths, self.numbers.lengths
        width, length = size.width.ticks, size.length.ticks
        straight = np.maximum(width - widths, length - lengths)
        turned = np.maximum(length - widths, width - lengths)
        free = np.logical_and(turning, ~self.numbers.directional)
        short = np.where(free, np.minimum(straight, turned), straight)
        position = int(np.argmin(short))
        return position, Length(int(short[position]))


class Hits(Sequence[FoundPiece]):
    """The pieces found, each made when it is looked at: there may be a hundred thousand."""

    def __init__(
        self, offered: Offered, found: Found, bags: Sequence[FoundPiece], order: NDArray[np.int64]
    ) -> None:
        self._offered, self._found, self._bags, self._order = offered, found, bags, order

    def __len__(self) -> int:
        return len(self._order)

    @overload
    def __getitem__(self, place: int) -> FoundPiece: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[FoundPiece, ...]: ...

    def __getitem__(self, place: int | slice) -> FoundPiece | tuple[FoundPiece, ...]:
        """Return a piece by its place in the order, or several."""
        if isinstance(place, slice):
            return tuple(self[at] for at in range(*place.indices(len(self))))
        at = int(self._order[place])
        return self._offered.hit(self._found[at]) if at >= 0 else self._bags[~at]

    def those_among(self, codes: Container[str]) -> tuple[FoundPiece, ...]:
        """Return those with one of these codes, in the same order; no other is made for it."""
        known = np.array([code in codes for code in self._offered.cloth.codes], dtype=np.bool_)
        bags = np.array([bag.code in codes for bag in self._bags], dtype=np.bool_)
        # A bag stands in the order as ~0, ~1 …: the last, the last but one of what is counted here.
        wanted = np.concatenate((known[self._found.positions], bags[::-1]))[self._order]
        return tuple(self[place] for place in np.flatnonzero(wanted).tolist())
