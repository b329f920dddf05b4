"""How a person sews: the seam, the ruler's marks, and whether units are cut large and trimmed."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Self

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.format import RULER_MARK, format_exactly
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size

QUARTER_INCH: Final = Length.from_inches("1/4")
INCH: Final = Length.from_inches(1)

LARGEST_FINISHED: Final = Length.from_inches(40 * 36)
"""Forty yards: no side of a quilt or of its parts is longer (ours)."""


class Finish(StrEnum):
    """How a unit with diagonal seams reaches its size."""

    EXACT = "exact"
    """Cut so that it comes out right without trimming."""
    TRIMMED = "trimmed"
    """Cut large, then trimmed to the unfinished size: forgiving, so the default (common
    practice)."""


@dataclass(frozen=True, slots=True)
class Sewing:
    """What every formula must know about the sewing.

    Attributes:
        seam: the seam allowance; a quarter inch, or 7.5 mm where patterns are metric (common
            practice: "How to plan a cot sized quilt using metric maths",
            lonesockproductions.blogspot.com, August 2010).
        mark: the ruler mark that everything to be cut is rounded up to.
        trim: what cutting large adds to the finished side of a half-square triangle: an inch
            (common practice), or 3 cm (ours: 2.5 cm would be 0.6 mm short of exact).
        finish: exact or cut large and trimmed.
    """

    seam: Length = QUARTER_INCH
    mark: Length = RULER_MARK[Measure.INCHES]
    trim: Length = INCH
    finish: Finish = Finish.TRIMMED

    def __post_init__(self) -> None:
        if self.seam.ticks < 0 or self.mark.ticks <= 0 or self.trim.ticks < 0:
            raise BadSizeError(
                "A seam, a ruler mark or a trim cannot be less than nothing.",
                "Give a seam such as 1/4 in.",
            )

    @classmethod
    def in_measure(cls, measure: Measure, finish: Finish = Finish.TRIMMED) -> Self:
        """Return the usual sewing of a person who thinks in this measure."""
        if measure is Measure.INCHES:
            return cls(finish=finish)
        return cls(
            seam=Length.from_millimetres("15/2"),
            mark=RULER_MARK[measure],
            trim=Length.from_millimetres(30),
            finish=finish,
        )

    @property
    def both_seams(self) -> Length:
        """The two seam allowances of one side."""
        return self.seam * 2

    def marked(self, needed: Length) -> Length:
        """Return what is needed, rounded up to a ruler mark."""
        return needed.rounded_to(self.mark, Rounding.UP)

    def unfinished(self, finished: Length) -> Length:
        """Return a finished side with its two seam allowances, exactly.

        Raises:
            BadSizeError: the side is not above zero, or absurdly long.
        """
        return checked(finished) + self.both_seams

    def cut(self, finished: Length) -> Length:
        """Return the side to cut for a finished side between two straight seams."""
        return self.marked(self.unfinished(finished))

    def cut_size(self, finished: Size) -> Size:
        """Return the rectangle to cut for a finished rectangle: each side plus two seams."""
        return Size(self.cut(finished.width), self.cut(finished.length))


def checked(finished: Length, what: str = "finished size") -> Length:
    """Return a length that quilts can have.

    Raises:
        BadSizeError: it is not above zero, or longer than forty yards.
    """
    if 0 < finished.ticks <= LARGEST_FINISHED.ticks:
        return finished
    shown = format_exactly(finished, Measure.INCHES)
    wrong = "is too long" if finished.ticks > 0 else "is not more than nothing"
    raise BadSizeError(
        f"A {what} of {shown} {wrong}.", "Give one from above zero to 40 yards, such as 6 in."
    )


def whole_number(count: int, what: str, least: int = 0, most: int = 1_000_000) -> int:
    """Return a count that quilts can have.

    Raises:
        BadSizeError: it is below `least` or above `most`.
    """
    if least <= count <= most:
        return count
    raise BadSizeError(
        f"{count} is no possible number of {what}.", f"Give a whole number from {least} to {most}."
    )
