"""The sums of finishing: backing, batting, binding straight and bias."""

from stashkeeper.actions.sum_fields import FABRIC_WIDTH, QUILT
from stashkeeper.actions.sum_given import Given, Sum, Told
from stashkeeper.actions.sum_words import Field, Kind, Row
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.format import RULER_MARK
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.quilts.backing import Backing, backings
from stashkeeper.quilts.batting import PACKAGES, smallest_package, with_overhang
from stashkeeper.quilts.binding import Join, bias_length, bias_square, straight_binding

_WHOLE = {Measure.INCHES: "inch", Measure.CENTIMETRES: "centimetre"}
_INCH = Length.from_inches(1)
_CENTIMETRE = Length.from_millimetres(10)


def _backing(given: Given) -> Told:
    top, width = given.size("quilt"), given.cloth_width()
    overhang = given.length("overhang", or_none=True)
    down, across = backings(top, width, overhang, given.length("seam", or_none=True))
    best, other = (down, across) if down.fabric <= across.fabric else (across, down)
    rows = [
        given.row("backing", best.size, f"the top and {given.as_typed(overhang)} on every side"),
        *_panels(given, best, ""),
    ]
    if best.panels > 1 or other.panels > 1:
        rows += _panels(given, other, "the other way: ")
    printed = -((-best.size.width.ticks) // width.ticks)
    remarks = []
    if down.panels > printed:
        remarks.append(
            f"The printed rule, width / {given.shown(width)}, says {printed} panels down the "
            f"quilt and forgets the seams between them: it takes {down.panels}."
        )
    return f"A backing for {given.as_typed(top)}", rows, remarks


def _panels(given: Given, made: Backing, before: str) -> list[Row]:
    seams = str(made.seams) if made.panels == 1 else f"{made.seams} seams"
    return [
        Row(f"{before}panels", f"{made.panels}", made.panels, seams),
        given.row(f"{before}each panel", made.panel, "width × length along the selvedge"),
        given.off_the_bolt(f"{before}fabric", made.fabric),
    ]


def _batting(given: Given) -> Told:
    top, overhang = given.size("quilt"), given.length("overhang", or_none=True)
    size = with_overhang(top, overhang)
    package = smallest_package(size)
    rows = [given.row("batting", size, f"the top and {given.as_typed(overhang)} on every side")]
    remarks: tuple[str, ...] = ()
    if package is not None:
        rows.append(Row("package", package, package, given.shown(PACKAGES[package])))
    else:
        remarks = ("No usual package is so large: join two, edge to edge.",)
    return f"Batting for {given.as_typed(top)}", rows, remarks


def _binding(given: Given) -> Told:
    quilt, width = given.size("quilt"), given.length("strip-width")
    length, join = given.cloth_width(), Join(given.choice("join"))
    made = straight_binding(quilt, length, width, join, given.length("tail", or_none=True))
    rows = [
        given.row("binding needed", made.needed, "around the quilt, with the tail"),
        Row("strips to cut", f"{made.strips}", made.strips,
            f"{given.shown(made.strip)}, joins: {join}"),
        Row("eaten by the joins", given.shown(made.eaten), made.eaten),
        Row("binding made", given.shown(made.made, Rounding.DOWN), made.made),
        Row("strips by the printed rule", f"{made.printed_strips}", made.printed_strips,
            "needed / strip length, joins ignored"),
        given.row("fabric", made.fabric, "all the strips, one above the other"),
        given.off_the_bolt("to buy", made.fabric),
    ]  # fmt: skip
    remarks = []
    if made.printed_strips < made.strips:
        remarks.append(
            f"The printed rule says {made.printed_strips} strips; their {join} joins eat so much "
            f"that it takes {made.strips}."
        )
    return f"Binding for {given.as_typed(quilt)}", rows, remarks


def _bias_binding(given: Given) -> Told:
    width = given.length("strip-width")
    if given.has("square"):
        square = given.length("square")
        ignored, joined = (bias_length(square, width, join) for join in _BOTH)
        rows = [
            Row("by the printed rule", given.shown(ignored, Rounding.DOWN), ignored,
                "area / strip width, joins ignored"),
            Row("by geometry", given.shown(joined, Rounding.DOWN), joined,
                "whole strips only, less the seams across them"),
        ]  # fmt: skip
        return f"Bias binding from a square of {given.as_typed(square)}", rows, ()
    needed = _needed(given)
    whole = _INCH if given.measure is Measure.INCHES else _CENTIMETRE
    mark = RULER_MARK[given.measure]
    ignored, joined = (bias_square(needed, width, mark, join) for join in _BOTH)
    rounded = bias_square(needed, width, whole, Join.IGNORED)
    rows = [
        given.row("binding needed", needed),
        given.row("square by the printed rule", ignored, "√(length × strip width), joins ignored"),
        given.row("the same, rounded up", rounded, f"to a whole {_WHOLE[given.measure]}"),
        given.row("square by geometry", joined, "whole strips only, less the seams across them"),
        given.off_the_bolt("to buy", joined),
    ]
    return f"Bias binding, strips of {given.as_typed(width)}", rows, ()


_BOTH = (Join.IGNORED, Join.DIAGONAL)


def _needed(given: Given) -> Length:
    if given.has("length"):
        return given.length("length")
    if not given.has("quilt"):
        raise BadRequestError(
            "What the bias binding is for was not said.",
            "Give --quilt, or the --length needed, or a --square that is there.",
            on_page="Give the quilt, or the length needed, or a square that is there.",
        )
    quilt = given.size("quilt")
    return (quilt.width + quilt.length) * 2 + given.length("tail", or_none=True)


_OVERHANG = Field(
    "overhang", "Overhang", Kind.LENGTH, "What shows beyond the top on every side; 0 for none.",
    usual=("4 in", "10 cm"),
)  # fmt: skip
_STRIP = Field(
    "strip-width", "Strip width", Kind.LENGTH, "How wide the strips are cut.",
    usual=("2 1/2 in", "6.5 cm"),
)  # fmt: skip
_TAIL = Field(
    "tail", "Tail", Kind.LENGTH, "More for the corners and the last join; 0 for none.",
    usual=("10 in", "25 cm"),
)  # fmt: skip
FINISHING_SUMS = (
    Sum(
        "backing",
        "Backing",
        "Panels of a backing, whichever way takes less, and its yardage.",
        (
            QUILT,
            FABRIC_WIDTH,
            _OVERHANG,
            Field(
                "seam",
                "Seam",
                Kind.LENGTH,
                "The seam allowance between panels; 0 for none.",
                usual=("1/2 in", "1.5 cm"),
            ),
        ),
        "4 in more on every side and half-inch seams pressed open (common practice; "
        "“Mathematically Challenged”, quiltingboard.com); panels cover p × width − 2s(p − 1) "
        "(geometry).",
        _backing,
    ),
    Sum(
        "batting",
        "Batting",
        "The size of a batting, and the smallest package that does.",
        (QUILT, _OVERHANG),
        "4 in more on every side (common practice); packages: “Common Quilt and Batting Sizes”, "
        "honeybegood.com, May 2012.",
        _batting,
    ),
    Sum(
        "binding",
        "Binding",
        "Strips of a straight binding, with the cloth that joins eat.",
        (
            QUILT,
            _STRIP,
            FABRIC_WIDTH,
            Field(
                "join",
                "Joins",
                Kind.CHOICE,
                "How strips are joined; ignored: as printed.",
                usual="diagonal",
                choices=("diagonal", "straight", "ignored"),
            ),
            _TAIL,
        ),
        "2 × (width + length) + 10 in, by the strip length (christaquilts.com/quilty-math); each "
        "diagonal join eats a strip width (geometry).",
        _binding,
    ),
    Sum(
        "bias-binding",
        "Bias binding",
        "The square that gives a bias binding, or what a square gives.",
        (
            Field("quilt", "Quilt", Kind.SIZE, "The finished size of the quilt, width × length."),
            Field("length", "Length", Kind.LENGTH, "Instead: the length of binding needed."),
            Field("square", "Square", Kind.LENGTH, "Instead: the side of a square that is there."),
            _STRIP,
            _TAIL,
        ),
        "area / strip width, and √(length × strip width) (“Make Any Border Fit”, "
        "quiltingboard.com); with joins, geometry.",
        _bias_binding,
    ),
)
"""The sums of finishing, in the order they are shown."""
