"""Cures for a weak seam: which one fabric of the shelf, in the place of another, holds it apart."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stashkeeper.choosing.seam_contrast import Cast, RoleSeam, SeamContrast, judge_seams, replaced
from stashkeeper.luminance.contrast import Entry, Verdict, one_a_fabric

LOOKED_AT: Final = 12
"""So many of the fabrics that lie farthest off are judged in full."""

type Spare = Callable[[str, str], Sequence[Entry]]
"""Given a role and the code that leaves it, the pieces that could take its place."""

type Order = Mapping[str, int]
"""How light a role is meant to be; roles of one number need not be told apart."""


@dataclass(frozen=True, slots=True)
class SeamCure:
    """One exchange of a fabric that widens a weak seam.

    Attributes:
        role: the role whose fabric is exchanged.
        leave_out: the code that leaves it.
        instead: the code that comes.
        gap: what the narrowest of the role's seams becomes, in L*.
        uncertainty: of that gap, ± L* (95 %).
        verdict: on it.
    """

    role: str
    leave_out: str
    instead: str
    gap: float
    uncertainty: float
    verdict: Verdict


def seam_cures(
    weak: SeamContrast, seams: Sequence[RoleSeam], cast: Cast, spare: Spare, order: Order
) -> tuple[SeamCure, ...]:
    """Return the exchanges of one fabric that help a seam, best first: one for each side at most.

    A fabric is exchanged for the one that keeps its role farthest from every role it meets, each on
    its own side: a role meant to be lighter stays lighter. No exchange is named that leaves the
    role's narrowest seam no better than this one was.

    Args:
        weak: the seam to be cured.
        seams: every seam of the quilt.
        cast: the fabrics of each role.
        spare: what could take a fabric's place; fabrics of the cast are passed over.
        order: how light each role is meant to be.
    """
    if weak.gap is None:
        return ()
    found = [
        cure for role, out in _sides(weak) for cure in _at(role, out, seams, cast, spare, order)
    ]
    better = [cure for cure in found if cure.verdict.rank > weak.verdict.rank]
    return tuple(sorted(better, key=lambda cure: (-cure.verdict.rank, -cure.gap, cure.role)))


def meant_alike(seam: RoleSeam, order: Order) -> bool:
    """Tell whether both roles of a seam are meant to be equally light, so that it may be weak."""
    return seam.one in order and seam.other in order and order[seam.one] == order[seam.other]


def _sides(weak: SeamContrast) -> Iterator[tuple[str, str]]:
    """Yield both roles of a seam with the fabric that comes too near."""
    yield weak.lighter_role, weak.lighter
    yield weak.seam.other_than(weak.lighter_role), weak.darker


def _at(
    role: str, out: str, seams: Sequence[RoleSeam], cast: Cast, spare: Spare, order: Order
) -> Iterator[SeamCure]:
    """Yield the best exchange of one fabric."""
    used = {entry.fabric for entries in cast.values() for entry in entries}
    fresh = [entry for entry in spare(role, out) if entry.fabric not in used]
    entries = one_a_fabric(sorted(fresh, key=lambda one: one.code))
    if not entries:
        return
    met = [seam for seam in seams if role in {seam.one, seam.other}]
    told_apart = [seam for seam in met if not meant_alike(seam, order)] or met
    room = _room([one.reading.lightness for one in entries], role, told_apart, cast, order)
    nearest = np.argsort(-room, kind="stable")[:LOOKED_AT].tolist()
    judged = [
        cure
        for at in nearest
        if room[at] > 0
        for cure in _judged(role, out, entries[at], told_apart, cast)
    ]
    best = max(judged, key=lambda cure: (cure.verdict.rank, cure.gap), default=None)
    if best is not None:
        yield best


def _room(
    lightness: Sequence[float], role: str, seams: Sequence[RoleSeam], cast: Cast, order: Order
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return for each lightness how far it lies on the right side of every role that is met."""
    here = np.array(lightness, dtype=np.float64)
    room = np.full(here.shape, np.inf)
    for seam in seams:
        other = seam.other_than(role)
        sign = 1.0 if _is_lighter(role, other, cast, order) else -1.0
        for entry in cast.get(other, ()):
            room = np.minimum(room, sign * (here - entry.reading.lightness))
    return room


def _is_lighter(role: str, other: str, cast: Cast, order: Order) -> bool:
    """Tell whether a role is meant to be lighter; where nothing is meant, whether it is."""
    if role in order and other in order and order[role] != order[other]:
        return order[role] > order[other]
    means = [
        sum(entry.reading.lightness for entry in cast.get(one, ())) / max(len(cast.get(one, ())), 1)
        for one in (role, other)
    ]
    return means[0] >= means[1]


def _judged(
    role: str, out: str, entry: Entry, seams: Sequence[RoleSeam], cast: Cast
) -> Iterator[SeamCure]:
    """Yield the exchange with the narrowest of the role's seams after it."""
    after = judge_seams(seams, replaced(cast, role, out, entry))
    known = [one for one in after if one.gap is not None and one.uncertainty is not None]
    if known:
        worst = min(known, key=lambda one: (one.verdict.rank, one.gap or 0.0))
        assert worst.gap is not None and worst.uncertainty is not None
        yield SeamCure(role, out, entry.code, worst.gap, worst.uncertainty, worst.verdict)
