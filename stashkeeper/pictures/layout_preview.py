"""A quilt seen before it is sewn: in colour, in grey, and its cloth along the value rule.

Plain values in, a PDF or an SVG picture out. Several choices of fabrics stand side by side.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import TEXT, TITLE, Canvas
from stashkeeper.pictures.greys import GROUND_LIGHTNESS, grey
from stashkeeper.pictures.legend import LEGEND_LINE, MARKS, Item, draw_legend, legend_lines
from stashkeeper.pictures.level_cloth import cloth_count, dots_of, rule_cloth, rule_gaps
from stashkeeper.pictures.level_rule import LevelRule, draw_level_rule, draw_sign, rule_height
from stashkeeper.pictures.paper import whole_dots
from stashkeeper.pictures.preview_scene import Scene, Shown, Stage, show_scene
from stashkeeper.pictures.svg_canvas import SvgCanvas
from stashkeeper.pictures.value_rule import Mark
from stashkeeper.quilts.quilt import Quilt

MARGIN: Final = 32.0
TITLE_BASELINE: Final = 56.0
TOP: Final = 80.0
HEADING: Final = 24.0
GUTTER: Final = 16.0
BELOW: Final = 24.0
LEADING: Final = 18.0
MOST_SCENES: Final = 4
"""Choices of fabrics side by side."""
SMALLEST: Final = 120.0
"""A picture is never lower than this, whatever else stands on the page."""


@dataclass(frozen=True, slots=True, eq=False)
class LayoutPreview:
    """What a preview shows.

    Attributes:
        title: in large type.
        subtitle: beside it.
        quilt: what is to be sewn.
        scenes: one to four choices of fabrics.
        sentences: what is to be said below.
        paper: what it is made for.
        created: the date on record inside the PDF; a fixed one where None.
    """

    title: str
    subtitle: str
    quilt: Quilt
    scenes: Sequence[Scene]
    sentences: Sequence[str] = ()
    paper: Paper = Paper.A4
    created: datetime | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a picture stands, in px, and what is written above it."""

    x: float
    y: float
    width: float
    height: float
    heading: str


def draw_preview_pdf(preview: LayoutPreview) -> tuple[bytes, float]:
    """Return a preview as a PDF of one page, and how far down the page it reaches, in px.

    Raises:
        BadSizeError: a quilt of a size that none has.
    """
    with Canvas(preview.paper, preview.title, preview.created) as canvas:
        canvas.add_page(grey(GROUND_LIGHTNESS))
        bottom = _Page(canvas, preview).draw()
        return canvas.pdf(), bottom


def draw_preview_svg(preview: LayoutPreview) -> str:
    """Return a preview as an SVG picture, no longer than need be.

    Raises:
        BadSizeError: a quilt of a size that none has.
    """
    height = draw_preview_pdf(preview)[1] + MARGIN
    size = float(preview.paper.width), height
    with SvgCanvas(size, preview.title) as canvas:
        canvas.rectangle(0, 0, *size, grey(GROUND_LIGHTNESS))
        _Page(canvas, preview).draw()
        return canvas.svg()


