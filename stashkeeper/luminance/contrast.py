"""Contrast between neighbouring value groups: do they stay distinct across the room?"""

import heapq
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import islice, takewhile

from stashkeeper.cloth.reading import Reading, difference_uncertainty, lone_photo_factors
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.quiet import hush

TOO_CLOSE = 5.0
"""A gap below this, in L*, is weak: half a Munsell value step."""
FAIR_FROM, CLEAR_FROM, STRONG_FROM = 5.0, 10.0, 20.0
"""What is left of a gap after its uncertainty, in L*; a Munsell value step is about 10."""
HELD_BY_COLOUR_FROM = 20.0
"""CIEDE2000 from which colour alone holds a pair apart: as much as a strong gap would (ours)."""
MOST_PAIRS = 10
"""Weak pairs named at one boundary, the worst first."""
MOST_LOOKED_AT = 2_000
"""Pairs whose own uncertainty is worked out; of farther ones the least that it can be is taken."""


class Verdict(StrEnum):
    """How well two neighbouring groups stay apart, from worst to best."""

    NO_PIECES = "no pieces"
    WEAK = "weak"
    CANNOT_TELL = "cannot tell"
    FAIR = "fair"
    CLEAR = "clear"
    STRONG = "strong"

    @property
    def rank(self) -> int:
        """Its place from worst (0) to best."""
        return _RANKS[self]


_RANKS = {verdict: rank for rank, verdict in enumerate(Verdict)}


@dataclass(frozen=True, slots=True)
class Entry:
    """A piece as it takes part in a judgement: its code, its reading, and which fabric it is."""

    code: str
    reading: Reading
    fabric: str


@dataclass(frozen=True, slots=True)
class WeakPair:
    """Two fabrics across a boundary that are too close in lightness.

    Attributes:
        lighter, darker: codes, of the lighter and of the darker group.
        gap: L* of the first minus the second; negative where they are the wrong way round.
        uncertainty: of that gap, ± L* (95 %).
        colour_difference: CIEDE2000, or None where a colour is not known.
        held_by_colour: whether hue and saturation keep them apart all the same.
    """

    lighter: str
    darker: str
    gap: float
    uncertainty: float
    colour_difference: float | None
    held_by_colour: bool


@dataclass(frozen=True, slots=True)
class Contrast:
    """The judgement on one boundary.

    Attributes:
        between: the lighter and the darker group.
        gap: lowest L* of the lighter minus highest of the darker; None where one is empty.
        uncertainty: what is to be taken off that gap to be sure of the groups, ± L*; None where
            one is empty.
        verdict: in words.
        pairs: the pairs that are too close, worst first, at most MOST_PAIRS.
        unsure: codes of the fabrics that nobody can tell apart from one across, lighter ones first.
    """

    between: tuple[Value, Value]
    gap: float | None
    uncertainty: float | None
    verdict: Verdict
    pairs: tuple[WeakPair, ...] = ()
    unsure: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GroupGap:
    """How far two groups lie apart.

    Attributes:
        gap: lowest L* of the lighter minus highest of the darker.
        uncertainty: what is to be taken off it to be sure of every pair across, ± L*. Of a weak
            gap that of its own pair: no other can make it any better.
        unsure: the pairs that nobody can tell, the closest first.
    """

    gap: float
    uncertainty: float
    unsure: tuple[tuple[Entry, Entry], ...] = ()

    @property
    def verdict(self) -> Verdict:
        """What is to be said of it."""
        return verdict_of(self.gap, self.uncertainty)


def verdict_of(gap: float, uncertainty: float) -> Verdict:
    """Return the verdict on a gap with its uncertainty, both in L*."""
    if gap < TOO_CLOSE:
        return Verdict.WEAK
    sure = gap - uncertainty
    if sure < FAIR_FROM:
        return Verdict.CANNOT_TELL
    if sure < CLEAR_FROM:
        return Verdict.FAIR
    return Verdict.CLEAR if sure < STRONG_FROM else Verdict.STRONG


def in_one_photo(gap: float, uncertainty: float) -> float | None:
    """Return the ± L* that a gap nobody can tell would have in one photo of both side by side.

    None where the gap can be told as it is, or one photo more would not settle it either.
    """
    one, other = (lone_photo_factors(own, "photo")[0].weight for own in ("one", "other"))
    then = math.hypot(one, other)
    unsettled = verdict_of(gap, uncertainty) is Verdict.CANNOT_TELL
    return then if unsettled and verdict_of(gap, then) is not Verdict.CANNOT_TELL else None


def gap_of(lighter: Entry, darker: Entry) -> tuple[float, float]:
    """Return the gap between two pieces, lighter minus darker, and its uncertainty, in L*."""
    gap = lighter.reading.lightness - darker.reading.lightness
    return gap, difference_uncertainty(lighter.reading, darker.reading)


