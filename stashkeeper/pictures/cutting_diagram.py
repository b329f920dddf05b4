"""A cutting diagram: one piece to scale, its cuts numbered in order, what comes off named.

The piece lies as the person sees it: the near edge at the bottom, turned half way round for a
left-handed person. Everything is black on white, to survive a cheap printer; hatching is what is
cut away, a heavy double edge is selvedge.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from PIL import Image

from stashkeeper.cutting.partly import parted
from stashkeeper.cutting.plan import Box, CutLine, Direction, PiecePlan
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import TICKS_PER_INCH, Length, Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.pictures.canvas import Canvas
from stashkeeper.pictures.diagram_marks import draw_arrow, draw_dashed, write_inside
from stashkeeper.pictures.diagram_view import AROUND, Spot, View, drawn_size, scale_of
from stashkeeper.pictures.greys import BLACK, WHITE
from stashkeeper.pictures.paper import PX_PER_INCH
from stashkeeper.pictures.svg_canvas import SvgCanvas

NUMBER: Final = 11.0
RING: Final = 19.0
NOW: Final = 6.0
"""How thick a cut is that is being made, in px."""
FADED: Final = 0.78
"""So much white lies over the cloth of the photo."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What a diagram shows.

    Attributes:
        piece: how it is cut.
        name: of its fabric.
        direction: how its print runs (`along`, `across`, `both ways`); None for no direction.
        measure: inches or centimetres.
        left_handed: whether the piece is turned half way round.
        cloth: a look at the fabric, faded by the drawing; None where there is no photo.
        now: the numbers of the cuts that are being made; they stand out.
    """

    piece: PiecePlan
    name: str
    direction: str | None = None
    measure: Measure = Measure.INCHES
    left_handed: bool = False
    cloth: Image.Image | None = None
    now: frozenset[int] = frozenset()


def draw_diagram(canvas: Canvas, drawing: Drawing, x: float, y: float, scale: int) -> None:
    """Draw a piece at a scale, the top left corner of all its words and lines at (x, y)."""
    piece = drawing.piece
    px = PX_PER_INCH / TICKS_PER_INCH / scale
    view = View(x + AROUND, y + AROUND, px, piece.cloth.whole, drawing.left_handed)
    whole = view.spot(Box(Length(0), Length(0), piece.cloth.whole))
    if drawing.cloth is not None:
        faint = faded(drawing.cloth, whole.width / max(whole.height, 1.0))
        canvas.picture(faint, whole.x, whole.y, whole.width, whole.height)
    _draw_waste(canvas, piece, view)
    _draw_lines(canvas, drawing, view, whole)
    rings = _rings(canvas, piece, view)
    _draw_names(canvas, drawing, view, rings)
    _draw_numbers(canvas, rings, drawing.now)
    _draw_edges(canvas, drawing, view, whole)


def diagram_svg(drawing: Drawing, width: float = 900.0, height: float = 900.0) -> str:
    """Return the diagram of one piece as an SVG picture that fits into a room in px."""
    whole = drawing.piece.cloth.whole
    scale = scale_of(whole, width, height)
    title = f"How to cut {drawing.piece.cloth.code} {drawing.name}, 1 to {scale}"
    with SvgCanvas(drawn_size(whole, scale), title) as canvas:
        draw_diagram(canvas, drawing, 0, 0, scale)
        return canvas.svg()


def faded(cloth: Image.Image, shape: float) -> Image.Image:
    """Return the middle of a look at cloth in a shape (width ÷ height), faint to write on."""
    width, height = cloth.size
    if width / height > shape:
        width = max(round(height * shape), 1)
    else:
        height = max(round(width / shape), 1)
    left, top = (cloth.width - width) // 2, (cloth.height - height) // 2
    middle = cloth.convert("RGB").crop((left, top, left + width, top + height))
    return Image.blend(middle, Image.new("RGB", middle.size, WHITE), FADED)


def _draw_waste(canvas: Canvas, piece: PiecePlan, view: View) -> None:
    """Hatch what is cut away: trims, and off-cuts nobody keeps."""
    wasted = [*piece.trims, *(one.box for one in piece.off_cuts if not one.kept)]
    for spot in map(view.spot, wasted):
        canvas.rectangle(spot.x, spot.y, spot.width, spot.height, WHITE)
        canvas.hatch(spot.x, spot.y, spot.width, spot.height, BLACK, 7.0)
    for spot in (view.spot(one.box) for one in piece.kept):
        canvas.rectangle(spot.x, spot.y, spot.width, spot.height, WHITE)


def _draw_lines(canvas: Canvas, drawing: Drawing, view: View, whole: Spot) -> None:
    """Draw the outline, the squared edges, and every cut; the first ones are the thickest."""
    piece = drawing.piece
    for box in piece.trims:
        spot = view.spot(box)
        canvas.frame(spot.x, spot.y, spot.width, spot.height, 0.8, BLACK)
    squared = view.spot(piece.squared)
    canvas.frame(squared.x, squared.y, squared.width, squared.height, 1.2, BLACK)
    for number, line in enumerate(piece.lines, start=1):
        start, end = _ends(view.spot(cut_box(line)))
        usual = 2.6 if line.stage <= 1 else 1.8
        canvas.line(start, end, NOW if number in drawing.now else usual, BLACK)
    canvas.frame(whole.x, whole.y, whole.width, whole.height, 1.6, BLACK)


def cut_box(line: CutLine) -> Box:
    """Return where a cut runs: a box of no width, or of no length."""
    _, rest = parted(line)
    nothing = Length(0)
    if line.direction is Direction.ALONG:
        return Box(rest.left, rest.near, Size(nothing, rest.size.length))
    return Box(rest.left, rest.near, Size(rest.size.width, nothing))


def _ends(spot: Spot) -> tuple[tuple[float, float], tuple[float, float]]:
    return (spot.x, spot.y), (spot.x + spot.width, spot.y + spot.height)


def _rings(canvas: Canvas, piece: PiecePlan, view: View) -> list[Spot]:
    """Return where the number of each cut stands on its line, clear of the others if it can be."""
    taken: list[Spot] = []
    for number, line in enumerate(piece.lines, start=1):
        spot = view.spot(cut_box(line))
        width = max(RING, canvas.width(f"{number}", NUMBER, bold=True) + 9)
        places = [_ring_at(spot, share, width) for share in (0.07, 0.2, 0.35, 0.8, 0.93, 0.5, 0.65)]
        place = next((one for one in places if not any(map(one.meets, taken))), places[0])
        taken.append(place)
    return taken


def _draw_numbers(canvas: Canvas, rings: Sequence[Spot], now: frozenset[int]) -> None:
    """Write the number of each cut into its ring, white on black where it is being made."""
    for number, ring in enumerate(rings, start=1):
        middle = ring.x + ring.width / 2, ring.y + ring.height / 2
        ground, ink = (BLACK, WHITE) if number in now else (WHITE, BLACK)
        canvas.circle(*middle, ring.width, ground, 1.4)
        words = f"{number}"
        start = middle[0] - canvas.width(words, NUMBER, bold=True) / 2
        canvas.text(start, middle[1] + NUMBER * 0.34, words, NUMBER, bold=True, ink=ink)


def _ring_at(line: Spot, share: float, width: float) -> Spot:
    """Return where a ring lies so far along a line, reckoned from the left or from below."""
    along = max(line.width, line.height)
    # Near the start, but never so near that the ring hangs over the end of the line.
    at = min(max(along * share, width / 2 + 2), max(along - width / 2 - 2, along / 2))
    across = line.width > line.height
    x, y = (line.x + at, line.y) if across else (line.x, line.y + line.height - at)
    return Spot(x - width / 2, y - width / 2, width, width)


def _draw_names(canvas: Canvas, drawing: Drawing, view: View, taken: Sequence[Spot]) -> None:
    """Write into each rectangle what it is: a cut's name and size, or what is kept."""
    piece, measure = drawing.piece, drawing.measure
    written = list(taken)
    for placement in piece.placements:
        size = format_size(placement.box.size, measure, Rounding.UP)
        written += write_inside(canvas, view.spot(placement.box), (placement.name, size), written)
    for off_cut in piece.kept:
        size = format_size(off_cut.box.size, measure)
        spot = view.spot(off_cut.box)
        draw_dashed(canvas, spot)
        inside = Spot(spot.x + 5, spot.y + 5, spot.width - 10, spot.height - 10)
        written += write_inside(canvas, inside, ("keep", size), written)


