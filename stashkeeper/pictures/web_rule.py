"""Where the marks of the value rule stand on a page, whatever its height: in percent from its top.

The same rule as on the sheet. Of more fabrics than it has room for as beads, it tells how many lie
at each lightness instead.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.pictures.greys import grey
from stashkeeper.pictures.placing import spread_out
from stashkeeper.pictures.value_rule import BEADS, Bead, Bracket, Mark, Stretch, bead_lanes

HEIGHT: Final = 600.0
"""The least height of the rule, in px, for which beads and labels are placed."""

MOST_BEADS: Final = 160
"""More fabrics than this are counted, not shown one by one."""

LABEL: Final = 60.0
"""Height of a gap's label, in px."""

TICKS: Final = " ".join(
    f"M{-9 if lightness % 10 == 0 else -6 if lightness % 5 == 0 else -4} {100 - lightness}H0"
    for lightness in range(1, 100)
)
"""The ticks of the ruler's body as an SVG path: L* 0 at y 100, the body's edge at x 0."""


@dataclass(frozen=True, slots=True)
class PlacedBead:
    """A bead: how far down its middle is in percent, how far right in px, its size and mark."""

    down: float
    right: float
    size: float
    mark: Mark


@dataclass(frozen=True, slots=True)
class Bar:
    """How many fabrics lie within one step of L*: the parts of a bar, each with its mark.

    Attributes:
        down: of its upper edge, in percent.
        parts: left edge and width in px, and the mark of the fabrics it stands for.
        count: of the fabrics.
        lightness: the step begins at this L*.
    """

    down: float
    parts: tuple[tuple[float, float, Mark], ...]
    count: int
    lightness: int


@dataclass(frozen=True, slots=True)
class Span:
    """A part of the rule, from `down` percent, `high` percent high."""

    down: float
    high: float


@dataclass(frozen=True, slots=True)
class PlacedBracket:
    """A gap between two groups, with the place of its label."""

    span: Span
    label: float
    bracket: Bracket


@dataclass(frozen=True, slots=True)
class WebRule:
    """The value rule as a page draws it; either `beads` or `bars` are empty.

    Attributes:
        greys: offset in percent and colour of every fifth L*, from white down.
        stretches: of the groups.
        brackets: of the gaps.
    """

    greys: tuple[tuple[float, str], ...]
    beads: tuple[PlacedBead, ...]
    bars: tuple[Bar, ...]
    stretches: tuple[Span, ...]
    brackets: tuple[PlacedBracket, ...]


def place_value_rule(
    beads: Sequence[Bead], stretches: Iterable[Stretch], brackets: Sequence[Bracket]
) -> WebRule:
    """Return where everything stands.

    Args:
        beads: one for each fabric.
        stretches: from the lowest to the highest lightness of each group.
        brackets: the gaps between groups, the lighter one first.
    """
    few = len(beads) <= MOST_BEADS
    return WebRule(
        tuple((100.0 - lightness, css_grey(lightness)) for lightness in range(100, -1, -5)),
        _beads(beads) if few else (),
        () if few else _bars(beads),
        tuple(span_of(stretch.high, stretch.low) for stretch in stretches),
        _brackets(brackets),
    )


def span_of(upper: float, lower: float) -> Span:
    """Return the part of the rule between two lightnesses."""
    return Span(100.0 - upper, upper - lower)


def css_grey(lightness: float) -> str:
    """Return the grey of a lightness L*, 0 to 100, as style sheets and SVG write it."""
    red, green, blue = grey(lightness)
    return f"#{red:02x}{green:02x}{blue:02x}"


def _beads(beads: Sequence[Bead]) -> tuple[PlacedBead, ...]:
    places = [(100.0 - bead.lightness) / 100.0 * HEIGHT for bead in beads]
    size, lanes = bead_lanes(places)
    return tuple(
        PlacedBead(100.0 - bead.lightness, 1 + size / 2 + lane * (size + 1), size, bead.mark)
        for bead, lane in zip(beads, lanes, strict=True)
    )


def _bars(beads: Sequence[Bead]) -> tuple[Bar, ...]:
    """Return a bar for each whole L* that fabrics lie at; the longest fills the room of beads."""
    steps: dict[int, Counter[Mark]] = {}
    for bead in beads:
        steps.setdefault(min(99, int(bead.lightness)), Counter())[bead.mark] += 1
    scale = BEADS / max(counts.total() for counts in steps.values())
    bars = []
    for step, counts in sorted(steps.items(), reverse=True):
        parts, at = [], 0.0
        for mark in Mark:
            if counts[mark]:
                width = counts[mark] * scale
                parts.append((at, width, mark))
                at += width
        bars.append(Bar(99.0 - step, tuple(parts), counts.total(), step))
    return tuple(bars)


def _brackets(brackets: Sequence[Bracket]) -> tuple[PlacedBracket, ...]:
    spans = [span_of(*sorted((one.upper, one.lower), reverse=True)) for one in brackets]
    middles = [(span.down + span.high / 2) / 100.0 * HEIGHT for span in spans]
    tops = spread_out(middles, [LABEL] * len(brackets), 8.0, 0.0, HEIGHT)
    return tuple(
        PlacedBracket(span, top / HEIGHT * 100.0, bracket)
        for span, top, bracket in zip(spans, tops, brackets, strict=True)
    )
