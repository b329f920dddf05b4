"""The sums of whole quilts: the top, blocks on point, sashing, borders, the cover of a bed."""

from stashkeeper.actions.sum_fields import (
    COLUMNS,
    FABRIC_WIDTH,
    QUILT,
    ROWS,
    SEAM,
    by_both,
    differing,
    strips_of,
)
from stashkeeper.actions.sum_given import Given, Sum, Told
from stashkeeper.actions.sum_words import Field, Kind, Row
from stashkeeper.errors import BadSizeError, NotFoundError
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.beds import BEDS, bed, cover
from stashkeeper.quilts.binding import Join, strips_for_length
from stashkeeper.quilts.borders import Border, BorderCuts, Corner, border_cuts
from stashkeeper.quilts.sashing import sashing
from stashkeeper.quilts.setting import corner_square, on_point, side_square
from stashkeeper.quilts.sewing import checked, whole_number
from stashkeeper.quilts.units import PRINTED_HALF_SQUARE, PRINTED_QUARTER_SQUARE


def _top(given: Given) -> Told:
    unit, sewing = given.size("unit"), given.sewing()
    columns = whole_number(given.number("columns"), "columns", 1, 1000)
    rows = whole_number(given.number("rows"), "rows", 1, 1000)
    checked(unit.width, "unit")
    checked(unit.length, "unit")
    finished = Size(unit.width * columns, unit.length * rows)
    unfinished = Size(sewing.unfinished(finished.width), sewing.unfinished(finished.length))
    answer = [
        Row("units", f"{columns * rows:,}", columns * rows, f"{columns} × {rows}"),
        given.row("finished", finished),
        given.row("unfinished", unfinished, "the sewn top, raw edge to raw edge"),
        given.row("each unit, unfinished", sewing.cut_size(unit)),
    ]
    return f"A top of {columns} × {rows} units of {given.as_typed(unit)} finished", answer, ()


def _on_point(given: Given) -> Told:
    block, sewing = given.length("block"), given.sewing()
    side, corner = side_square(block, sewing), corner_square(block, sewing)
    answer = []
    for what, made, cut in (
        ("side", side, "on both diagonals: four triangles"),
        ("corner", corner, "on one diagonal: two triangles"),
    ):
        answer.append(given.row(f"{what} square to cut", made.cut, f"cut {cut}"))
        added = PRINTED_QUARTER_SQUARE if what == "side" else PRINTED_HALF_SQUARE
        answer += by_both(given, made, added, f"{what} square, ")
    if given.has("across") or given.has("down"):
        answer += _on_point_quilt(given, block)
    remarks = [*differing(given, side, "side squares of")]
    remarks += differing(given, corner, "corner squares of")
    return f"Blocks of {given.as_typed(block)} finished, on point", answer, remarks


def _on_point_quilt(given: Given, block: Length) -> list[Row]:
    across = given.number("across" if given.has("across") else "down")
    down = given.number("down" if given.has("down") else "across")
    quilt = on_point(across, down, block)
    return [
        Row("blocks", f"{quilt.blocks:,}", quilt.blocks, f"{across} × {down} with a tip outside"),
        Row("squares between them", f"{quilt.between:,}", quilt.between, "blocks, or plain"),
        Row("side triangles", f"{quilt.side_triangles:,}", quilt.side_triangles,
            f"from {quilt.side_squares:,} squares"),
        Row("corner triangles", "4", 4, f"from {quilt.corner_squares} squares"),
        given.row("finished", quilt.finished),
    ]  # fmt: skip


def _sashing(given: Given) -> Told:
    block, sash = given.size("block"), given.length("sash")
    columns, rows = given.number("columns"), given.number("rows")
    corners, frame = given.choice("cornerstones") == "yes", given.choice("frame") == "yes"
    made = sashing(columns, rows, block, sash, given.sewing(), corners, frame)
    answer = [given.row("upright strips", made.upright[0], f"{made.upright[1]:,} of them")]
    level = "beside the blocks" if corners else "across the whole row"
    answer.append(given.row("level strips", made.level[0], f"{made.level[1]:,}, {level}"))
    if made.cornerstone is not None:
        size, count = made.cornerstone
        answer.append(given.row("cornerstones", size, f"{count:,} of them"))
    answer.append(given.row("finished", made.finished, "blocks and sashing"))
    title = (
        f"{columns} × {rows} blocks of {given.as_typed(block)}, sashing {given.as_typed(sash)} wide"
    )
    return title, [row for row in answer if not row.note.startswith("0")], ()


def _borders(given: Given) -> Told:
    inside, sewing = given.size("quilt"), given.sewing()
    corner = Corner(given.choice("corner"))
    widths = given.lengths("border")
    answer: list[Row] = []
    remarks: list[str] = []
    for number, width in enumerate(widths, start=1):
        cuts = border_cuts(inside, Border("border", width, corner=corner), sewing)
        name = f"border {number}, " if len(widths) > 1 else ""
        answer += _border(given, cuts, name)
        if cuts.printed_sides is not None and not remarks:
            remarks.append(
                "By geometry the strips are just long enough; printed instructions allow "
                f"{given.shown(cuts.printed_sides - cuts.sides.length)} more, to be trimmed."
            )
        inside = cuts.finished
    answer.append(given.row("finished", inside, "with borders"))
    shown = " + ".join(given.as_typed(width) for width in widths)
    return (
        f"Borders of {shown} around {given.as_typed(given.size('quilt'))}, {corner}",
        answer,
        remarks,
    )


