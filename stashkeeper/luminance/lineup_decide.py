"""Which division of a photo is the line-up, and whether it is the only one that will do."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_profile import Profile
from stashkeeper.luminance.lineup_split import Division, Divisions, divide

WORTH: Final = 2200.0
"""What one strip more must gain, times the count of strips, in nats: wide strips hold more."""
SURE_MARGIN: Final = 40.0
"""A boundary is sure when every division without it is so much worse, in nats."""
NARROW_END: Final = 0.025
NARROW_BESIDE: Final = 0.3
"""An end narrower than this share of the picture, or of the middle strip, is no fabric."""
TWO_ROWS: Final = 20.0
"""Where most strips are so many codes different above and below, there are two rows of fabrics."""
TABLE_SHARE: Final = 0.5
"""An end is table when so much of it has the colour of the table."""
FABRIC_WIDE: Final = 0.5
"""An end of the table's colour may be cloth all the same when it is so wide beside the others."""
FABRIC_MAYBE: Final = 0.72
"""Where nobody said how many there are, it must be so wide to raise the question."""
SLIM: Final = 0.58
"""A strip much narrower than the middle one of all is a stripe of its neighbour, or a gap."""
GOES_ON: Final = 8.0
"""An end is table for sure where it differs by less than so many codes from what lies beyond it."""
BROAD: Final = 1.55
"""A strip so much wider than the middle one of all may be two fabrics much alike."""
PLAIN: Final = 12.0
"""Cloth or table whose colour varies by less than so many codes could be either."""
PLAIN_NARROW: Final = 0.8
"""Where it is the first or the last, and narrower than this beside the others."""
NARROW: Final = 0.5
"""An end so narrow beside the others is doubted however it looks."""
NEARLY: Final = 0.87
"""One strip more being worth nearly enough is doubted where nobody said how many there are."""
SAME: Final = 0.93
"""Strips whose colours overlap so far (Bhattacharyya) show one fabric: stripes of it, most likely.
"""
LEAST_FOUND: Final = 4
MOST: Final = 18


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
    gains = _gains(divisions)
    if count is None:
        return _found(profile, divisions, gains)
    return _given(profile, divisions, gains, count)


def _gains(divisions: Divisions) -> Floats:
    """Return what each strip more gains, times their count: from the second on; 0 for the first."""
    costs = np.array([one.cost for one in divisions.by_count])
    return np.concatenate([[0.0], -np.diff(costs) * np.arange(2, len(costs) + 1)])


def _given(profile: Profile, divisions: Divisions, gains: Floats, count: int) -> Decision:
    """Return the division into a given count of fabrics."""
    options = [
        (divisions.of(count + left + right), bool(left), bool(right))
        for left in (0, 1)
        for right in (0, 1)
    ]
    fitting = [
        one for one in options if all(map(_fits, _tables(profile, one[0], FABRIC_WIDE), one[1:]))
    ]
    if not fitting:
        division, left, right = max(options, key=lambda one: -_oddness(one[0], gains))
        doubts: tuple[str, ...] = ("it cannot tell which end is table and which is cloth",)
    else:
        division, left, right = min(fitting, key=lambda one: _oddness(one[0], gains))
        doubts = _doubts(profile, division, gains)
    return Decision(_without(division, left, right), division.cost, doubts)


def _fits(table: bool | None, taken: bool) -> bool:
    return table is None or table is taken


def _found(profile: Profile, divisions: Divisions, gains: Floats) -> Decision:
    """Return the division into as many fabrics as there seem to be."""
    count = max((place + 1 for place in range(1, MOST - 1) if gains[place] >= WORTH), default=1)
    # Stripes of a print are strips too slim beside the others: fewer strips leave them together.
    while count > LEAST_FOUND and _slim(divisions.of(count)):
        count -= 1
    division = divisions.of(count)
    tables = _tables(profile, division, FABRIC_MAYBE)
    left, right = (table is not False for table in tables)
    doubts = _doubts(profile, division, gains)
    ends = (bounds[:2] for bounds in (division.bounds, division.bounds[::-1]))
    odd = any(
        table is False and _odd_end(profile, division, min(end), max(end))
        for table, end in zip(tables, ends, strict=True)
    )
    if None in tables or odd:
        doubts = (*doubts, "an end of it may be table or cloth")
    if WORTH > float(gains[count : count + 2].max()) > NEARLY * WORTH:
        doubts = (*doubts, "there may be one strip more")
    if count - left - right < 2:
        doubts = ("it sees no strips side by side", *doubts)
        left = right = False
    return Decision(_without(division, left, right), division.cost, doubts)


