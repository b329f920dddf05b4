"""Contrast where fabrics meet: every pair of roles that share a seam, judged with their fabrics."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from stashkeeper.cloth.reading import Reading, difference_uncertainty
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.luminance.contrast import (
    HELD_BY_COLOUR_FROM,
    TOO_CLOSE,
    Entry,
    Verdict,
    colour_differences,
    one_a_fabric,
    verdict_of,
)

type Cast = Mapping[str, Sequence[Entry]]
"""The fabrics chosen for each role, by the role's name."""

BUSY_FROM: Final = 5.0
"""Prints mix where the lights of the darker and the darks of the lighter overlap by so much, L*."""

MOST_PAIRS: Final = 50
"""At one seam so many weak pairs are looked at, the closest first."""


class Holds(StrEnum):
    """What keeps two roles apart along their seam."""

    VALUE = "value"
    """They stay apart in grey."""
    UNSURE = "perhaps value"
    """They look far enough apart in grey, but the readings are too unsure to tell."""
    COLOUR = "colour only"
    """They are weak in grey, and held by hue and saturation."""
    NOTHING = "nothing"
    """They are weak in grey and in colour, or a colour is not known."""
    NO_PIECES = "no pieces"
    """A role has no fabric yet."""


@dataclass(frozen=True, slots=True)
class RoleSeam:
    """Two roles that meet, and along what finished length, in inches."""

    one: str
    other: str
    length: float = 0.0

    def other_than(self, role: str) -> str:
        """Return the role across the seam from one of its two."""
        return self.one if role == self.other else self.other


@dataclass(frozen=True, slots=True)
class ColourStep:
    """How two colours differ (CIE 1976, in units of L*a*b*; CIEDE2000 for the whole).

    Attributes:
        whole: CIEDE2000; None where the pair is not weak in grey, so that nobody asked.
        saturation: difference of chroma C*ab.
        hue: difference of hue H*ab, 2·√(C₁·C₂)·sin(Δh/2) (CIE 15:2004, 8.2.1.2).
    """

    whole: float | None
    saturation: float
    hue: float


@dataclass(frozen=True, slots=True)
class SeamContrast:
    """The judgement on one pair of roles.

    Attributes:
        seam: the roles and the length along which they meet.
        lighter, darker: the codes of the two fabrics that are closest in lightness, one of each
            role; empty where a role has none.
        lighter_role: the role of the lighter one.
        gap: how far they lie apart, in L*; None where a role has no fabric.
        uncertainty: what is to be taken off that gap to be sure of every pair across, ± L*.
        verdict: on the gap, by the rule for value groups.
        holds: what keeps the roles apart.
        colour: how their colours differ; None where one is not known.
        mixing: by how much their prints overlap in lightness, from the 98th percentile of the
            darker down to the 2nd of the lighter, in L*; 0 where they do not, None where a
            spread is not known.
    """

    seam: RoleSeam
    lighter: str
    darker: str
    lighter_role: str
    gap: float | None
    uncertainty: float | None
    verdict: Verdict
    holds: Holds
    colour: ColourStep | None
    mixing: float | None

    @property
    def weak(self) -> bool:
        """Whether the seam is weak in grey."""
        return self.verdict is Verdict.WEAK

    @property
    def busy(self) -> bool:
        """Whether prints mix at the seam although their mean lightness may not."""
        return self.mixing is not None and self.mixing >= BUSY_FROM