def _border(given: Given, cuts: BorderCuts, name: str) -> list[Row]:
    ends = cuts.ends.turned()
    rows = [
        given.row(f"{name}left and right", cuts.sides, "2 of them, width × length"),
        given.row(f"{name}top and bottom", ends, "2 of them"),
    ]
    if cuts.printed_sides is not None and cuts.printed_ends is not None:
        rows += [
            given.row(f"{name}left and right, printed rule", cuts.printed_sides, "long"),
            given.row(f"{name}top and bottom, printed rule", cuts.printed_ends, "long"),
        ]
    return rows + _border_cloth(given, cuts, name)


def _border_cloth(given: Given, cuts: BorderCuts, name: str) -> list[Row]:
    """Return the strips across the fabric, joined where a border is longer than they are."""
    width = given.cloth_width()
    needed = (cuts.sides.length + cuts.ends.width) * 2
    longest = max(cuts.sides.length, cuts.ends.width)
    if longest <= width:
        return [*_renamed(strips_of(given, cuts.sides.turned(), 4, "cloth"), name)]
    seam = given.sewing().seam
    strips = strips_for_length(needed, width, cuts.sides.width, Join.STRAIGHT, seam)
    return [
        Row(f"{name}strips of cloth", f"{strips:,}", strips,
            f"{given.shown(width)} long, joined end to end with straight seams"),
        given.off_the_bolt(f"{name}cloth", cuts.sides.width * strips),
    ]  # fmt: skip


def _renamed(rows: list[Row], name: str) -> list[Row]:
    return [Row(f"{name}{row.what}", row.shown, row.amount, row.note) for row in rows]


def _bed(given: Given) -> Told:
    words = given.words("bed")
    try:
        mattress = bed(words)
    except NotFoundError as unknown:
        try:
            mattress = given.size("bed")
        except BadSizeError:
            raise unknown from None
    drop, tuck = given.length("drop", or_none=True), given.length("tuck", or_none=True)
    foot = given.choice("foot") == "yes"
    size = cover(mattress, drop, foot, tuck)
    answer = [
        given.row("mattress", mattress, "width × length"),
        given.row("finished", size, "the size of the quilt"),
    ]
    hangs = f"hanging down {given.as_typed(drop)} on both sides" + (" and the foot" if foot else "")
    return f"A cover for {words}, {hangs}", answer, ("Measure the bed: makers vary by an inch.",)


_YES_NO = ("yes", "no")

QUILT_SUMS = (
    Sum(
        "top",
        "Quilt top",
        "The size of a top of so many units.",
        (
            Field("unit", "Unit", Kind.SIZE, "The finished size of a unit.", needed=True),
            COLUMNS,
            ROWS,
            SEAM,
        ),
        "units side by side, plus two seams for the raw edges (common practice).",
        _top,
    ),
    Sum(
        "on-point",
        "Blocks on point",
        "Setting and corner triangles for blocks on point.",
        (
            Field("block", "Block", Kind.LENGTH, "The finished side of a block.", needed=True),
            Field("across", "Across", Kind.NUMBER, "Blocks along the top."),
            Field("down", "Down", Kind.NUMBER, "Blocks along the side."),
            SEAM,
        ),
        "block × 1.414 + 1¼ in and block / 1.414 + ⅞ in, rounded up to ⅛ (chart of "
        "christaquilts.com/quilty-math; “Block on point”, pinemeadowsdesigns.com); geometry: "
        "block × √2 + 2s + 2s√2 and block / √2 + 2s + s√2.",
        _on_point,
    ),
    Sum(
        "sashing",
        "Sashing",
        "Strips between blocks, with or without cornerstones.",
        (
            Field("block", "Block", Kind.SIZE, "The finished size of a block.", needed=True),
            COLUMNS,
            ROWS,
            Field("sash", "Sash", Kind.LENGTH, "How wide the strips finish.", needed=True),
            Field("cornerstones", "Cornerstones", Kind.CHOICE, "Squares where strips cross.",
                  usual="yes", choices=_YES_NO),
            Field("frame", "Frame", Kind.CHOICE, "Sashing around the whole as well.",
                  usual="no", choices=_YES_NO),
            SEAM,
        ),
        "each strip finished plus two seams both ways (common practice).",
        _sashing,
    ),
    Sum(
        "borders",
        "Borders",
        "Borders, butted or mitred, one around the other.",
        (
            QUILT,
            Field("border", "Borders", Kind.LENGTHS, "How wide each finishes, the innermost first.",
                  needed=True),
            Field("corner", "Corners", Kind.CHOICE, "How they turn the corner.",
                  usual="butted", choices=("butted", "mitred")),
            SEAM,
            FABRIC_WIDTH,
        ),
        "butted: sides first, then ends across them, plus two seams (common practice); mitred: "
        "side + 2 × width + 2s(1 + √2) (geometry), printed + 6 in (“How to Miter Borders on a "
        "Quilt”, allpeoplequilt.com).",
        _borders,
    ),
    Sum(
        "bed",
        "Cover of a bed",
        f"The size of a quilt for a bed: {', '.join(list(BEDS)[:7])}, or any mattress.",
        (
            Field("bed", "Bed", Kind.BED, "Its name, or the size of the mattress.", needed=True),
            Field("drop", "Drop", Kind.LENGTH, "How far it hangs down; 0 for not at all.",
                  usual=("12 in", "30 cm")),
            Field("foot", "Foot", Kind.CHOICE, "Whether it hangs down at the foot as well.",
                  usual="yes", choices=_YES_NO),
            Field("tuck", "Tuck", Kind.LENGTH, "More at the head, to tuck under the pillows.",
                  usual="0"),
        ),
        "United States mattresses: thesprucecrafts.com/standard-mattress-sizes-4145709; European "
        "ones: common practice; the drop is geometry.",
        _bed,
    ),
)  # fmt: skip
"""The sums of whole quilts, in the order they are shown."""
