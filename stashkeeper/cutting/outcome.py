"""What lies on the table when cutting stops: all of a plan, or only its first cuts."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Box, CutLine, Direction, OffCut, PiecePlan
from stashkeeper.errors import BadCutError
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a piece has become.

    Attributes:
        made: how many of each cut are there, by name.
        left: every other rectangle; `kept` says which are worth putting back on the shelf.
    """

    made: Mapping[str, int]
    left: tuple[OffCut, ...]


def after(piece: PiecePlan, lines: int, keeping: Keeping) -> Outcome:
    """Return what a squared piece has become after the first so many cuts of its plan.

    Args:
        piece: the plan of the piece.
        lines: how many of its cuts were made, from 0 to all of them.
        keeping: from what size on an off-cut goes back on the shelf.

    Raises:
        BadCutError: the plan does not have so many cuts.
    """
    if not 0 <= lines <= len(piece.lines):
        raise BadCutError(
            f"{lines} cuts of piece {piece.cloth.code} were said to be made.",
            f"Its plan has {len(piece.lines)} cuts: name a number from 0 to that.",
        )
    lying = [piece.squared]
    for line in piece.lines[:lines]:
        lying.remove(line.box)
        lying += line_parts(line)
    names = {placement.box: placement.name for placement in piece.placements}
    made = Counter(names[box] for box in lying if box in names)
    left = [box for box in lying if box not in names]
    return Outcome(dict(made), tuple(OffCut(box, keeping.worth_keeping(box.size)) for box in left))


def line_parts(line: CutLine) -> tuple[Box, Box]:
    """Return what a cut takes off, and the rest."""
    box, size = line.box, line.box.size
    if line.direction is Direction.ALONG:
        taken = Box(box.left, box.near, Size(line.setting, size.length))
        rest = Size(size.width - line.setting, size.length)
        return taken, Box(box.left + line.setting, box.near, rest)
    taken = Box(box.left, box.near, Size(size.width, line.setting))
    rest = Size(size.width, size.length - line.setting)
    return taken, Box(box.left, box.near + line.setting, rest)


def selvedges_of(cloth: Cloth, box: Box) -> frozenset[Edge]:
    """Return the edges of a rectangle that are still selvedge: none where it was trimmed off."""
    edges = set()
    if Edge.LEFT in cloth.selvedges and not cloth.trims.left and not box.left:
        edges.add(Edge.LEFT)
    if Edge.RIGHT in cloth.selvedges and not cloth.trims.right and box.right == cloth.whole.width:
        edges.add(Edge.RIGHT)
    return frozenset(edges)
