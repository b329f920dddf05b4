"""The fields that several sums share."""

from collections.abc import Mapping
from typing import Final

from stashkeeper.actions.sum_given import Given
from stashkeeper.actions.sum_words import Field, Kind, Row
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.strips import strips_needed
from stashkeeper.quilts.units import CutSide

FINISHED: Final = Field(
    "finished", "Finished side", Kind.LENGTH, "The side of a unit once it is sewn in.", needed=True
)
QUILT: Final = Field(
    "quilt", "Quilt", Kind.SIZE, "The finished size of the quilt, width × length.", needed=True
)
COUNT: Final = Field("count", "How many", Kind.NUMBER, "How many units are wanted.", usual="1")
SEAM: Final = Field(
    "seam", "Seam", Kind.LENGTH, "The seam allowance; 0 for none.", usual=("1/4 in", "7.5 mm")
)
FINISH: Final = Field(
    "finish",
    "Finish",
    Kind.CHOICE,
    "trimmed: cut large, and trim each unit. exact: cut so that it comes out right.",
    usual="trimmed",
    choices=("trimmed", "exact"),
)
TRIM: Final = Field(
    "trim",
    "Trim",
    Kind.LENGTH,
    "What cutting large adds to the finished side.",
    usual=("1 in", "3 cm"),
)
FABRIC_WIDTH: Final = Field(
    "fabric-width",
    "Width of fabric",
    Kind.LENGTH,
    "How wide the fabric is between its selvedges; your setting usable-width where left out.",
)
COLUMNS: Final = Field("columns", "Columns", Kind.NUMBER, "How many side by side.", needed=True)
ROWS: Final = Field("rows", "Rows", Kind.NUMBER, "How many one below the other.", needed=True)


def by_both(given: Given, side: CutSide, added: Mapping[Length, Length], of: str = "") -> list[Row]:
    """Return a side by exact geometry, and by the printed rule where there is one.

    Args:
        given: what was typed.
        side: the side.
        added: what the printed rule adds, by seam.
        of: what it is a side of, where there are several.
    """
    rows = [Row(f"{of}by geometry", given.exactly(side.exact), side.exact)]
    if side.printed is not None:
        rule = side.rule.replace("added", given.shown(added[given.sewing().seam]))
        rows.append(given.row(f"{of}by the printed rule", side.printed, rule))
    return rows


def several(count: int, one: str, more: str = "") -> str:
    """Return a count with its noun: 1 pair, 20 pairs."""
    return f"{count:,} {one if count == 1 else more or one + 's'}"


def differing(given: Given, side: CutSide, what: str) -> list[str]:
    """Return what to say where the printed rule and geometry lead to different ruler marks."""
    if side.printed is None:
        return []
    needed = side.exact.rounded_to(given.sewing().mark, Rounding.UP)
    if side.printed == needed:
        return []
    printed, exact = given.shown(side.printed), given.exactly(side.exact)
    told = f"Cut to come out exactly, {what} {printed} by the printed rule are"
    if side.printed < side.exact:
        return [f"{told} short: geometry needs {exact}, so {given.shown(needed)}."]
    return [f"{told} a little much: geometry needs {exact}, so {given.shown(needed)} will do."]


def strips_of(given: Given, cut: Size, count: int, what: str = "cloth") -> list[Row]:
    """Return the strips across the fabric that so many cuts take, and what to ask for in the shop.

    A cut that is too long across is cut along the selvedge instead.

    Raises:
        BadSizeError: a cut wider than the cloth both ways, or an impossible count.
    """
    width = given.cloth_width()
    if cut.length <= width < cut.width:
        cut = cut.turned()
    strips = strips_needed(cut.width, count, width)
    length = cut.length * strips
    strip = Size(width, cut.length)
    return [
        Row(f"strips of {what}", f"{strips:,}", strips, f"{given.shown(strip)} each"),
        given.off_the_bolt(what, length),
    ]


def square_of(side: Length) -> Size:
    """Return the square of a side."""
    return Size(side, side)
