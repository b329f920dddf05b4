"""A shelf as numbers: the usable sizes of many pieces side by side, to be searched in one go."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, may_come_from
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

type Whole = NDArray[np.int64]
type Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Usable widths and lengths in ticks; a position means the same piece in every array.

    Attributes:
        widths, lengths: the usable sizes, in ticks, none negative.
        directional: which pieces have a print with a direction: nothing is turned on them.
    """

    widths: Whole
    lengths: Whole
    directional: Flags

    @classmethod
    def of(cls, cloths: Sequence[Cloth]) -> Self:
        """Return the shelf that holds these pieces, in the same order."""
        return cls.from_ticks(
            [cloth.size.width.ticks for cloth in cloths],
            [cloth.size.length.ticks for cloth in cloths],
            [cloth.directional for cloth in cloths],
        )

    @classmethod
    def from_ticks(
        cls, widths: Sequence[int], lengths: Sequence[int], directional: Sequence[bool]
    ) -> Self:
        """Return the shelf of these usable sizes in ticks; less than nothing counts as nothing."""
        return cls(
            np.maximum(np.asarray(widths, dtype=np.int64), 0),
            np.maximum(np.asarray(lengths, dtype=np.int64), 0),
            np.asarray(directional, dtype=np.bool_),
        )

    def take(self, where: Whole) -> "Shelf":
        """Return the shelf of the pieces at these positions."""
        return Shelf(self.widths[where], self.lengths[where], self.directional[where])

    def size(self, position: int) -> Size:
        """Return the usable size of one piece."""
        return Size(Length(int(self.widths[position])), Length(int(self.lengths[position])))

    def __len__(self) -> int:
        return int(self.widths.size)


def suitable(cloths: Sequence[Cloth], cut: Cut) -> Flags:
    """Tell for each piece whether fabric, value, role and grain let the cut come from it."""
    return np.array([may_come_from(cut, cloth) for cloth in cloths], dtype=np.bool_)
