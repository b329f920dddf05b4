"""Find: which pieces hold at least so many cuts of one size, cut edge to edge.

Three sieves, each finer than the last: the area, then what plain rows and columns hold (exact where
nothing may be turned), then the exact table of `counting.py`.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from stashkeeper.cloth.cut import NARROWEST_CUT
from stashkeeper.cutting.counting import Table
from stashkeeper.cutting.shelf import Flags, Shelf, Whole
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class Held:
    """One piece that holds enough.

    Attributes:
        position: where it lies on the shelf that was searched.
        holds: how many cuts it holds, at most.
        largest_left: the largest rectangle that one straight cut sets aside while the rest still
            gives what is wanted; a width or length of 0 where nothing is left.
    """

    position: int
    holds: int
    largest_left: Size


@dataclass(frozen=True, slots=True)
class Found:
    """Every piece that holds enough, the smallest first.

    Attributes:
        positions: where they lie on the shelf that was searched.
        holds: how many cuts each holds, at most.
        left_widths, left_lengths: the largest rectangle each can set aside, in ticks.
    """

    positions: Whole
    holds: Whole
    left_widths: Whole
    left_lengths: Whole

    def __len__(self) -> int:
        return int(self.positions.size)

    def __iter__(self) -> Iterator[Held]:
        return (self[number] for number in range(len(self)))

    def __getitem__(self, number: int) -> Held:
        """Return the piece at this place in the order."""
        left = Size(Length(int(self.left_widths[number])), Length(int(self.left_lengths[number])))
        return Held(int(self.positions[number]), int(self.holds[number]), left)


def find(shelf: Shelf, size: Size, count: int = 1, turning: bool = True) -> Found:
    """Return the pieces that hold at least `count` cuts of `size`, the smallest first.

    Args:
        shelf: the usable sizes to search.
        size: the cut, seams included.
        count: how many one piece must hold.
        turning: whether the cut may be turned by a quarter (never on a directional print).

    Raises:
        BadCutError: a count below 1, or a side under 1/4 in.
    """
    check_wanted(size, count)
    roomy = np.flatnonzero(_by_area(shelf, size, count))
    holds, table = _held(shelf.take(roomy), size, turning)
    enough = np.flatnonzero(holds >= count)
    positions, holds = roomy[enough], holds[enough]
    order = np.argsort(shelf.widths[positions] * shelf.lengths[positions], kind="stable")
    positions, holds = positions[order], holds[order]
    left_widths, left_lengths = _left(shelf.take(positions), size, count, table)
    return Found(positions, holds, left_widths, left_lengths)


def counts(shelf: Shelf, size: Size, turning: bool = True) -> Whole:
    """Return how many cuts of `size` each piece holds, at most.

    Raises:
        BadCutError: a side under 1/4 in.
    """
    check_wanted(size, 1)
    return _held(shelf, size, turning)[0]


def check_wanted(size: Size, count: int) -> None:
    """Refuse a count below 1 and a side under 1/4 in.

    Raises:
        BadCutError: one of them is asked for.
    """
    if count < 1:
        raise BadCutError(f"A cut was wanted {count} times.", "Ask for at least one.")
    if min(size.width, size.length) < NARROWEST_CUT:
        raise BadCutError(
            "A cut under 1/4 in (6.35 mm) was asked for.",
            "Both sides of a cut must be at least that: its seams would meet.",
        )


def _by_area(shelf: Shelf, size: Size, count: int) -> Flags:
    """Tell which pieces have the area of so many cuts; 10⁹ of them must not overflow."""
    wanted = min(size.area * count, np.iinfo(np.int64).max)
    return np.asarray(shelf.widths * shelf.lengths >= wanted)


def _held(shelf: Shelf, size: Size, turning: bool) -> tuple[Whole, Table | None]:
    """Return what each piece holds, and the table of it if one was needed."""
    width, length = size.width.ticks, size.length.ticks
    plain = (shelf.widths // width) * (shelf.lengths // length)
    turnable = np.flatnonzero(~shelf.directional)
    if not turning or width == length or not turnable.size:
        return plain, None
    grid = math.gcd(width, length)
    widths, lengths = shelf.widths[turnable] // grid, shelf.lengths[turnable] // grid
    table = Table.build(width // grid, length // grid, widths, lengths)
    plain[turnable] = table.count(widths, lengths)
    return plain, table


def _left(shelf: Shelf, size: Size, count: int, table: Table | None) -> tuple[Whole, Whole]:
    """Return the largest rectangle one straight cut can set aside on each piece."""
    if not len(shelf):
        return shelf.widths, shelf.lengths
    used_width, used_length = _plain_use(shelf, size, count)
    if table is not None:
        grid = math.gcd(size.width.ticks, size.length.ticks)
        turnable = np.flatnonzero(~shelf.directional)
        free = shelf.take(turnable)
        for used, found in zip(
            (used_width, used_length),
            table.narrowest(count, free.widths // grid, free.lengths // grid),
            strict=True,
        ):
            used[turnable] = np.minimum(found * grid, used[turnable])
    beside = (shelf.widths - used_width) * shelf.lengths
    beyond = shelf.widths * (shelf.lengths - used_length)
    wide = beside >= beyond
    return (
        np.where(wide, shelf.widths - used_width, shelf.widths),
        np.where(wide, shelf.lengths, shelf.lengths - used_length),
    )


def _plain_use(shelf: Shelf, size: Size, count: int) -> tuple[Whole, Whole]:
    """Return the least width, and the least length, that plain rows of the cut take up."""
    width, length = size.width.ticks, size.length.ticks
    in_column, in_row = shelf.lengths // length, shelf.widths // width
    columns = -(-count // np.maximum(in_column, 1)) * width
    rows = -(-count // np.maximum(in_row, 1)) * length
    return (
        np.where(in_column > 0, np.minimum(columns, shelf.widths), shelf.widths),
        np.where(in_row > 0, np.minimum(rows, shelf.lengths), shelf.lengths),
    )