@dataclass(frozen=True, slots=True)
class SeamChange:
    """One pair of roles before and after a fabric was replaced."""

    before: SeamContrast
    after: SeamContrast

    @property
    def better(self) -> bool:
        """Whether the seam holds better than before."""
        return _worst_first(self.before) < _worst_first(self.after)


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two fabrics across a seam, and which of the two roles the lighter one plays."""

    lighter: Entry
    darker: Entry
    swapped: bool

    @property
    def gap(self) -> float:
        return self.lighter.reading.lightness - self.darker.reading.lightness

    @property
    def uncertainty(self) -> float:
        if self.lighter.fabric == self.darker.fabric:
            return 0.0  # it is the same cloth on both sides
        return difference_uncertainty(self.lighter.reading, self.darker.reading)


def judge_seams(seams: Iterable[RoleSeam], cast: Cast) -> tuple[SeamContrast, ...]:
    """Return the judgement on every pair of roles, the worst first, longer seams before shorter.

    A role with several fabrics is as far away as its closest one. A pair counts as held by colour
    only if every two of its fabrics that are weak in grey are.

    Args:
        seams: the roles that meet.
        cast: the fabrics of each role; a role that is not in it has none.
    """
    known = list(seams)
    pairs = [_pairs(cast.get(seam.one, ()), cast.get(seam.other, ())) for seam in known]
    weak = [pair for some in pairs for pair in _weak(some)]
    wholes = iter(
        colour_differences([(pair.lighter.reading, pair.darker.reading) for pair in weak])
    )
    found = []
    for seam, some in zip(known, pairs, strict=True):
        mine = [next(wholes) for _ in _weak(some)]
        found.append(_judged(seam, some, mine))
    return tuple(sorted(found, key=_worst_first))


def weak_seams(judged: Iterable[SeamContrast]) -> tuple[SeamContrast, ...]:
    """Return the seams that are weak in grey, in the order given."""
    return tuple(one for one in judged if one.weak)


def replaced(cast: Cast, role: str, out: str, instead: Entry) -> Cast:
    """Return the cast with another fabric in the place of one.

    Args:
        cast: the fabrics of each role.
        role: the role it plays.
        out: the code of any piece of the fabric that goes.
        instead: the piece that comes.

    Raises:
        BadRequestError: there is no such role, or the fabric does not play it.
    """
    if role not in cast:
        raise BadRequestError(
            f"There is no role {quoted(role)}.", f"The roles are: {', '.join(cast)}."
        )
    going = {entry.fabric for entry in cast[role] if entry.code == out}
    if not going:
        codes = ", ".join(entry.code for entry in cast[role]) or "nothing yet"
        raise BadRequestError(
            f"{quoted(out)} does not play {quoted(role)}.", f"That role has {codes}."
        )
    stay = [entry for entry in cast[role] if entry.fabric not in going]
    place = next(number for number, entry in enumerate(cast[role]) if entry.fabric in going)
    return {**cast, role: (*stay[:place], instead, *stay[place:])}


def seam_changes(
    before: Iterable[SeamContrast], after: Iterable[SeamContrast]
) -> tuple[SeamChange, ...]:
    """Return the pairs of roles whose judgement changed, in the order of `after`."""
    earlier = {(one.seam.one, one.seam.other): one for one in before}
    return tuple(
        SeamChange(earlier[one.seam.one, one.seam.other], one)
        for one in after
        if (one.seam.one, one.seam.other) in earlier
        and earlier[one.seam.one, one.seam.other] != one
    )


def _pairs(ones: Sequence[Entry], others: Sequence[Entry]) -> list[_Pair]:
    """Return the pairs across a seam, the closest in lightness first."""
    found = [
        _Pair(one, other, False)
        if one.reading.lightness >= other.reading.lightness
        else _Pair(other, one, True)
        for one in one_a_fabric(ones)
        for other in one_a_fabric(others)
    ]
    return sorted(found, key=lambda pair: (pair.gap, pair.lighter.code, pair.darker.code))


def _weak(pairs: Sequence[_Pair]) -> list[_Pair]:
    """Return the weak ones of pairs that come the closest first, at most MOST_PAIRS."""
    return [pair for pair in pairs[:MOST_PAIRS] if pair.gap < TOO_CLOSE]


def _unsure(pairs: Sequence[_Pair]) -> float:
    """Return what is to be taken off the closest pair's gap to be sure of all of them, ± L*.

    The closest pair as it is read need not be the closest one in truth. Of a weak gap its own.
    """
    gap = pairs[0].gap
    if gap < TOO_CLOSE:
        return pairs[0].uncertainty
    return max(pair.uncertainty - (pair.gap - gap) for pair in pairs)


def _judged(seam: RoleSeam, pairs: Sequence[_Pair], wholes: Sequence[float | None]) -> SeamContrast:
    if not pairs:
        return SeamContrast(
            seam, "", "", "", None, None, Verdict.NO_PIECES, Holds.NO_PIECES, None, None
        )
    closest = pairs[0]
    lighter, darker = closest.lighter, closest.darker
    uncertainty = _unsure(pairs)
    verdict = verdict_of(closest.gap, uncertainty)
    return SeamContrast(
        seam,
        lighter.code,
        darker.code,
        seam.other if closest.swapped else seam.one,
        closest.gap,
        uncertainty,
        verdict,
        _holds(verdict, wholes),
        _colour_step(lighter.reading, darker.reading, wholes[0] if wholes else None),
        _mixing(lighter.reading, darker.reading),
    )


def _holds(verdict: Verdict, wholes: Sequence[float | None]) -> Holds:
    if verdict is Verdict.CANNOT_TELL:
        return Holds.UNSURE
    if verdict is not Verdict.WEAK:
        return Holds.VALUE
    held = all(whole is not None and whole >= HELD_BY_COLOUR_FROM for whole in wholes)
    return Holds.COLOUR if held else Holds.NOTHING


def _colour_step(one: Reading, other: Reading, whole: float | None) -> ColourStep | None:
    if one.a is None or one.b is None or other.a is None or other.b is None:
        return None
    chromas = math.hypot(one.a, one.b), math.hypot(other.a, other.b)
    turn = math.atan2(one.b, one.a) - math.atan2(other.b, other.a)
    hue = 2.0 * math.sqrt(chromas[0] * chromas[1]) * abs(math.sin(turn / 2.0))
    return ColourStep(whole, abs(chromas[0] - chromas[1]), hue)


def _mixing(lighter: Reading, darker: Reading) -> float | None:
    if lighter.spread is None or darker.spread is None:
        return None
    return max(darker.spread.high - lighter.spread.low, 0.0)


_WORST = (Holds.NOTHING, Holds.COLOUR, Holds.UNSURE, Holds.VALUE, Holds.NO_PIECES)


def _worst_first(one: SeamContrast) -> tuple[float | str, ...]:
    """Return what seams are sorted by: what holds them, how well, and how long they are."""
    gap = math.inf if one.gap is None else one.gap - (one.uncertainty or 0.0)
    rank = float(_WORST.index(one.holds))
    step = float(one.verdict.rank)
    return rank, step, -one.seam.length, gap, one.seam.one, one.seam.other
