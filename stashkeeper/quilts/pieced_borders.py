"""A border pieced from off-cuts: the widest possible, from which strips, and the new size.

Every off-cut is cut into strips of one width, the long way where that is enough, otherwise
whichever way gives more; the strips are sewn end to end with straight joins (two seams each) into
one long strip, and the four borders are cut from it. Narrower strips never give less length and
need less, so the widest width is found by halving. (Geometry; the method is common practice.)
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.borders import Border, BorderCuts, border_cuts
from stashkeeper.quilts.sewing import Sewing


@dataclass(frozen=True, slots=True)
class OffCutStrips:
    """The strips that one off-cut gives.

    Attributes:
        off_cut: the name (code) of the off-cut.
        strip: width × length of each strip, as cut.
        count: how many of them.
        across: whether the strips run across the off-cut's width rather than along its length.
    """

    off_cut: str
    strip: Size
    count: int
    across: bool


@dataclass(frozen=True, slots=True)
class PiecedBorder:
    """The widest border the off-cuts allow.

    Attributes:
        width: finished width, at a ruler mark.
        strips: which strips to cut from which off-cut, longest strips first; no more off-cuts
            than are needed.
        joins: how many joins make them one strip.
        needed: the length of joined strip that the four borders take.
        made: the length that the strips give once joined.
        cuts: the four borders to cut from the joined strip, and the new finished size.
    """

    width: Length
    strips: tuple[OffCutStrips, ...]
    joins: int
    needed: Length
    made: Length
    cuts: BorderCuts


def widest_border(
    inside: Size, off_cuts: Mapping[str, Size], sewing: Sewing, widest: Length | None = None
) -> PiecedBorder | None:
    """Return the widest butted border around `inside` that the off-cuts give; None if they cannot.

    Args:
        inside: the finished size of the quilt so far.
        off_cuts: the usable size of each off-cut, by its name.
        sewing: seams, and the ruler mark the width is a multiple of.
        widest: no wider than this, where given.

    Raises:
        BadSizeError: a quilt of a size that none has.
    """
    longest = max((max(size.width, size.length) for size in off_cuts.values()), default=Length(0))
    most = longest - sewing.both_seams if widest is None else widest
    low, high = 0, most.rounded_to(sewing.mark, Rounding.DOWN) // sewing.mark
    best: PiecedBorder | None = None
    while low < high:
        middle = (low + high + 1) // 2
        made = _border(inside, off_cuts, sewing, sewing.mark * middle)
        best, low, high = (made, middle, high) if made else (best, low, middle - 1)
    return best


def _border(
    inside: Size, off_cuts: Mapping[str, Size], sewing: Sewing, width: Length
) -> PiecedBorder | None:
    """Return a border of this width from the longest strips, or else from the most strip."""
    cuts = border_cuts(inside, Border("pieced border", width), sewing)
    needed = (cuts.sides.length + cuts.ends.width) * 2
    strip = sewing.cut(width)
    both_ways = [_both_ways(name, size, strip) for name, size in off_cuts.items()]

    def net(strips: OffCutStrips) -> Length:
        return (strips.strip.length - sewing.both_seams) * strips.count

    longest = [max(ways, key=lambda strips: strips.strip.length) for ways in both_ways]
    most = [max(ways, key=net) for ways in both_ways]
    for offered in (longest, most):
        taken, made = _taken([one for one in offered if net(one).ticks > 0], needed, sewing)
        if made >= needed:
            joins = sum(strips.count for strips in taken) - 1
            return PiecedBorder(width, tuple(taken), joins, needed, made, cuts)
    return None


def _taken(
    offered: list[OffCutStrips], needed: Length, sewing: Sewing
) -> tuple[list[OffCutStrips], Length]:
    """Return the longest strips that reach the length needed, and the length they make."""
    taken: list[OffCutStrips] = []
    made = sewing.both_seams
    for strips in sorted(offered, key=lambda one: (-one.strip.length.ticks, one.off_cut)):
        each = strips.strip.length - sewing.both_seams
        count = min(strips.count, max(0, -((made - needed) // each)))
        if count:
            taken.append(replace(strips, count=count))
            made += each * count
    return taken, made


def _both_ways(name: str, size: Size, width: Length) -> tuple[OffCutStrips, OffCutStrips]:
    """Return the strips of this width that an off-cut gives along its length, and across it."""
    return (
        OffCutStrips(name, Size(width, size.length), size.width // width, False),
        OffCutStrips(name, Size(width, size.width), size.length // width, True),
    )
