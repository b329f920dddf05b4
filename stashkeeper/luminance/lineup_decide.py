"""Which division of a photo is the line-up, and whether it is the only one that will do."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_evidence import Evidence, Way
from stashkeeper.luminance.lineup_profile import Profile
from stashkeeper.luminance.lineup_split import NEAR, Division, Divisions, divide

SURE: Final = 0.85
"""The best way is taken without a person's yes where it is right with this chance."""
OTHER_COUNT: Final = 1.0
"""A count that was given is doubted where so much more (logit) speaks for another."""
WORTH: Final = 2200.0
"""Two strips are more than one where the second gains so many nats."""
SURE_MARGIN: Final = 40.0
"""A boundary is sure when every division without it is so much worse, in nats."""
TWO_ROWS: Final = 20.0
"""Where most strips are so many codes different above and below, there are two rows of fabrics."""
SAME: Final = 0.93
"""Strips whose colours overlap so far (Bhattacharyya) show one fabric, or stripes of one."""
MOST: Final = 18
"""Strips that are looked for, table included."""


@dataclass(frozen=True, slots=True)
class Decision:
    """The division that was decided on, without what lies beside the fabrics.

    Attributes:
        bounds: columns, count of strips + 1.
        cost: how badly the division explains the colours.
        doubts: why it is not sure, in clauses.
    """

    bounds: tuple[int, ...]
    cost: float
    doubts: tuple[str, ...]


def decide(profile: Profile, count: int | None) -> Decision:
    """Return the division of a picture into fabrics, a given count of them or as many as show."""
    divisions = divide(profile, MOST)
    evidence = Evidence(profile)
    every = [(evidence.score(way), way) for way in _ways(divisions)]
    scores, ways = zip(*(one for one in every if count in {None, one[1].fabrics}), strict=True)
    chances = _chances(np.array(scores))
    place, chance = _likeliest(ways, chances, round(NEAR * profile.width))
    best, (most, likeliest) = ways[place], max(every, key=lambda one: one[0])
    doubts: list[str] = []
    if divisions.of(1).cost - divisions.of(2).cost < WORTH / 2:
        doubts.append("it sees no strips side by side")
    if most > max(scores) + OTHER_COUNT:
        doubts.append(f"there seem to be {likeliest.fabrics} strips")
    elif chance < SURE:
        doubts.append(_other(best, ways, chances))
    doubts += _doubts(profile, best, evidence)
    return Decision(best.bounds, best.division.cost, tuple(doubts))


def _ways(divisions: Divisions) -> list[Way]:
    """Return all ways to see two fabrics or more, with and without table beside them."""
    ways = [
        Way(division, left, right)
        for division in divisions.by_count
        for left in (False, True)
        for right in (False, True)
    ]
    return [way for way in ways if way.fabrics >= 2]


def _chances(scores: Floats) -> Floats:
    weights = np.exp(scores - scores.max())
    return np.asarray(weights / weights.sum())


def _likeliest(ways: Sequence[Way], chances: Floats, near: int) -> tuple[int, float]:
    """Return the place of the best way, and the chance that its inner boundaries are right."""
    together = [
        sum(
            float(chance)
            for other, chance in zip(ways, chances, strict=True)
            if _same(way, other, near)
        )
        for way in ways
    ]
    place = max(range(len(ways)), key=lambda one: (round(together[one], 6), chances[one]))
    return place, together[place]


def _same(way: Way, other: Way, near: int) -> bool:
    """Tell whether two ways put the same boundaries between their fabrics."""
    return way.fabrics == other.fabrics and all(
        abs(one - two) <= near
        for one, two in zip(way.bounds[1:-1], other.bounds[1:-1], strict=True)
    )


def _other(best: Way, ways: Sequence[Way], chances: Floats) -> str:
    """Return what the likeliest other way sees differently."""
    others = [
        (chance, way)
        for chance, way in zip(chances, ways, strict=True)
        if way.fabrics != best.fabrics
    ]
    other = max(others, key=lambda one: one[0])[1] if others else None
    if other is None:
        return "it cannot tell which end is table and which is cloth"
    if len(other.division.bounds) == len(best.division.bounds):
        return "an end of it may be table or cloth"
    return f"there may be {other.fabrics} strips"


def _doubts(profile: Profile, way: Way, evidence: Evidence) -> tuple[str, ...]:
    """Return why a way is doubted however likely it is."""
    doubts = []
    margins = way.division.margins
    between = margins[int(way.left) : len(margins) - int(way.right)]
    if min(between, default=SURE_MARGIN) < SURE_MARGIN:
        doubts.append(f"boundary {int(np.argmin(between)) + 1} may lie elsewhere")
    if evidence.likeness(way).max() > SAME:
        doubts.append("two strips look like one fabric")
    return (*doubts, *_grid(profile, way.division))


def _grid(profile: Profile, division: Division) -> tuple[str, ...]:
    """Return that there are several rows of fabrics, where most strips change half-way."""
    inner = list(pairwise(division.bounds))[1:-1] or list(pairwise(division.bounds))
    apart = np.stack(
        [_halves(profile.colours[:, first:last].mean(axis=1)) for first, last in inner]
    )
    found = np.percentile(apart, 30.0, axis=0).max() > TWO_ROWS
    return ("the fabrics seem to lie in several rows",) if found else ()


def _halves(rows: Floats) -> Floats:
    """Return how different a strip is above and below each height well inside it."""
    sums, count = np.cumsum(rows, axis=0), len(rows)
    at = np.arange(count // 4, 3 * count // 4)
    above = sums[at] / (at + 1)[:, np.newaxis]
    below = (sums[-1] - sums[at]) / (count - 1 - at)[:, np.newaxis]
    return np.asarray(np.linalg.norm(above - below, axis=1))
