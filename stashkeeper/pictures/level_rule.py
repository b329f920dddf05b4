"""The value rule lying down, below a quilt: cloth along its upper edge, gaps to scale below.

The same rule as on the sheet, from L* 0 on the left to 100 on the right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from PIL import Image

from stashkeeper.pictures.canvas import SMALL, TEXT, Canvas
from stashkeeper.pictures.greys import ACCENT, BLACK, WHITE, grey
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.placing import lanes, spread_out
from stashkeeper.pictures.value_rule import Mark, draw_hatched, draw_mark, wedge

WEDGE: Final = 16.0
BODY: Final = 36.0
LEADER: Final = 20.0
BEAD: Final = 8.0
LANE: Final = 34.0
CAPTION: Final = 34.0
LARGEST_TILE: Final = 86.0
SMALLEST_TILE: Final = 30.0
BETWEEN: Final = 8.0
TWINS: Final = 2.0
RING: Final = 15.0
HAIRLINE: Final = 0.4
NARROW: Final = 300.0
"""On a rule narrower than this, only every second ten has its number."""


@dataclass(frozen=True, slots=True, eq=False)
class LevelTile:
    """One fabric along the rule.

    Attributes:
        roles: what it is for, in words.
        code: of its piece; empty for a role without a fabric.
        lightness: L*; None where nobody knows it.
        uncertainty: of it, 95 %, ± L*; None for a wish.
        mark: how its reading is marked; None for a wish.
        colour, grey: looks at its cloth, at the scale of the quilt.
    """

    roles: str
    code: str
    lightness: float | None
    uncertainty: float | None
    mark: Mark | None
    colour: Image.Image
    grey: Image.Image


@dataclass(frozen=True, slots=True)
class LevelGap:
    """The gap between two roles that meet, in L*.

    Attributes:
        roles: in words.
        low, high: lightness of the darker and of the lighter.
        words: the gap, its uncertainty and the verdict.
        weak: whether it is hatched.
        sign: the letter that marks its seams in the picture; empty where they are not.
    """

    roles: str
    low: float
    high: float
    words: str
    weak: bool
    sign: str = ""


@dataclass(frozen=True, slots=True)
class LevelRule:
    """Where the rule stands: its left edge, its top and its width, in px."""

    x: float
    top: float
    width: float

    def at(self, lightness: float) -> float:
        """Return the x at which a lightness stands."""
        return self.x + self.width * min(100.0, max(0.0, lightness)) / 100.0


def tile_width(count: int, width: float) -> float:
    """Return how wide each of so many tiles is; 0 where they are too many to be shown."""
    each = (width - (count - 1) * BETWEEN) / max(count, 1)
    return min(each, LARGEST_TILE) if each >= SMALLEST_TILE else 0.0


def tile_height(count: int, width: float) -> float:
    """Return how high each twin of a tile is."""
    return tile_width(count, width) * 2 / 3


def rule_height(tiles: int, gaps: int, width: float) -> float:
    """Return how high the rule is with its tiles and gaps, in px."""
    above = tile_height(tiles, width)
    cloth = CAPTION + 2 * above + TWINS + LEADER if above else BEAD + 4
    return cloth + WEDGE + BODY + (gaps * LANE + 8 if gaps else 0)


def draw_level_rule(
    canvas: Canvas, rule: LevelRule, tiles: Sequence[LevelTile], gaps: Sequence[LevelGap]
) -> None:
    """Draw the rule with its greys, the cloth above it and the gaps below."""
    wide = tile_width(len(tiles), rule.width)
    high = tile_height(len(tiles), rule.width)
    cloth = CAPTION + 2 * high + TWINS + LEADER if wide else BEAD + 4
    edge = rule.top + cloth
    if wide:
        _draw_tiles(canvas, rule, tiles, (wide, high), edge)
    _draw_body(canvas, rule, edge)
    _draw_beads(canvas, rule, tiles, edge)
    for number, gap in enumerate(gaps):
        _draw_gap(canvas, rule, gap, edge + WEDGE + BODY + 8 + number * LANE)


def _draw_tiles(
    canvas: Canvas,
    rule: LevelRule,
    tiles: Sequence[LevelTile],
    size: tuple[float, float],
    edge: float,
) -> None:
    """Draw the tiles from dark to light, each as near to its place as its neighbours allow."""
    wide, high = size
    ranked = sorted(tiles, key=lambda tile: (_place(tile), tile.roles))
    middles = [rule.at(_place(tile)) for tile in ranked]
    right = rule.x + rule.width
    lefts = spread_out(middles, [wide] * len(ranked), BETWEEN, rule.x, right)
    rights = [left - BETWEEN for left in lefts[1:]] + [right]
    for tile, x, end, middle in zip(ranked, lefts, rights, middles, strict=True):
        y = rule.top + CAPTION
        canvas.picture(tile.colour, x, y, wide, high)
        canvas.picture(tile.grey, x, y + high + TWINS, wide, high)
        canvas.frame(x, y, wide, 2 * high + TWINS, HAIRLINE, grey(50.0))
        _draw_caption(canvas, tile, x, rule.top, end - x)
        if tile.lightness is not None:
            bottom = y + 2 * high + TWINS
            foot = min(max(middle, x + 4), x + wide - 4)
            canvas.line((foot, bottom + 2), (middle, edge - BEAD - 1), 0.7, BLACK)


def _draw_caption(canvas: Canvas, tile: LevelTile, x: float, top: float, room: float) -> None:
    """Write what a fabric is for, its code and lightness, in the room up to the next one."""
    canvas.text(x, top + 13, canvas.shortened(tile.roles, room, TEXT, bold=True), TEXT, bold=True)
    number = "?" if tile.lightness is None else f"{tile.lightness:.0f}"
    if tile.uncertainty is not None and room >= 56:
        number += f" ±{tile.uncertainty:.0f}"
    words = f"{tile.code}  {number}" if tile.code else "no fabric yet"
    canvas.text(x, top + 27, canvas.shortened(words, room, SMALL), SMALL)


def _place(tile: LevelTile) -> float:
    return 50.0 if tile.lightness is None else tile.lightness


def _draw_body(canvas: Canvas, rule: LevelRule, edge: float) -> None:
    long = round(rule.width * DOTS_PER_PX)
    greys = wedge(long).rotate(-90, expand=True).resize(
        (long, round(WEDGE * DOTS_PER_PX)), Image.Resampling.NEAREST
    )  # fmt: skip
    canvas.picture(greys, rule.x, edge, rule.width, WEDGE, exact=True)
    top = edge + WEDGE
    canvas.rectangle(rule.x, top, rule.width, BODY, WHITE)
    fine = rule.width >= NARROW
    for lightness in range(1, 100):
        if not fine and lightness % 5:
            continue
        length = 14 if lightness % 10 == 0 else 10 if lightness % 5 == 0 else 5
        thickness = 1.2 if lightness % 10 == 0 else 0.8
        canvas.line((rule.at(lightness), top), (rule.at(lightness), top + length), thickness, BLACK)
    for lightness in range(0, 101, 10 if fine else 20):
        words = str(lightness)
        room = canvas.width(words)
        x = min(max(rule.at(lightness) - room / 2, rule.x + 3), rule.x + rule.width - room - 3)
        canvas.text(x, top + 29, words)
    canvas.text(rule.x + 18, top + 29, "L*", SMALL)


def _draw_beads(canvas: Canvas, rule: LevelRule, tiles: Sequence[LevelTile], edge: float) -> None:
    known = [tile for tile in tiles if tile.lightness is not None]
    places = [rule.at(_place(tile)) for tile in known]
    for tile, x, lane in zip(known, places, lanes(places, BEAD * 0.7), strict=True):
        y = edge - BEAD / 2 - (lane % 2) * 3
        draw_mark(canvas, x, y, BEAD, tile.mark or Mark.PROVISIONAL)


def _draw_gap(canvas: Canvas, rule: LevelRule, gap: LevelGap, top: float) -> None:
    """Draw a gap to scale between two roles, and say below how large it is."""
    left, right = rule.at(gap.low), rule.at(gap.high)
    ink = ACCENT if gap.weak else BLACK
    if gap.weak and right - left >= 2:
        draw_hatched(canvas, left, top + 1, right - left, 9)
    else:
        canvas.line((left, top + 5), (right, top + 5), 1.5, ink)
        for x in (left, right):
            canvas.line((x, top + 1), (x, top + 10), 1.5, ink)
    x = left
    words = f"{gap.roles}  {gap.words}"
    ringed = RING + 5 if gap.sign else 0.0
    room = canvas.width(words, SMALL, bold=gap.weak) + ringed
    x = max(rule.x, min((left + right - room) / 2, rule.x + rule.width - room))
    if gap.sign:
        draw_sign(canvas, x + RING / 2, top + 19, gap.sign)
    fitting = canvas.shortened(words, rule.width - ringed, SMALL, bold=gap.weak)
    canvas.text(x + ringed, top + 23, fitting, SMALL, bold=gap.weak)


def draw_sign(canvas: Canvas, x: float, y: float, sign: str) -> None:
    """Draw the letter of a weak seam in its ring about (x, y)."""
    canvas.circle(x, y, RING, WHITE, 1.6)
    canvas.text(x - canvas.width(sign, SMALL, bold=True) / 2, y + 3.8, sign, SMALL, bold=True,
                ink=ACCENT)  # fmt: skip


def plain_look(lightness: float) -> Image.Image:
    """Return a look at cloth that has no photo: the grey of its lightness."""
    return Image.fromarray(np.full((4, 6, 3), grey(lightness)[0], dtype=np.uint8))
