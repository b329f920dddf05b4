"""The sums of units: squares, triangles, geese, four-patches, strip sets."""

from typing import Final, Literal, cast

from stashkeeper.actions.sum_fields import (
    COUNT,
    FABRIC_WIDTH,
    FINISH,
    FINISHED,
    SEAM,
    TRIM,
    by_both,
    differing,
    several,
    square_of,
    strips_of,
)
from stashkeeper.actions.sum_given import Given, Sum, Told
from stashkeeper.actions.sum_words import Field, Kind, Row
from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.strips import strip_set
from stashkeeper.quilts.units import (
    PRINTED_HALF_SQUARE,
    PRINTED_QUARTER_SQUARE,
    batches,
    flying_geese,
    four_patch,
    half,
    half_square,
    quarter_square,
)


def _patch(given: Given) -> Told:
    typed, sewing = given.size("size"), given.sewing()
    finished = typed
    if given.choice("given") == "cut":
        finished = Size(typed.width - sewing.both_seams, typed.length - sewing.both_seams)
        if min(finished.width.ticks, finished.length.ticks) <= 0:
            raise BadSizeError(
                f"A patch cut {given.shown(typed)} is all seam.",
                "Give a size that is larger than its two seams.",
            )
    unfinished = Size(sewing.unfinished(finished.width), sewing.unfinished(finished.length))
    cut, count = sewing.cut_size(finished), given.number("count")
    rows = [
        Row("finished", given.as_typed(finished), finished, "once it is sewn in"),
        given.row("unfinished", unfinished, "sewn, raw edge to raw edge"),
        given.row("cut", cut, "at a ruler mark"),
    ]
    remarks = []
    if min(cut.width, cut.length) > given.cloth_width():
        remarks = [f"It is wider than the fabric, {given.shown(given.cloth_width())}: join cloth."]
    else:
        rows += strips_of(given, cut, count)
    return f"{count:,} × a patch of {given.as_typed(finished)}, finished", rows, remarks


def _half_square(given: Given) -> Told:
    finished, sewing = given.length("finished"), given.sewing()
    at_once = cast(Literal[2, 4, 8], int(given.choice("at-once")))
    side, count = half_square(finished, sewing, at_once), given.number("count")
    pairs = batches(count, at_once)
    rows = [given.row("square to cut", side.cut, "one of each of two fabrics make a pair")]
    if side.trim_to is not None:
        rows.append(given.row("trim each unit to", side.trim_to))
    rows += by_both(given, side, PRINTED_HALF_SQUARE)
    rows.append(Row("pairs of squares", f"{pairs:,}", pairs, f"each makes {at_once}"))
    spare = pairs * at_once - count
    if spare:
        rows.append(Row("units left over", f"{spare:,}", spare))
    rows += strips_of(given, square_of(side.cut), pairs, "cloth of each fabric")
    remarks = differing(given, side, "squares of")
    if at_once == 4:
        remarks.append("Four at a time leaves every edge on the bias: starch, and do not pull.")
    title = f"{several(count, 'half-square triangle')} of {given.as_typed(finished)} finished, "
    return f"{title}{at_once} at a time, {sewing.finish.value}", rows, remarks


def _quarter_square(given: Given) -> Told:
    finished, sewing = given.length("finished"), given.sewing()
    side, count = quarter_square(finished, sewing), given.number("count")
    pairs = batches(count, 2)
    rows = [given.row("square to cut", side.cut, "cut on both diagonals: four triangles")]
    if side.trim_to is not None:
        rows.append(given.row("trim each unit to", side.trim_to))
    rows += by_both(given, side, PRINTED_QUARTER_SQUARE)
    rows.append(Row("pairs of squares", f"{pairs:,}", pairs, "each makes two units of two fabrics"))
    rows += strips_of(given, square_of(side.cut), pairs, "cloth of each fabric")
    title = (
        f"{several(count, 'quarter-square triangle unit')} of {given.as_typed(finished)} finished, "
    )
    return f"{title}{sewing.finish.value}", rows, differing(given, side, "squares of")


def _flying_geese(given: Given) -> Told:
    width, sewing = _goose_width(given), given.sewing()
    at_once = cast(Literal[1, 4], int(given.choice("at-once")))
    cuts, count = flying_geese(width, sewing, at_once), given.number("count")
    times = batches(count, at_once)
    size = Size(width, half(width))
    goose = "large square" if at_once == 4 else "rectangle"
    rows = [
        given.row(f"{goose} to cut", cuts.goose, f"{times:,} of them, for the geese"),
        given.row(
            "small square to cut", square_of(cuts.sky), f"{times * cuts.sky_squares:,} for the sky"
        ),
    ]
    if cuts.trim_to is not None:
        rows.append(given.row("trim each unit to", cuts.trim_to))
    remarks: list[str] = []
    if at_once == 4:
        large, small = quarter_square(width, sewing), half_square(half(width), sewing)
        for what, side, added in (
            ("large square", large, PRINTED_QUARTER_SQUARE),
            ("small square", small, PRINTED_HALF_SQUARE),
        ):
            rows += by_both(given, side, added, f"{what}, ")
            remarks += differing(given, side, f"{what}s of")
    rows += strips_of(given, cuts.goose, times, "cloth for the geese")
    sky = times * cuts.sky_squares
    rows += strips_of(given, square_of(cuts.sky), sky, "cloth for the sky")
    finish = f", {sewing.finish.value}" if at_once == 4 else ", stitched and flipped"
    title = (
        f"{count:,} flying geese of {given.as_typed(size)} finished, {at_once} at a time{finish}"
    )
    return title, rows, remarks