class _Page:
    """A page as it is drawn."""

    def __init__(self, canvas: Canvas, preview: LayoutPreview) -> None:
        self.canvas, self.preview = canvas, preview
        self.stage = Stage(preview.quilt)
        self.width = canvas.paper.width - 2 * MARGIN
        self.scenes = preview.scenes[:MOST_SCENES]
        self.column = (self.width - (len(self.scenes) - 1) * GUTTER) / len(self.scenes)
        self.gaps = [rule_gaps(scene) for scene in self.scenes]
        self.legend = _legend(self.scenes)
        self.lines = [
            line for said in preview.sentences for line in canvas.wrapped(said, self.width)
        ]

    def draw(self) -> float:
        """Draw it; return how far down it reaches."""
        self._draw_heading()
        tiles = self._most_tiles()
        gaps = max(map(len, self.gaps))
        rule = rule_height(tiles, gaps, self.column)
        words = len(self.lines) * LEADING + self._legend_height() + 12
        room = self.canvas.paper.height - MARGIN - TOP - rule - words - BELOW - 8
        below = 0.0
        for number, scene in enumerate(self.scenes):
            spots = self._spots(number, max(room, SMALLEST))
            shown = show_scene(self.stage, scene, _dots(spots[0]))
            self._draw_pictures(spots, shown)
            foot = max(spot.y + spot.height for spot in spots)
            level = LevelRule(spots[0].x, foot + BELOW, self.column)
            cloth = rule_cloth(self.stage, scene, tiles, self.column)
            draw_level_rule(self.canvas, level, cloth, self.gaps[number])
            below = max(below, foot + BELOW + rule)
        return self._draw_words(below + 8)

    def _draw_heading(self) -> None:
        canvas, right = self.canvas, self.canvas.paper.width - MARGIN
        subtitle = canvas.shortened(self.preview.subtitle, self.width * 0.6)
        width = canvas.width(subtitle)
        canvas.text(right - width, TITLE_BASELINE, subtitle)
        room = right - MARGIN - width - 24
        canvas.text(
            MARGIN, TITLE_BASELINE, canvas.shortened(self.preview.title, room, TITLE), TITLE
        )

    def _spots(self, number: int, room: float) -> tuple[Spot, Spot]:
        """Return where the two pictures of a scene stand: as large as the room allows."""
        left = MARGIN + number * (self.column + GUTTER)
        if len(self.scenes) > 1:
            return self._above(left, room, self.scenes[number].title)
        half = (self.column - GUTTER) / 2
        width, height = self._fitted(half, room - HEADING)
        stacked = self._fitted(self.column, (room - 2 * HEADING) / 2)
        if stacked[0] > width * 1.1:
            return self._above(left, room, "In colour")
        y, other = TOP + HEADING, left + half + GUTTER
        return (
            Spot(left, y, width, height, "In colour"),
            Spot(other, y, width, height, "In grey"),
        )

    def _above(self, left: float, room: float, heading: str) -> tuple[Spot, Spot]:
        """Return the two pictures one above the other."""
        width, height = self._fitted(self.column, (room - 2 * HEADING) / 2)
        second = TOP + 2 * HEADING + height
        return (
            Spot(left, TOP + HEADING, width, height, heading),
            Spot(left, second, width, height, "In grey"),
        )

    def _fitted(self, width: float, height: float) -> tuple[float, float]:
        shape = self.stage.shape
        wide = whole_dots(min(width, height * shape))
        return wide, max(whole_dots(wide / shape), 1.0)

    def _draw_pictures(self, spots: tuple[Spot, Spot], shown: Shown) -> None:
        pictures = (shown.patchwork.colour, shown.patchwork.grey)
        for spot, picture in zip(spots, pictures, strict=True):
            heading = self.canvas.shortened(spot.heading, self.column, TEXT, bold=True)
            self.canvas.text(spot.x, spot.y - 8, heading, TEXT, bold=True)
            self.canvas.picture(picture, spot.x, spot.y, spot.width, spot.height)
            self.canvas.frame(spot.x, spot.y, spot.width, spot.height, 0.4, grey(50.0))
        for letter, (x, y) in shown.places.items():
            spot = spots[1]
            draw_sign(self.canvas, spot.x + x * spot.width, spot.y + y * spot.height, letter)

    def _most_tiles(self) -> int:
        """Return how many tiles the scene with the most of them has."""
        return max(cloth_count(self.stage, scene) for scene in self.scenes)

    def _legend_height(self) -> float:
        return legend_lines(self.canvas, self.legend, self.width) * LEGEND_LINE

    def _draw_words(self, top: float) -> float:
        """Write sentences and legend; return how far down they reach."""
        for number, line in enumerate(self.lines):
            self.canvas.text(MARGIN, top + 14 + number * LEADING, line)
        below = top + len(self.lines) * LEADING + (6 if self.lines else 0)
        draw_legend(self.canvas, self.legend, MARGIN, below, self.width)
        return below + self._legend_height()


def _dots(spot: Spot) -> tuple[int, int]:
    return dots_of(spot.width, spot.height)


def _legend(scenes: Sequence[Scene]) -> list[Item]:
    fabrics = [one for scene in scenes for some in scene.cast.values() for one in some]
    items: list[Item] = [(None, "Grey shows lightness L* alone.")]
    for mark in Mark:
        known = [
            one.uncertainty or 0.0 for one in fabrics if one.lightness is not None
            and one.mark is mark
        ]  # fmt: skip
        if known:
            items.append((mark, f"{MARKS[mark]}, ±{max(known):.0f}"))
    if any(met.weak for scene in scenes for met in scene.meetings):
        items.append(("weak", "weak: fabrics less than 5 apart where they meet"))
    return items