def _without(division: Division, left: bool, right: bool) -> tuple[int, ...]:
    bounds = division.bounds
    return bounds[int(left) : len(bounds) - int(right)]


def _tables(profile: Profile, division: Division, wide: float) -> tuple[bool | None, bool | None]:
    """Tell of the first and of the last strip whether it is table; None where it may be."""
    bounds = division.bounds
    first, last = 0, len(bounds) - 2
    return _is_table(profile, bounds, first, wide), _is_table(profile, bounds, last, wide)


def _is_table(profile: Profile, bounds: tuple[int, ...], place: int, wide: float) -> bool | None:
    first, last = bounds[place], bounds[place + 1]
    middle = float(np.median(np.diff(bounds)))
    if last - first < max(NARROW_END * profile.width, NARROW_BESIDE * middle):
        return True
    if float(profile.table[:, first:last].mean()) <= TABLE_SHARE:
        return False
    if last - first <= wide * middle or _goes_on(profile, first, last):
        return True
    return None


def _goes_on(profile: Profile, first: int, last: int) -> bool:
    """Tell whether an end goes on beyond the ends of the strips without any change."""
    if not _plain(profile, first, last):
        return False
    edge = max(2, len(profile.colours) // 16)
    for beyond, rows in zip(profile.beyond, (slice(edge), slice(-edge, None)), strict=True):
        if beyond is not None:
            inside = profile.colours[rows, first:last].mean(axis=(0, 1))
            if np.linalg.norm(beyond[first:last].mean(axis=0) - inside) < GOES_ON:
                return True
    return False


def _odd_end(profile: Profile, division: Division, first: int, last: int) -> bool:
    """Tell whether an end strip is as plain and narrow as the edge of a table."""
    beside = (last - first) / float(np.median(np.diff(division.bounds)))
    unseen = not profile.table.any()
    plain = _plain(profile, first, last)
    return beside < NARROW or (plain and (unseen or beside < PLAIN_NARROW))


def _plain(profile: Profile, first: int, last: int) -> bool:
    """Tell whether some columns are of one colour."""
    return float(profile.colours[:, first:last].std(axis=(0, 1)).max()) < PLAIN


def _oddness(division: Division, gains: Floats) -> float:
    """Return how far a count is from what the gains say, in nats × count; 0 where they agree."""
    count = len(division.bounds) - 1
    last, more = float(gains[count - 1]), float(gains[count])
    return max(0.0, WORTH - last) + max(0.0, more - WORTH)


def _doubts(profile: Profile, division: Division, gains: Floats) -> tuple[str, ...]:
    """Return why a division is not the only one that will do."""
    doubts = []
    if _oddness(division, gains) > 0.25 * WORTH:
        doubts.append("another number of strips would explain the photo better")
    if min(division.margins, default=SURE_MARGIN) < SURE_MARGIN:
        place = int(np.argmin(division.margins)) + 1
        doubts.append(f"boundary {place} may lie elsewhere")
    return (*doubts, *_stripes(profile, division), *_grid(profile, division))


def _stripes(profile: Profile, division: Division) -> tuple[str, ...]:
    """Return why some strips may be stripes of one print."""
    widths = np.diff(division.bounds)[1:-1]
    if _slim(division):
        return ("a strip is so narrow that it may be a stripe of a print",)
    if len(widths) and widths.max() > BROAD * float(np.median(widths)):
        return ("a strip is so wide that it may be two fabrics",)
    counts = profile.counts()[list(division.bounds)]
    shares = np.sqrt(np.diff(counts, axis=0) / np.diff(counts, axis=0).sum(axis=1, keepdims=True))
    # The outermost two may both be table.
    alike = np.triu(shares @ shares.T, 1) > SAME
    alike[0, -1] = False
    return ("two strips look like one fabric",) if alike.any() else ()


def _slim(division: Division) -> bool:
    """Tell whether a strip between others is much narrower than they are."""
    widths = np.diff(division.bounds)[1:-1]
    return len(widths) > 0 and bool(widths.min() < SLIM * float(np.median(widths)))


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
