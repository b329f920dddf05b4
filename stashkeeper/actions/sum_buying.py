"""The sums of cloth: yards and metres, yardage for cuts, how many from a piece, fat quarters."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from stashkeeper.actions.sum_fields import FABRIC_WIDTH, FINISH, SEAM, TRIM, strips_of
from stashkeeper.actions.sum_given import Given, Sum, Told
from stashkeeper.actions.sum_words import Field, Kind, Row, mixed
from stashkeeper.errors import BadSizeError
from stashkeeper.lengths.format import RULER_MARK
from stashkeeper.lengths.length import Length, Rounding
from stashkeeper.quilts.units import CutSide, half_square, quarter_square
from stashkeeper.quilts.yardage import EIGHTH_YARD, fat_quarters_in_yards, metres, yards


def _from_squares(given: Given) -> Told:
    square, sewing = given.length("square"), given.sewing()
    rows = []
    for at_once in (2, 4, 8):
        rows += _largest(
            given, f"half-square triangles, {at_once} at a time", square,
            partial(half_square, sewing=sewing, at_once=at_once),
        )  # fmt: skip
    rows += _largest(
        given, "quarter-square triangles", square, partial(quarter_square, sewing=sewing)
    )
    plain = square - sewing.both_seams
    if plain.ticks > 0:
        rows.append(Row("as it is", given.shown(plain, Rounding.DOWN), plain, "finished square"))
    if not rows:
        raise BadSizeError(
            f"A square of {given.shown(square)} is all seam.", "Give a larger one, such as 5 in."
        )
    title = f"From squares of {given.shown(square)}, {sewing.finish.value}, finished sizes"
    return title, rows, ()


def _largest(
    given: Given, what: str, square: Length, side_of: Callable[[Length], CutSide]
) -> list[Row]:
    """Return the largest unit, at a ruler mark, whose cut is no larger than a square."""
    mark = RULER_MARK[given.measure]
    low, high = 0, square // mark
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if side_of(mark * middle).cut <= square else (low, middle - 1)
    if not low:
        return []
    finished = mark * low
    trim = side_of(finished).trim_to
    note = f"trimmed to {given.shown(trim)}" if trim is not None else ""
    return [Row(what, given.shown(finished), finished, note)]


def _yards(given: Given) -> Told:
    length = given.length("length")
    rows = [
        Row("in inches", f"{_number(length.inches)} in", length),
        Row("in centimetres", f"{_number(length.millimetres / 10)} cm", length),
        Row("in yards", f"{_number(length.inches / 36)} yd", float(length.inches / 36)),
        Row(
            "ask for", f"{mixed(yards(length))} yd", float(yards(length)), "by the eighth of a yard"
        ),
        Row("or", f"{float(metres(length)):g} m", float(metres(length)), "by ten centimetres"),
    ]
    return f"{given.words('length')} of cloth", rows, ()


def _fat_quarters(given: Given) -> Told:
    count = given.number("count")
    amount = fat_quarters_in_yards(count)
    rows = [
        Row("by area", f"{mixed(amount)} yd", float(amount), "of full width"),
        given.off_the_bolt("off the bolt", EIGHTH_YARD * int(amount * 8)),
    ]
    remark = "Yardage holds every cut that its fat quarters hold, not the other way round."
    return f"{count:,} fat quarters as yardage", rows, (remark,)


def _yardage(given: Given) -> Told:
    cut, count = given.size("cut"), given.number("count")
    rows = strips_of(given, cut, count)
    one_way = cut.width == cut.length or max(cut.width, cut.length) > given.cloth_width()
    other = [] if one_way else strips_of(given, cut.turned(), count)
    rows += [Row(f"turned: {row.what}", row.shown, row.amount, row.note) for row in other]
    remark = "What is left beside the last cut of a strip is not used; a plan may do better."
    return f"Cloth for {count:,} cuts of {given.shown(cut)}", rows, (remark,)


def _how_many(given: Given) -> Told:
    from stashkeeper.cutting.fit import counts
    from stashkeeper.cutting.shelf import Shelf

    piece, cut = given.size("piece", Rounding.DOWN), given.size("cut")
    shelf = Shelf.from_ticks([piece.width.ticks], [piece.length.ticks], [False])
    both, straight = int(counts(shelf, cut)[0]), int(counts(shelf, cut, turning=False)[0])
    across, along = piece.width // cut.width, piece.length // cut.length
    rows = [
        Row("cuts", f"{both:,}", both, "edge to edge, some of them turned" if both > straight
            else f"{across} across × {along} along"),
    ]  # fmt: skip
    if cut.width != cut.length:
        rows.append(Row("none of them turned", f"{straight:,}", straight, f"{across} × {along}"))
    used = both * cut.area
    rows.append(Row("cloth used", f"{100 * used // piece.area} %", used / piece.area))
    remark = "Nothing is taken off for selvedges or squaring up; `stashkeeper find` does that."
    title = f"Cuts of {given.shown(cut)} from {given.shown(piece, Rounding.DOWN)}"
    return title, rows, (remark,)


def _number(number: Fraction) -> str:
    return f"{float(number):.4f}".rstrip("0").rstrip(".")


_CUT = Field("cut", "Cut", Kind.SIZE, "The size of the cut, seams included.", needed=True)

BUYING_SUMS = (
    Sum(
        "yardage",
        "Yardage for cuts",
        "Strips and yards for so many cuts of one size.",
        (
            _CUT,
            Field("count", "How many", Kind.NUMBER, "How many cuts are needed.", needed=True),
            FABRIC_WIDTH,
        ),
        "strips across the fabric, as high as the cut (common practice).",
        _yardage,
    ),
    Sum(
        "how-many",
        "How many from a piece",
        "How many cuts of one size come out of a piece.",
        (
            Field("piece", "Piece", Kind.SIZE, "What is there: 18 x 22, fat quarter.", needed=True),
            _CUT,
        ),
        "geometry, by the cutting room, edge to edge.",
        _how_many,
    ),
    Sum(
        "from-squares",
        "Units from squares",
        "What comes out of squares that are there, such as 5 in charm squares.",
        (
            Field("square", "Square", Kind.LENGTH, "The side of a square, as cut.", needed=True),
            FINISH,
            TRIM,
            SEAM,
        ),
        "the largest finished size whose square to cut is no larger; formulas as for the units.",
        _from_squares,
    ),
    Sum(
        "yards",
        "Yards and metres",
        "A length in inches, centimetres, yards and metres, and what to ask for.",
        (Field("length", "Length", Kind.LENGTH, "Such as 5/8 yd or 60 cm.", needed=True),),
        "a yard is 36 in, an inch 25.4 mm (definitions, 1959); shops cut by the eighth of a yard "
        "or by ten centimetres (common practice).",
        _yards,
    ),
    Sum(
        "fat-quarters",
        "Fat quarters as yardage",
        "How much yardage so many fat quarters are.",
        (Field("count", "How many", Kind.NUMBER, "How many fat quarters.", needed=True),),
        "four fat quarters are a yard, by area (common practice).",
        _fat_quarters,
    ),
)
"""The sums of cloth, in the order they are shown."""
