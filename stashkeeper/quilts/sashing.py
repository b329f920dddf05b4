"""Sashing: strips between blocks, with or without cornerstones where they cross."""

from dataclasses import dataclass

from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.sewing import Sewing, checked, whole_number


@dataclass(frozen=True, slots=True)
class Sashing:
    """What to cut for sashing; sizes at ruler marks, as cut.

    Attributes:
        upright: the strip beside a block, with how many.
        level: the strip below a block, or below a whole row where there are no cornerstones.
        cornerstone: the square where strips cross, with how many; none without cornerstones.
        finished: the finished size of blocks and sashing together.
    """

    upright: tuple[Size, int]
    level: tuple[Size, int]
    cornerstone: tuple[Size, int] | None
    finished: Size


def sashing(
    columns: int,
    rows: int,
    block: Size,
    sash: Length,
    sewing: Sewing,
    cornerstones: bool = True,
    outer: bool = False,
) -> Sashing:
    """Return the sashing for so many blocks, finished `sash` wide.

    Each strip is finished + 2s both ways (common practice). `outer` adds a frame of sashing
    around the whole.

    Raises:
        BadSizeError: sizes that no quilt has, or an impossible number of blocks.
    """
    columns = whole_number(columns, "blocks", 1, 1000)
    rows = whole_number(rows, "blocks", 1, 1000)
    checked(sash, "sash")
    down, across = columns + (1 if outer else -1), rows + (1 if outer else -1)
    width = block.width * columns + sash * down
    finished = Size(width, block.length * rows + sash * across)
    upright = sewing.cut_size(Size(sash, block.length)), down * rows
    if not cornerstones:
        return Sashing(upright, (sewing.cut_size(Size(width, sash)), across), None, finished)
    level = sewing.cut_size(Size(block.width, sash)), across * columns
    return Sashing(upright, level, (sewing.cut_size(Size(sash, sash)), down * across), finished)
