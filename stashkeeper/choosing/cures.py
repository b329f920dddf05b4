"""Cures for weak contrast: what to leave out, what to take instead, what the gap becomes."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from stashkeeper.cloth.reading import Reading
from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import (
    Contrast,
    Entry,
    Verdict,
    gap_of,
    one_a_fabric,
    verdict_of,
)

Groups = Mapping[Value, Sequence[Entry]]
Boundary = tuple[Value, Value]


@dataclass(frozen=True, slots=True)
class Cure:
    """One change that widens a weak gap.

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


def cures(groups: Groups, contrast: Contrast, shelf: Sequence[Entry]) -> tuple[Cure, ...]:
    """Return what would widen a gap, best first; each is one change of one fabric.

    For each fabric of a weak pair: leaving it out (never the last of its group), and the piece of
    the shelf that serves best in its place. No cure makes the verdict at the group's other
    boundary worse. Of pieces that serve equally well, the one nearest in colour is taken.

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
        for group, entry in _offenders(groups, contrast)
        for cure in _for_one(groups, contrast.between, group, entry, spare)
        if cure.gap > contrast.gap
    ]
    return tuple(sorted(found, key=_best_first))


def _best_first(cure: Cure) -> tuple[int, float, bool, tuple[str, ...]]:
    """Return what cures are sorted by; of equal ones, a change that keeps the group full first."""
    return -cure.verdict.rank, -cure.gap, cure.instead is None, cure.leave_out


def _offenders(groups: Groups, contrast: Contrast) -> Iterator[tuple[Value, Entry]]:
    """Yield each fabric of the weak pairs once, with its group."""
    for side, group in enumerate(contrast.between):
        codes = {(pair.lighter, pair.darker)[side] for pair in contrast.pairs}
        for entry in one_a_fabric(groups.get(group, ())):
            if entry.code in codes:
                yield group, entry


def _for_one(
    groups: Groups, between: Boundary, group: Value, entry: Entry, spare: Sequence[Entry]
) -> Iterator[Cure]:
    """Yield the cures that leave out the fabric of `entry`: alone, and for the best piece."""
    copies = tuple(one.code for one in groups[group] if one.fabric == entry.fabric)
    left = [one for one in groups[group] if one.fabric != entry.fabric]
    ends = {value: _ends(entries) for value, entries in groups.items()}
    before = _ranks(ends)

    def tried(instead: Entry | None) -> Cure | None:
        members = _ends(left) + ([] if instead is None else [instead])
        after = {**ends, group: members}
        judged = _judged(after, between)
        if judged is None or _spoils(before, _ranks(after), between):
            return None
        return Cure(copies, group, instead.code if instead else None, *judged)

    without = tried(None)
    if without is not None:
        yield without
    choices = [(cure, one) for one in spare if (cure := tried(one)) is not None]
    if choices:
        yield min(choices, key=lambda choice: _serves(choice[0], choice[1], entry))[0]


def _serves(cure: Cure, instead: Entry, entry: Entry) -> tuple[int, float, float, str]:
    """Return what replacements for `entry` are sorted by, best first."""
    distance = _distance(instead.reading, entry.reading)
    return -cure.verdict.rank, -cure.gap, distance, instead.code


def _ends(entries: Sequence[Entry]) -> list[Entry]:
    """Return the darkest and the lightest entry: the only ones that gaps depend on."""
    if not entries:
        return []
    return [min(entries, key=_lightness), max(entries, key=_lightness)]


def _judged(groups: Groups, between: Boundary) -> tuple[float, float, Verdict] | None:
    """Return gap, uncertainty and verdict at a boundary, or None where a group is empty."""
    lighter, darker = (groups.get(value, ()) for value in between)
    if not lighter or not darker:
        return None
    gap, uncertainty = gap_of(min(lighter, key=_lightness), max(darker, key=_lightness))
    return gap, uncertainty, verdict_of(gap, uncertainty)


def _ranks(groups: Groups) -> dict[Boundary, int]:
    """Return how good the verdict at each boundary is."""
    judged = {between: _judged(groups, between) for between in BOUNDARIES}
    return {between: found[2].rank for between, found in judged.items() if found}


def _spoils(before: dict[Boundary, int], after: dict[Boundary, int], between: Boundary) -> bool:
    """Tell whether a change makes the verdict at a boundary other than `between` worse."""
    return any(after[other] < before[other] for other in after if other != between)


def _lightness(entry: Entry) -> float:
    return entry.reading.lightness


def _distance(one: Reading, other: Reading) -> float:
    """Return how far two colours lie apart (CIE 1976 ΔE*ab), or two lightnesses where unknown."""
    if None in {one.a, one.b, other.a, other.b}:
        return abs(one.lightness - other.lightness)
    return math.dist(
        (one.lightness, one.a or 0.0, one.b or 0.0),
        (other.lightness, other.a or 0.0, other.b or 0.0),
    )
