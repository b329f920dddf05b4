"""What to cut for one unit: squares, triangles and flying geese.

Every triangle is a right one with two equal short sides. Moving its three sides out by a seam `s`
makes a short side longer by s(2 + √2), the long side by 2s(1 + √2). With a quarter-inch seam that
is 0.854 and 1.207 in; quilters print ⅞ and 1¼ in, which is the same at a ruler mark. With 7.5 mm
they print 2.5 and 3.5 cm, which is short of the exact 2.561 and 3.621 cm: both are kept.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.diagonals import times_root_two
from stashkeeper.quilts.sewing import QUARTER_INCH, Finish, Sewing, checked, whole_number

type HalfSquaresAtOnce = Literal[2, 4, 8]
type GeeseAtOnce = Literal[1, 4]

_METRIC_SEAM: Final = Length.from_millimetres("15/2")

PRINTED_HALF_SQUARE: Final[Mapping[Length, Length]] = {
    QUARTER_INCH: Length.from_inches("7/8"),
    _METRIC_SEAM: Length.from_millimetres(25),
}
"""What charts add to the finished side of a half-square triangle, by seam: ⅞ in ("Quilt Blocks:
Easy Math, Part 4", quiltmaker.com, April 2013), 2.5 cm ("Metric Flying Geese",
weednstitch.blogspot.com, January 2012)."""

PRINTED_QUARTER_SQUARE: Final[Mapping[Length, Length]] = {
    QUARTER_INCH: Length.from_inches("5/4"),
    _METRIC_SEAM: Length.from_millimetres(35),
}
"""What charts add to the finished long side of a quarter-square triangle, by seam: 1¼ in ("Do the
Math", ourthankfulday.com, 2011), 3.5 cm (weednstitch.blogspot.com, January 2012)."""


@dataclass(frozen=True, slots=True)
class CutSide:
    """The side of a square to cut, by the printed rule and by exact geometry.

    Attributes:
        cut: what to cut, at a ruler mark; larger than `exact` where units are trimmed.
        exact: the least that geometry allows, rounded up to a tick.
        printed: what the usual printed rule says, at a ruler mark; None without such a rule.
        rule: the printed rule in words; empty without one.
        trim_to: the unfinished side to trim the unit to; None where nothing is trimmed.
    """

    cut: Length
    exact: Length
    printed: Length | None = None
    rule: str = ""
    trim_to: Length | None = None


@dataclass(frozen=True, slots=True)
class GeeseCuts:
    """What to cut for one batch of flying geese.

    Attributes:
        units: how many geese one batch makes.
        goose: the rectangle (or square) for the large triangles; one a batch.
        sky: the side of each small square.
        sky_squares: how many small squares a batch takes.
        trim_to: the unfinished size to trim each goose to; None where nothing is trimmed.
    """

    units: int
    goose: Size
    sky: Length
    sky_squares: int
    trim_to: Size | None


def half_square(finished: Length, sewing: Sewing, at_once: HalfSquaresAtOnce = 2) -> CutSide:
    """Return the two squares to cut (one of each fabric) for half-square triangles.

    Two at a time: sewn a seam to either side of one diagonal, cut on it. The seam takes s√2 off
    the side, so finished + 2s + s√2 (geometry; printed as finished + ⅞ in). Four at a time: sewn
    all around, cut on both diagonals: unfinished × √2 + 2s (geometry); the edges are on the bias.
    Eight at a time: twice the square for two (printed: 2 × finished + 1¾ in,
    mesquitequiltguildinc.com). Cut large: two at a time adds `sewing.trim`; the others make the
    unit larger by as much.

    Raises:
        BadSizeError: a finished side that no quilt has.
        BadSizeError: trimming that would add less than the seams need.
    """
    exact = _half_square_side(finished, sewing, at_once, Length(0))
    added = PRINTED_HALF_SQUARE.get(sewing.seam)
    times = 2 if at_once == 8 else 1
    printed = None if added is None or at_once == 4 else (finished + added) * times
    return _side(
        exact,
        _half_square_side(finished, sewing, at_once, slack(sewing)),
        sewing,
        sewing.unfinished(finished),
        printed,
        "2 × (finished + added)" if at_once == 8 else "finished + added",
    )


def quarter_square(finished: Length, sewing: Sewing) -> CutSide:
    """Return the square to cut for quarter-square triangles with a finished long side.

    Cut on both diagonals, a square gives four triangles; two squares sewn, cut and sewn again
    give two hourglass units. Both lead to finished + 2s + 2s√2 (geometry; printed as
    finished + 1¼ in). Cut large, the second seam takes as much again as the first: 2 × trim − 2s,
    which is the trade's + 1½ in.

    Raises:
        BadSizeError: a finished side that no quilt has, or a trim below what the seams need.
    """
    exact = sewing.unfinished(finished) + times_root_two(sewing.both_seams)
    added = PRINTED_QUARTER_SQUARE.get(sewing.seam)
    printed = None if added is None else finished + added
    large = finished + sewing.trim * 2 - sewing.both_seams
    slack(sewing)
    return _side(exact, large, sewing, sewing.unfinished(finished), printed, "finished + added")


def flying_geese(width: Length, sewing: Sewing, at_once: GeeseAtOnce = 4) -> GeeseCuts:
    """Return what to cut for flying geese `width` wide and half as long (finished).

    Four at a time: one large square (a quarter-square triangle with the width as long side) and
    four small ones (half-square triangles of half the width); rules: width + 1¼, height + ⅞ in
    (members.shaw.ca/beverlysquiltingpage). One at a time, corners stitched and flipped: rectangle
    and two squares with plain seam allowances (common practice); nothing to trim.

    Raises:
        BadSizeError: a finished width that no quilt has.
    """
    height = half(width)
    unfinished = sewing.cut_size(Size(width, height))
    if at_once == 1:
        return GeeseCuts(1, unfinished, sewing.cut(height), 2, None)
    goose = quarter_square(width, sewing).cut
    sky = half_square(height, sewing).cut
    trimmed = sewing.finish is Finish.TRIMMED
    exactly = Size(sewing.unfinished(width), sewing.unfinished(height))
    return GeeseCuts(4, Size(goose, goose), sky, 4, exactly if trimmed else None)


def four_patch(finished: Length, sewing: Sewing) -> Length:
    """Return the side of each of the four squares: half the finished side + 2s, at a mark."""
    return sewing.cut(half(finished))


def batches(units: int, at_once: int) -> int:
    """Return how many times a method that makes `at_once` units must be done for `units`.

    For half-square triangles this is the number of pairs of squares, one square of each fabric.

    Raises:
        BadSizeError: less than no units, or absurdly many.
    """
    return -(-whole_number(units, "units") // at_once)


def slack(sewing: Sewing) -> Length:
    """Return how much larger than needed a trimmed half-square triangle comes out.

    Raises:
        BadSizeError: the trim is less than what the seams need.
    """
    if sewing.finish is Finish.EXACT:
        return Length(0)
    spare = sewing.trim - sewing.both_seams - times_root_two(sewing.seam)
    if spare.ticks < 0:
        raise BadSizeError(
            "Cutting large adds less than the seams take.",
            "Add more for trimming, or cut to the exact size.",
        )
    return spare


def half(finished: Length) -> Length:
    """Return half a finished length, rounded up to a tick."""
    return Length(-(-finished.ticks // 2))


def _half_square_side(
    finished: Length, sewing: Sewing, at_once: HalfSquaresAtOnce, more: Length
) -> Length:
    unfinished = sewing.unfinished(checked(finished)) + more
    if at_once == 4:
        return times_root_two(unfinished) + sewing.both_seams
    two = unfinished + times_root_two(sewing.seam)
    return two * 2 if at_once == 8 else two


def _side(
    exact: Length,
    large: Length,
    sewing: Sewing,
    unfinished: Length,
    printed: Length | None,
    rule: str,
) -> CutSide:
    trimmed = sewing.finish is Finish.TRIMMED
    return CutSide(
        cut=sewing.marked(large if trimmed else exact),
        exact=exact,
        printed=None if printed is None else sewing.marked(printed),
        rule="" if printed is None else rule,
        trim_to=unfinished if trimmed else None,
    )
