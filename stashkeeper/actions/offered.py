"""What the pieces of the shelf offer, as numbers that are searched in one go."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stashkeeper.actions.cloths import Allowance, is_certain, is_directional, usable_of_row
from stashkeeper.actions.found import FoundPiece
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.cutting.fit import Found
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class Offered:
    """The pieces of which something is usable, and their usable sizes as numbers."""

    rows: list[PieceRow]
    numbers: Shelf
    certain: list[bool]

    @classmethod
    def of(cls, rows: Sequence[PieceRow], taken: Allowance) -> "Offered":
        """Derive every usable size; bags of scraps are left out."""
        kept, widths, lengths = list[PieceRow](), list[int](), list[int]()
        directional, certain = list[bool](), list[bool]()
        for row in rows:
            offered = usable_of_row(row, taken)
            if offered is not None:
                kept.append(row)
                widths.append(offered.size.width.ticks)
                lengths.append(offered.size.length.ticks)
                directional.append(is_directional(row))
                certain.append(is_certain(offered))
        return cls(kept, Shelf.from_ticks(widths, lengths, directional), certain)

    def found(self, found: Found) -> list[FoundPiece]:
        """Return the pieces found; plain numbers, for there may be a hundred thousand."""
        widths, lengths = self.numbers.widths.tolist(), self.numbers.lengths.tolist()
        answers = zip(
            found.positions.tolist(),
            found.holds.tolist(),
            found.left_widths.tolist(),
            found.left_lengths.tolist(),
            strict=True,
        )
        return [
            FoundPiece.of(
                self.rows[at],
                Size(Length(widths[at]), Length(lengths[at])),
                holds,
                Size(Length(width), Length(length)) if width and length else None,
                self.certain[at],
            )
            for at, holds, width, length in answers
        ]

    def lacking(self, size: Size, turning: bool) -> tuple[int, Length] | None:
        """Return the piece that lacks least of one cut, and how much of its worst side."""
        if not self.rows:
            return None
        widths, lengths = self.numbers.widths, self.numbers.lengths
        width, length = size.width.ticks, size.length.ticks
        straight = np.maximum(width - widths, length - lengths)
        turned = np.maximum(length - widths, width - lengths)
        free = np.logical_and(turning, ~self.numbers.directional)
        short = np.where(free, np.minimum(straight, turned), straight)
        position = int(np.argmin(short))
        return position, Length(int(short[position]))