def _draw_edges(canvas: Canvas, drawing: Drawing, view: View, whole: Spot) -> None:
    """Draw what runs along the edges: selvedges, the size of the whole, the print's direction."""
    cloth = drawing.piece.cloth
    for edge in cloth.selvedges:
        right = (edge is Edge.RIGHT) != view.turned
        x = whole.x + whole.width + 4 if right else whole.x - 4
        canvas.line((x, whole.y), (x, whole.y + whole.height), 3.4, BLACK)
        words = "selvedge"
        width = canvas.width(words, 11.0)
        start = min(
            max(x - width / 2, whole.x - AROUND + 2), whole.x + whole.width + AROUND - width
        )
        canvas.text(start, whole.y - 8, words, 11.0)
    size = format_size(cloth.whole, drawing.measure)
    words = f"{size}, before squaring up" if drawing.piece.trims else size
    if not cloth.certain:
        words = f"probably {words}"
    left = whole.x + (whole.width - canvas.width(words, 11.0)) / 2
    canvas.text(max(left, whole.x - AROUND + 2), whole.y + whole.height + 16, words, 11.0)
    if drawing.direction:
        _draw_direction(canvas, drawing.direction, whole)


def _draw_direction(canvas: Canvas, direction: str, whole: Spot) -> None:
    """Draw an arrow the way the print runs, beside the piece, with a word."""
    x, y = whole.x + whole.width / 2, whole.y - 8
    words = f"print {direction}" if direction == "both ways" else f"print {direction} the selvedge"
    width = canvas.width(words, 11.0)
    canvas.text(x - width / 2 + 10, y, words, 11.0)
    tip = x - width / 2 - 2
    if direction != "across":
        draw_arrow(canvas, (tip - 4, y + 1), (tip - 4, y - 12))
    if direction != "along":
        draw_arrow(canvas, (tip - 12, y - 4), (tip + 3, y - 4))
