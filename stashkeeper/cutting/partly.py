"""What lies on the mat after only the first cuts of a piece."""

from dataclasses import dataclass

from stashkeeper.cutting.plan import Box, CutLine, Direction, PiecePlan, Placement
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class OnTheMat:
    """What is finished, and every other rectangle, after so many cuts.

    Attributes:
        finished: the cuts of the plan that are done.
        rests: the off-cuts, and what was still to be cut further.
    """

    finished: tuple[Placement, ...]
    rests: tuple[Box, ...]


def after(piece: PiecePlan, cuts: int) -> OnTheMat:
    """Return what lies there after the first `cuts` cuts (trims not counted).

    Trims, finished cuts and rests are the whole piece, however many cuts are made.
    """
    lying = {piece.squared: None}
    for line in piece.lines[: max(cuts, 0)]:
        del lying[line.box]
        lying.update(dict.fromkeys(parted(line)))
    finished = tuple(placement for placement in piece.placements if placement.box in lying)
    done = {placement.box for placement in finished}
    return OnTheMat(finished, tuple(box for box in lying if box not in done))


def parted(line: CutLine) -> tuple[Box, Box]:
    """Return what a cut takes off a rectangle, and the rest."""
    box, size = line.box, line.box.size
    if line.direction is Direction.ALONG:
        rest = Size(size.width - line.setting, size.length)
        taken = Box(box.left, box.near, Size(line.setting, size.length))
        return taken, Box(box.left + line.setting, box.near, rest)
    rest = Size(size.width, size.length - line.setting)
    taken = Box(box.left, box.near, Size(size.width, line.setting))
    return taken, Box(box.left, box.near + line.setting, rest)
