"""Strips across the fabric, and strip sets: strips sewn side by side, then cut across.

A strip set is as wide as its finished strips together plus two seams, because every seam between
them is part of their own allowances. (Geometry.)
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.quilts.sewing import Sewing, whole_number


@dataclass(frozen=True, slots=True)
class StripSet:
    """Strips to sew side by side and cut across into segments.

    Attributes:
        strips: the width to cut of each strip, in order, at ruler marks.
        width: the width of the sewn set, raw edge to raw edge.
        segment: the width to cut of each segment, at a ruler mark.
        per_set: how many segments one set gives.
        sets: how many sets are needed.
    """

    strips: tuple[Length, ...]
    width: Length
    segment: Length
    per_set: int
    sets: int


def strip_set(
    finished_strips: Sequence[Length],
    finished_segment: Length,
    segments: int,
    strip_length: Length,
    sewing: Sewing,
) -> StripSet:
    """Return the strip sets for so many `segments`, from strips `strip_length` long.

    Each strip is cut finished + 2s, each segment finished + 2s; a four-patch takes two segments of
    a set of two strips, a nine patch three segments of sets of three (common practice).

    Raises:
        BadSizeError: no strip, sizes that no quilt has, or a strip too short for one segment.
    """
    if not finished_strips:
        raise BadSizeError("A strip set has no strips.", "Give the width of each strip.")
    strips = tuple(sewing.cut(width) for width in finished_strips)
    sewn = sum((width for width in finished_strips), Length(0)) + sewing.both_seams
    segment = sewing.cut(finished_segment)
    per_set = cuts_per_strip(segment, strip_length)
    sets = -(-whole_number(segments, "segments") // per_set)
    return StripSet(strips, sewn, segment, per_set, sets)


def cuts_per_strip(cut: Length, strip_length: Length) -> int:
    """Return how many cuts of this length one strip gives.

    Raises:
        BadSizeError: the strip is too short for one.
    """
    if cut.ticks <= 0 or strip_length < cut:
        raise BadSizeError(
            "A strip is too short for one cut.", "Use longer strips, or a smaller cut."
        )
    return strip_length // cut


def strips_needed(cut: Length, count: int, strip_length: Length) -> int:
    """Return how many strips hold `count` cuts of this length, side by side.

    Raises:
        BadSizeError: the strip is too short for one, or an impossible count.
    """
    return -(-whole_number(count, "cuts") // cuts_per_strip(cut, strip_length))