def judge(
    lighter: Sequence[Entry], darker: Sequence[Entry], between: tuple[Value, Value]
) -> Contrast:
    """Judge the contrast between a lighter and a darker group.

    Copies of one fabric in one group count as one; the first of them speaks for all.
    """
    lights = sorted(one_a_fabric(lighter), key=_lightness)
    darks = sorted(one_a_fabric(darker), key=_lightness, reverse=True)
    if not lights or not darks:
        return Contrast(between, None, None, Verdict.NO_PIECES)
    apart = group_gap(lights, darks)
    unsure = dict.fromkeys(pair[side].code for side in (0, 1) for pair in apart.unsure)
    return Contrast(
        between, apart.gap, apart.uncertainty, apart.verdict, _weak_pairs(lights, darks),
        tuple(unsure),
    )  # fmt: skip


def group_gap(lights: Sequence[Entry], darks: Sequence[Entry]) -> GroupGap:
    """Return how far two groups lie apart, and how surely.

    The closest pair as it is read need not be the closest one in truth: two fabrics of different
    photos may be farther apart, and still less surely so.

    Args:
        lights: the lighter group, one entry a fabric, darkest first; at least one.
        darks: the darker group, one entry a fabric, lightest first; at least one.
    """
    gap, uncertainty = gap_of(lights[0], darks[0])
    if gap < TOO_CLOSE:
        return GroupGap(gap, uncertainty)
    # No pair is less sure than both readings together (triangle inequality).
    reach = sum(max(one.reading.uncertainty for one in group) for group in (lights, darks))
    unsure = list[tuple[Entry, Entry]]()
    for number, (one, other) in enumerate(_closest_first(lights, darks)):
        farther = _lightness(one) - _lightness(other) - gap
        if gap + farther - reach >= max(gap - uncertainty, FAIR_FROM):
            break
        if number >= MOST_LOOKED_AT:
            uncertainty = max(uncertainty, reach - farther)
            break
        apart, within = gap_of(one, other)
        uncertainty = max(uncertainty, within - farther)
        if verdict_of(apart, within) is Verdict.CANNOT_TELL:
            unsure.append((one, other))
    return GroupGap(gap, uncertainty, tuple(unsure))


def one_a_fabric(entries: Sequence[Entry]) -> list[Entry]:
    """Return the first entry of each fabric, in order."""
    first: dict[str, Entry] = {}
    for entry in entries:
        first.setdefault(entry.fabric, entry)
    return list(first.values())


def colour_differences(pairs: Sequence[tuple[Reading, Reading]]) -> list[float | None]:
    """Return CIEDE2000 of each pair of readings, None where a colour is not known.

    Source: ISO/CIE 11664-6:2022, as implemented by colour-science.
    """
    known = [index for index, pair in enumerate(pairs) if all(map(_has_colour, pair))]
    differences: list[float | None] = [None] * len(pairs)
    if known:
        hush("colour")
        from colour.difference import delta_E_CIE2000

        ones, others = ([_lab(pairs[index][side]) for index in known] for side in (0, 1))
        for index, found in zip(known, delta_E_CIE2000(ones, others), strict=True):
            differences[index] = float(found)
    return differences


def _weak_pairs(lights: Sequence[Entry], darks: Sequence[Entry]) -> tuple[WeakPair, ...]:
    """Return the closest pairs below TOO_CLOSE; lights come darkest first, darks lightest first."""
    close = takewhile(lambda pair: gap_of(*pair)[0] < TOO_CLOSE, _closest_first(lights, darks))
    found = list(islice(close, MOST_PAIRS))
    differences = colour_differences([(one.reading, other.reading) for one, other in found])
    return tuple(
        WeakPair(
            one.code,
            other.code,
            *gap_of(one, other),
            difference,
            difference is not None and difference >= HELD_BY_COLOUR_FROM,
        )
        for (one, other), difference in zip(found, differences, strict=True)
    )


def _closest_first(
    lights: Sequence[Entry], darks: Sequence[Entry]
) -> Iterator[tuple[Entry, Entry]]:
    """Yield pairs by rising gap, without looking at all of them."""
    heap = [(_lightness(lights[0]) - _lightness(darks[0]), 0, 0)]
    while heap:
        _, i, j = heapq.heappop(heap)
        yield lights[i], darks[j]
        following = [(i, j + 1)] + ([(i + 1, 0)] if j == 0 else [])
        for k, m in following:
            if k < len(lights) and m < len(darks):
                gap = _lightness(lights[k]) - _lightness(darks[m])
                heapq.heappush(heap, (gap, k, m))


def _lightness(entry: Entry) -> float:
    return entry.reading.lightness


def _has_colour(reading: Reading) -> bool:
    return reading.a is not None and reading.b is not None


def _lab(reading: Reading) -> tuple[float, float, float]:
    return reading.lightness, reading.a or 0.0, reading.b or 0.0
