"""Cures for weak contrast: what to leave out, what to take instead, what the gap becomes.

A gap hangs on two fabrics alone: the darkest of the lighter group and the lightest of the darker
one. So a single change can only widen it at one of these; where more fabrics crowd together,
`clearing` tells the fewest that have to go.
"""

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest

from stashkeeper.cloth.reading import Reading
from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import (
    TOO_CLOSE,
    Contrast,
    Entry,
    Verdict,
    gap_of,
    group_gap,
    one_a_fabric,
    verdict_of,
)

MOST_TRIED = 12
"""So many of the pieces that serve best by the closest pair are judged by all pairs."""

Groups = Mapping[Value, Sequence[Entry]]
Boundary = tuple[Value, Value]
Judged = tuple[float, float, Verdict]
"""A gap, its uncertainty, and the verdict on both."""


@dataclass(frozen=True, slots=True)
class Cure:
    """One change of one fabric that widens a gap.

    Attributes:
        leave_out: the codes to leave out: every copy of one fabric in the group.
        group: the group they leave, and where `instead` goes.
        instead: the code on the shelf to take in its place, or None to do without.
        gap: what the gap becomes, in L*.
        uncertainty: of that gap, ± L* (95 %).
        verdict: what the contrast becomes.
    """

    leave_out: tuple[str, ...]
    group: Value
    instead: str | None
    gap: float
    uncertainty: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Clearing:
    """The fewest fabrics to leave out for a gap that is no longer weak.

    Attributes:
        leave_out: one code for each fabric, those of the lighter group first, nearest the gap
            first.
        gap: what the gap becomes, in L*.
        uncertainty: of that gap, ± L* (95 %).
        verdict: what the contrast becomes.
    """

    leave_out: tuple[str, ...]
    gap: float
    uncertainty: float
    verdict: Verdict


def cures(groups: Groups, contrast: Contrast, shelf: Sequence[Entry]) -> tuple[Cure, ...]:
    """Return the single changes that widen a gap, best first.

    For each of the two fabrics that the gap hangs on: leaving it out (never the last of its
    group), and the piece of the shelf that serves best in its place. No cure makes the verdict at
    the group's other boundary worse. Of pieces that serve equally well, the one nearest in colour
    to the fabric left out is taken. Where a change makes the gap fair or better, those that do not
    are left away.

    Args:
        groups: the pieces of each value.
        contrast: the judgement on the boundary to be cured.
        shelf: pieces to choose from; fabrics already in a group are passed over.
    """
    if contrast.gap is None:
        return ()
    used = {entry.fabric for entries in groups.values() for entry in entries}
    spare = one_a_fabric([entry for entry in shelf if entry.fabric not in used])
    found = [
        cure
        for side in (0, 1)
        for cure in _at_one_side(groups, contrast.between, side, spare)
        if cure.gap > contrast.gap
    ]
    real = [cure for cure in found if cure.verdict.rank >= Verdict.FAIR.rank]
    return tuple(sorted(real or found, key=_best_first))


def clearing(groups: Groups, contrast: Contrast) -> Clearing | None:
    """Return the fewest fabrics to leave out for a gap of at least TOO_CLOSE, of both groups.

    Of equally few, those that leave the widest gap. None where the gap is wide enough, a group is
    empty, or one of them would have to go altogether.
    """
    if contrast.gap is None or contrast.gap >= TOO_CLOSE:
        return None
    lights, darks = (one_a_fabric(groups.get(value, ())) for value in contrast.between)
    lights.sort(key=_lightness)
    darks.sort(key=_lightness, reverse=True)
    ways = list(_ways_apart(lights, darks))
    if not ways:
        return None
    i, j = min(ways, key=lambda way: (sum(way), -gap_of(lights[way[0]], darks[way[1]])[0]))
    apart = group_gap(lights[i:], darks[j:])
    codes = tuple(entry.code for entry in (*lights[:i], *darks[:j]))
    return Clearing(codes, apart.gap, apart.uncertainty, apart.verdict)


def _ways_apart(lights: Sequence[Entry], darks: Sequence[Entry]) -> Iterator[tuple[int, int]]:
    """Yield how many of the darkest lights and, for these, of the lightest darks must go.

    Lights come darkest first, darks lightest first; at least one of each stays.
    """
    rising = [-_lightness(entry) for entry in darks]
    for i, light in enumerate(lights):
        j = bisect_left(rising, TOO_CLOSE - _lightness(light))
        if j < len(darks):
            yield i, j


def _best_first(cure: Cure) -> tuple[int, float, bool, tuple[str, ...]]:
    """Return what cures are sorted by; of equal ones, a change that keeps the group full first."""
    return -cure.verdict.rank, -cure.gap, cure.instead is None, cure.leave_out


