"""A line-up: several fabrics side by side in one photo. Where each lies, and how surely.

A split that is not sure says so, with its best guess: a wrong split would put the lightness of one
fabric on another's name.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from stashkeeper.errors import BadCropError, quoted
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.lineup_decide import Decision, decide
from stashkeeper.luminance.lineup_lines import straight_lines
from stashkeeper.luminance.lineup_profile import Profile, lean_of, profile_of, small_picture
from stashkeeper.luminance.region import WHOLE_FRAME, Crop

MOST: Final = 16
"""So many fabrics a line-up holds at most."""
MARGIN: Final = 0.12
"""Left out on either side of a strip, as a share of its width: edges fray and cast shadows."""
LONGEST: Final = 0.78
"""A strip is measured over so much of its length at most."""
CLEARLY: Final = 5.0
"""Edges one way being so many times as sharp as the other way tell upright from lying."""
AS_WELL: Final = 1.15
"""Else the colours must: strips the other way explain them worse by at least this factor."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line between two strips, or along the outer side of one.

    Attributes:
        start, end: how far across the photo it lies at its two ends, as fractions: from the left,
            at the top and at the bottom edge (of lying strips from the top, at the left and at the
            right edge). An outer line may lie a little outside.
    """

    start: float
    end: float

    def at(self, along: float) -> float:
        """Return how far across it lies, `along` from its start (0) to its end (1)."""
        return self.start + (self.end - self.start) * along


@dataclass(frozen=True, slots=True)
class Split:
    """How a photo is split into strips.

    Attributes:
        lines: one more than there are strips, from left to right (from top to bottom).
        lying: whether the strips lie across the photo.
        doubts: why it is not sure, in clauses; none where it is sure.
    """

    lines: tuple[Line, ...]
    lying: bool
    doubts: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many strips there are."""
        return len(self.lines) - 1

    @property
    def sure(self) -> bool:
        """Whether it can be taken without a person's yes."""
        return not self.doubts

    def crops(self) -> tuple[Crop, ...]:
        """Return an upright rectangle well inside each strip, in fractions of the upright photo.

        Raises:
            BadCropError: a strip is too narrow for its tilt.
        """
        return tuple(_inside(*pair, self.lying) for pair in pairwise(self.lines))


def find_split(photo: Photo, count: int | None = None, part: Crop = WHOLE_FRAME) -> Split:
    """Return how a photo of a line-up splits into strips.

    Args:
        photo: an open photo.
        count: how many fabrics it shows; found where None.
        part: the part of the photo in which they lie.
    """
    edges = part.left, part.top, part.right, part.bottom
    pictures = [small_picture(photo, lying, edges) for lying in (False, True)]
    leans = [lean_of(picture) for picture in pictures]
    # False, upright, stands first and True, lying, second.
    lying = leans[True][1] > leans[False][1]
    best = profile_of(pictures[lying], lying, leans[lying][0])
    decision, doubts = decide(best, count), []
    if leans[lying][1] < CLEARLY * leans[not lying][1]:
        other = profile_of(pictures[not lying], not lying, leans[not lying][0])
        second = decide(other, count)
        if second.cost < decision.cost:
            best, decision, second = other, second, decision
        if second.cost < AS_WELL * decision.cost:
            doubts.append("the fabrics seem to lie in a grid, or on the slant")
    return Split(_lines(best, decision, part), best.lying, (*doubts, *decision.doubts))


def parse_lines(text: str, *, lying: bool = False) -> Split:
    """Read lines typed as "0.05 0.2 0.37/0.39 0.6": how far across each is, or start/end.

    Raises:
        BadCropError: when they are not at least three rising fractions.
    """
    try:
        ends = [
            [float(part) for part in word.split("/")] for word in text.replace(",", " ").split()
        ]
        lines = [Line(pair[0], pair[-1]) for pair in ends if len(pair) <= 2]
    except ValueError:
        lines, ends = [], []
    inside = all(-0.2 <= edge <= 1.2 for line in lines for edge in (line.start, line.end))
    rising = all(
        one.at(along) < other.at(along) for one, other in pairwise(lines) for along in (0.0, 1.0)
    )
    if len(lines) < 3 or len(lines) != len(ends) or not (inside and rising):
        raise BadCropError(
            f"{quoted(text)} are not the lines of a line-up.",
            "Give rising fractions, one more than there are fabrics: “0.05 0.3 0.52/0.54 0.9” "
            "(start/end where a line is tilted).",
        )
    return Split(tuple(lines), lying)


def typed_lines(lines: Sequence[Line]) -> str:
    """Return lines as `parse_lines` reads them."""
    return " ".join(
        f"{line.start:.3f}"
        if abs(line.start - line.end) < 0.002
        else f"{line.start:.3f}/{line.end:.3f}"
        for line in lines
    )


def _lines(profile: Profile, decision: Decision, part: Crop) -> tuple[Line, ...]:
    """Return the lines of the whole photo, from those of the part that was looked at."""
    first, last = (part.top, part.bottom) if profile.lying else (part.left, part.right)
    start, end = (part.left, part.right) if profile.lying else (part.top, part.bottom)
    lines = []
    for near, far in straight_lines(profile, decision.bounds):
        part_of = Line(first + near * (last - first), first + far * (last - first))
        ends = [part_of.at((edge - start) / (end - start)) for edge in (0.0, 1.0)]
        lines.append(Line(*ends))
    return tuple(lines)


def _inside(left: Line, right: Line, lying: bool) -> Crop:
    """Return the largest rectangle between two lines, in the middle of their length."""
    width = right.at(0.5) - left.at(0.5)
    best = (0.0, 0.0, 0.0, 0.0)
    for length in np.linspace(0.1, LONGEST, 35).tolist():
        ends = 0.5 - length / 2, 0.5 + length / 2
        near = max(0.0, *(left.at(end) for end in ends)) + MARGIN * width
        far = min(1.0, *(right.at(end) for end in ends)) - MARGIN * width
        best = max(best, ((far - near) * length, near, far, length))
    area, near, far, length = best
    if area <= 0:
        raise BadCropError(
            "A strip of the line-up is too narrow for its tilt.",
            "Lay the fabrics straight and wider, or give other --lines.",
        )
    first, last = 0.5 - length / 2, 0.5 + length / 2
    return Crop(first, near, last, far) if lying else Crop(near, first, far, last)
