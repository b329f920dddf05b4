"""The value rule: a ruler from L* 0 to 100 along which the cloth lies.

Beside its ticks runs a wedge of greys, each exactly the lightness it stands at. Groups are
stretches of the rule, every fabric is a bead on it, gaps between groups are drawn to scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from PIL import Image

from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.pictures.canvas import SMALL, TEXT, Canvas
from stashkeeper.pictures.greys import ACCENT, BLACK, WHITE, encoded
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.placing import lanes, spread_out

BODY: Final = 48
"""Width of the ruler's body, numbers and ticks."""
WEDGE: Final = 20
BEADS_AT: Final = BODY + WEDGE + 6
"""Where the stretches stand, from the rule's left edge; the beads follow to the right."""
STRETCH: Final = 4
BEADS: Final = 34
BRACKET_AT: Final = BEADS_AT + BEADS
BRACKET: Final = 12
LABELS_AT: Final = BRACKET_AT + BRACKET + 6
LABELS: Final = 68
RULE_WIDTH: Final = LABELS_AT + LABELS
"""Width of the whole rule with its labels, in px."""

BEAD_SIZES: Final = (8.0, 7.0, 6.0, 5.0, 4.0, 3.0)
LABEL_LEADING: Final = 16.0


class Mark(StrEnum):
    """How a fabric's reading is marked, on the rule and beside its number."""

    SURE = "sure"
    """A filled bead."""
    PROVISIONAL = "provisional"
    """An open bead: only a photo with nothing of known lightness in it speaks for it."""
    DOUBTFUL = "doubtful"
    """An open bead struck through: and something in the photo makes it less sure still."""


@dataclass(frozen=True, slots=True)
class Bead:
    """One fabric on the rule: its lightness L* and how its reading is marked."""

    lightness: float
    mark: Mark


@dataclass(frozen=True, slots=True)
class Stretch:
    """A group's part of the rule: from its lowest to its highest lightness."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bracket:
    """A gap between two neighbouring groups, from the darker one's highest to the lighter's lowest.

    Attributes:
        upper: lowest lightness of the lighter group.
        lower: highest lightness of the darker group; above `upper` where the groups overlap.
        number: the gap as it is written.
        uncertainty: of it, as it is written.
        words: the lines below the number: the verdict, then the codes of the pair that sets it.
        weak: whether it needs attention, and is hatched.
    """

    upper: float
    lower: float
    number: str
    uncertainty: str
    words: tuple[str, str]
    weak: bool


@dataclass(frozen=True, slots=True)
class Rule:
    """Where the rule stands on the page: its left edge, and the y of L* 100 and of L* 0, in px."""

    x: float
    top: float
    bottom: float

    def y(self, lightness: float) -> float:
        """Return the y at which a lightness stands."""
        return self.bottom - (self.bottom - self.top) * lightness / 100.0


def draw_value_rule(
    canvas: Canvas,
    rule: Rule,
    beads: Sequence[Bead],
    stretches: Sequence[Stretch],
    brackets: Sequence[Bracket],
) -> None:
    """Draw the rule with its greys, and the cloth along it."""
    _draw_body(canvas, rule)
    _draw_wedge(canvas, rule)
    _draw_stretches(canvas, rule, stretches)
    for bracket in brackets:
        _draw_bracket(canvas, rule, bracket)
    _draw_labels(canvas, rule, brackets)
    _draw_beads(canvas, rule, beads)


def wedge(height: int) -> Image.Image:
    """Return greys from L* 100 to 0 from top to bottom, one pixel wide, `height` pixels high.

    Each pixel row has the lightness of its middle, to the nearest 8-bit sRGB code.
    """
    middles = 100.0 - (np.arange(height) + 0.5) * 100.0 / height
    light = np.array([luminance_of_lightness(lightness) for lightness in middles])
    return Image.fromarray(encoded(light)[:, np.newaxis])


def bead_lanes(places: Sequence[float]) -> tuple[float, list[int]]:
    """Return the largest bead that lets all marks stand side by side, and the lane of each."""
    for size in BEAD_SIZES:
        found = lanes(places, size + 1)
        if (max(found, default=0) + 1) * (size + 1) <= BEADS - 8:
            return size, found
    most = int((BEADS - 8) // (BEAD_SIZES[-1] + 1))
    return BEAD_SIZES[-1], [lane % most for lane in lanes(places, BEAD_SIZES[-1] + 1)]


def draw_mark(canvas: Canvas, x: float, y: float, size: float, mark: Mark) -> None:
    """Draw a bead about (x, y), as on the rule and beside a number."""
    canvas.circle(x, y, size, BLACK if mark is Mark.SURE else WHITE, thickness=size / 6)
    if mark is Mark.DOUBTFUL:
        reach = size * 0.35
        canvas.line((x - reach, y + reach), (x + reach, y - reach), size / 6, BLACK)


def draw_hatched(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """Hatch and outline a rectangle in the accent: here something needs attention."""
    canvas.hatch(x, y, width, height, ACCENT, step=5.0)
    canvas.frame(x, y, width, height, 1.5, ACCENT)


def _draw_body(canvas: Canvas, rule: Rule) -> None:
    canvas.rectangle(rule.x, rule.top, BODY, rule.bottom - rule.top, WHITE)
    edge = rule.x + BODY
    for lightness in range(1, 100):
        length = 20 if lightness % 10 == 0 else 14 if lightness % 5 == 0 else 7
        thickness = 1.5 if lightness % 10 == 0 else 1.0
        y = rule.y(lightness)
        canvas.line((edge - length, y), (edge, y), thickness, BLACK)
    canvas.text(edge - 14, rule.top - 6, "L*", SMALL)
    for lightness in range(0, 101, 10):
        _draw_number(canvas, rule, lightness)


def _draw_number(canvas: Canvas, rule: Rule, lightness: int) -> None:
    """Write a ten beside its tick; the two ends stay inside the body."""
    number = str(lightness)
    baseline = rule.y(lightness) + TEXT * 0.33
    baseline = min(max(baseline, rule.top + TEXT * 0.9), rule.bottom - TEXT * 0.25)
    right = rule.x + BODY - 23
    canvas.text(right - canvas.width(number), baseline, number)


def _draw_wedge(canvas: Canvas, rule: Rule) -> None:
    height = rule.bottom - rule.top
    greys = wedge(round(height * DOTS_PER_PX)).resize(
        (round(WEDGE * DOTS_PER_PX), round(height * DOTS_PER_PX)), Image.Resampling.NEAREST
    )
    canvas.picture(greys, rule.x + BODY, rule.top, WEDGE, height, exact=True)


def _draw_stretches(canvas: Canvas, rule: Rule, stretches: Sequence[Stretch]) -> None:
    """Draw each group's stretch; one that overlaps the group above stands a step to the left."""
    above, aside = None, False
    for stretch in stretches:
        aside = above is not None and stretch.high > above.low and not aside
        top, bottom = rule.y(stretch.high), rule.y(stretch.low)
        x = rule.x + BEADS_AT - (STRETCH + 1 if aside else 0)
        canvas.rectangle(x, top - 1, STRETCH, bottom - top + 2, BLACK)
        above = stretch