@dataclass(frozen=True, slots=True)
class _Side:
    """One group at a boundary, without the fabric that the gap hangs on.

    Places are lightnesses seen from the boundary: `sign` × L*, so that for both groups a larger
    place lies farther in, and a gap is always the larger place minus the smaller.

    Attributes:
        sign: 1 for the lighter group, −1 for the darker.
        near, far: what is left of it nearest to the boundary and farthest; None where nothing is.
        across: the nearest of the group across the boundary.
        beyond: the nearest of the group at its other boundary; None where there is none.
        verdict: the rank of the verdict there as it was.
    """

    sign: int
    near: Entry | None
    far: Entry | None
    across: Entry
    beyond: Entry | None
    verdict: int

    def judged(self, near: Entry) -> Judged:
        """Return gap, uncertainty and verdict with `near` the group's nearest."""
        return _judged(self.sign, self.across, near)

    def with_one(self, instead: Entry, without: Judged | None) -> Judged:
        """Return the same with `instead` in the group; `without` is how it is without it."""
        if without and self.near and self.place(instead) >= self.place(self.near):
            return without
        return self.judged(instead)

    def spoilt_by(self, instead: Entry) -> bool:
        """Tell whether `instead` makes the verdict at the group's other boundary worse."""
        if self.beyond is None or (self.far and self.place(instead) <= self.place(self.far)):
            return False
        return _judged(self.sign, instead, self.beyond)[2].rank < self.verdict

    def place(self, entry: Entry) -> float:
        """Return where an entry lies, seen from the boundary."""
        return self.sign * _lightness(entry)


def _at_one_side(
    groups: Groups, between: Boundary, side: int, spare: Sequence[Entry]
) -> Iterator[Cure]:
    """Yield the cures at the fabric of one side that the gap hangs on."""
    group = between[side]
    entry = (min, max)[side](groups[group], key=_lightness)
    copies = tuple(one.code for one in groups[group] if one.fabric == entry.fabric)
    left = [one for one in groups[group] if one.fabric != entry.fabric]
    state = _side(groups, between, side, left)
    others = one_a_fabric(groups[between[1 - side]])
    without = state.judged(state.near) if state.near else None
    if without is not None:
        yield Cure(copies, group, None, *_whole(left, others, side))
    likely = nsmallest(
        MOST_TRIED,
        ((state.with_one(one, without), one) for one in spare if not state.spoilt_by(one)),
        key=lambda choice: _serves(choice[0], choice[1], entry),
    )
    best = min(
        ((_whole([*left, one], others, side), one) for _, one in likely),
        key=lambda choice: _serves(choice[0], choice[1], entry),
        default=None,
    )
    if best is not None:
        yield Cure(copies, group, best[1].code, *best[0])


def _whole(group: Sequence[Entry], others: Sequence[Entry], side: int) -> Judged:
    """Return gap, uncertainty and verdict of a group and the one across, of all their pairs."""
    ones = sorted(one_a_fabric(group), key=_lightness, reverse=side == 1)
    across = sorted(others, key=_lightness, reverse=side == 0)
    apart = group_gap(*((ones, across), (across, ones))[side])
    return apart.gap, apart.uncertainty, apart.verdict


def _side(groups: Groups, between: Boundary, side: int, left: Sequence[Entry]) -> _Side:
    """Return one side of a boundary with what is `left` of its group."""
    group, nearest, farthest = between[side], (min, max)[side], (max, min)[side]
    others = [pair[side] for pair in BOUNDARIES if pair != between and pair[1 - side] is group]
    beyond = [entry for other in others for entry in groups.get(other, ())]
    sign = (1, -1)[side]
    outermost = nearest(beyond, key=_lightness) if beyond else None
    end = farthest(groups[group], key=_lightness)
    return _Side(
        sign=sign,
        near=nearest(left, key=_lightness) if left else None,
        far=farthest(left, key=_lightness) if left else None,
        across=farthest(groups[between[1 - side]], key=_lightness),
        beyond=outermost,
        verdict=_judged(sign, end, outermost)[2].rank if outermost else 0,
    )


def _judged(sign: int, outer: Entry, inner: Entry) -> Judged:
    """Return gap, uncertainty and verdict of two entries, `inner` the farther one by place."""
    gap, uncertainty = gap_of(inner, outer)
    return sign * gap, uncertainty, verdict_of(sign * gap, uncertainty)


def _serves(judged: Judged, instead: Entry, entry: Entry) -> tuple[int, float, float, str]:
    """Return what replacements for `entry` are sorted by, best first."""
    gap, _, verdict = judged
    return -verdict.rank, -gap, _distance(instead.reading, entry.reading), instead.code


def _distance(one: Reading, other: Reading) -> float:
    """Return how far two colours lie apart (CIE 1976 ΔE*ab), or two lightnesses where unknown."""
    if None in {one.a, one.b, other.a, other.b}:
        return abs(one.lightness - other.lightness)
    return math.dist(
        (one.lightness, one.a or 0.0, one.b or 0.0),
        (other.lightness, other.a or 0.0, other.b or 0.0),
    )


def _lightness(entry: Entry) -> float:
    return entry.reading.lightness