def _goose_width(given: Given) -> Length:
    """Return the width of a goose: a length, or a size that is twice as wide as high."""
    size = given.size("finished")
    wide, high = max(size.width, size.length), min(size.width, size.length)
    if wide not in (high, high * 2):
        raise BadSizeError(
            f"Flying geese of {given.shown(size)} are not twice as wide as high.",
            "Give their width alone, or a size such as 6 x 3 in.",
        )
    return wide


def _four_patch(given: Given) -> Told:
    finished, sewing = given.length("finished"), given.sewing()
    side, count = four_patch(finished, sewing), given.number("count")
    middle = half(finished)
    sets = strip_set((middle, middle), middle, count * 2, given.cloth_width(), sewing)
    rows = [
        given.row("square to cut", side, f"{count * 2:,} of each of two fabrics"),
        *strips_of(given, square_of(side), count * 2, "cloth of each fabric"),
        Row("or strip sets", f"{sets.sets:,}", sets.sets, "a strip of each fabric, sewn together"),
        given.row("strips to cut", sets.strips[0], f"{sets.sets:,} of each fabric"),
        given.row("segments to cut", sets.segment, f"{count * 2:,}, two for each four-patch"),
    ]
    return (
        f"{several(count, 'four-patch', 'four-patches')} of {given.as_typed(finished)} finished",
        rows,
        (),
    )


def _strip_set(given: Given) -> Told:
    strips, sewing = given.lengths("strips"), given.sewing()
    width, count = given.cloth_width(), given.number("count")
    made = strip_set(strips, given.length("segment"), count, width, sewing)
    rows = [
        given.row(f"strip {number} to cut", cut, f"{made.sets:,} of them")
        for number, cut in enumerate(made.strips, start=1)
    ]
    rows += [
        given.row("width of the sewn set", made.width, "raw edge to raw edge"),
        given.row("segments to cut", made.segment, f"{made.per_set:,} from each set"),
        Row("strip sets", f"{made.sets:,}", made.sets, f"from strips {given.shown(width)} long"),
    ]
    names = " + ".join(given.as_typed(strip) for strip in strips)
    return f"{several(count, 'segment')} of strip sets of {names} finished", rows, ()


_PAIR: Final = "How many one pair of squares makes."

UNIT_SUMS: Final = (
    Sum(
        "patch",
        "Squares and rectangles",
        "Finished, unfinished and cut size of a square or rectangle.",
        (
            Field("size", "Size", Kind.SIZE, "The size: 4 in, or 3 x 6 in.", needed=True),
            Field(
                "given",
                "What that size is",
                Kind.CHOICE,
                "Whether that size is finished, or as it is cut.",
                usual="finished",
                choices=("finished", "cut"),
            ),
            COUNT,
            SEAM,
            FABRIC_WIDTH,
        ),
        "each side plus two seams (common practice).",
        _patch,
    ),
    Sum(
        "half-square",
        "Half-square triangles",
        "Half-square triangles two, four or eight at a time.",
        (
            FINISHED,
            COUNT,
            Field("at-once", "At a time", Kind.CHOICE, _PAIR, usual="2", choices=("2", "4", "8")),
            FINISH,
            TRIM,
            SEAM,
            FABRIC_WIDTH,
        ),
        "finished + ⅞ in for two (quiltmaker.com, April 2013), 2 × that for eight "
        "(mesquitequiltguildinc.com), unfinished × √2 + two seams for four (geometry); "
        "cut large, + 1 in (common practice).",
        _half_square,
    ),
    Sum(
        "quarter-square",
        "Quarter-square triangles",
        "Quarter-square triangles, loose or as hourglass units.",
        (FINISHED, COUNT, FINISH, TRIM, SEAM, FABRIC_WIDTH),
        "finished + 1¼ in (“Do the Math”, ourthankfulday.com, 2011), which is finished + 2s + 2s√2 "
        "(geometry); cut large, + 1½ in (common practice).",
        _quarter_square,
    ),
    Sum(
        "flying-geese",
        "Flying geese",
        "Flying geese, one or four at a time.",
        (
            Field(
                "finished", "Finished", Kind.SIZE, "Their width, or width × height.", needed=True
            ),
            COUNT,
            Field(
                "at-once",
                "At a time",
                Kind.CHOICE,
                "1: stitch and flip. 4: without waste.",
                usual="4",
                choices=("1", "4"),
            ),
            FINISH,
            TRIM,
            SEAM,
            FABRIC_WIDTH,
        ),
        "width + 1¼ and height + ⅞ in (members.shaw.ca/beverlysquiltingpage), and geometry as for "
        "triangles; one at a time by plain seams (common practice).",
        _flying_geese,
    ),
    Sum(
        "four-patch",
        "Four-patches",
        "Four-patches from squares or from strip sets.",
        (FINISHED, COUNT, SEAM, FABRIC_WIDTH),
        "half the finished side plus two seams (common practice).",
        _four_patch,
    ),
    Sum(
        "strip-set",
        "Strip sets",
        "Strips sewn side by side and cut across: rails, nine-patches, bars.",
        (
            Field("strips", "Strips", Kind.LENGTHS, "The finished width of each.", needed=True),
            Field("segment", "Segment", Kind.LENGTH, "Finished width of a segment.", needed=True),
            Field("count", "Segments", Kind.NUMBER, "How many are wanted.", usual="1"),
            SEAM,
            FABRIC_WIDTH,
        ),
        "each strip and each segment plus two seams (common practice); the set is as wide as its "
        "finished strips plus two seams (geometry).",
        _strip_set,
    ),
)
"""The sums of units, in the order they are shown."""