def _draw_beads(canvas: Canvas, rule: Rule, beads: Sequence[Bead]) -> None:
    places = [rule.y(bead.lightness) for bead in beads]
    size, found = bead_lanes(places)
    for bead, y, lane in zip(beads, places, found, strict=True):
        x = rule.x + BEADS_AT + STRETCH + 1 + size / 2 + lane * (size + 1)
        draw_mark(canvas, x, y, size, bead.mark)


def _draw_bracket(canvas: Canvas, rule: Rule, bracket: Bracket) -> None:
    top, bottom = sorted((rule.y(bracket.upper), rule.y(bracket.lower)))
    left, right = rule.x + BRACKET_AT, rule.x + BRACKET_AT + BRACKET
    ink = ACCENT if bracket.weak else BLACK
    for y in (top, bottom):
        canvas.line((rule.x + BEADS_AT + STRETCH, y), (left, y), 0.5, BLACK)
        canvas.line((left, y), (right, y), 1.5, ink)
    canvas.line((right, top), (right, bottom), 1.5, ink)
    if bracket.weak:
        canvas.hatch(left, top, BRACKET, bottom - top, ACCENT, step=5.0)
        canvas.line((left, top), (left, bottom), 1.5, ink)


def _draw_labels(canvas: Canvas, rule: Rule, brackets: Sequence[Bracket]) -> None:
    """Write number, verdict and codes beside each bracket, moved apart where gaps lie close."""
    middles = [rule.y((bracket.upper + bracket.lower) / 2) for bracket in brackets]
    heights = [3 * LABEL_LEADING] * len(brackets)
    tops = spread_out(middles, heights, 8.0, rule.top, rule.bottom)
    for bracket, top in zip(brackets, tops, strict=True):
        x, baseline = rule.x + LABELS_AT, top + 12
        canvas.text(x, baseline, bracket.number, TEXT, bold=True)
        beside = x + canvas.width(bracket.number, TEXT, bold=True) + 4
        canvas.text(beside, baseline, bracket.uncertainty, SMALL)
        verdict, codes = bracket.words
        canvas.text(x, baseline + LABEL_LEADING, verdict, TEXT)
        codes = canvas.shortened(codes, LABELS, SMALL)
        canvas.text(x, baseline + 2 * LABEL_LEADING - 1, codes, SMALL)
