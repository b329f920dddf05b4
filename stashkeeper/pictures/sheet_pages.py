"""Draw a sheet: heading, value rule, groups, legend and sentences, page by page."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.luminance.contrast import Verdict
from stashkeeper.pictures.canvas import TEXT, TITLE, Canvas
from stashkeeper.pictures.greys import BLACK, GROUND_LIGHTNESS, grey
from stashkeeper.pictures.legend import LEGEND_LINE, draw_legend, legend_lines, legend_of
from stashkeeper.pictures.sheet import Group, Sheet, groups_of, unmeasured
from stashkeeper.pictures.sheet_layout import Block, Grid, Room, SheetLayout, lay_out
from stashkeeper.pictures.swatch import Swatch
from stashkeeper.pictures.swatch_book import Report, Wanted, cut_swatches
from stashkeeper.pictures.tile import draw_tile, lines_needed, pixels_of
from stashkeeper.pictures.value_rule import (
    RULE_WIDTH,
    Bead,
    Bracket,
    Rule,
    Stretch,
    draw_value_rule,
)

MARGIN: Final = 32.0
TITLE_BASELINE: Final = 56.0
TOP: Final = 88.0
GUTTER: Final = 16.0
LEADING: Final = 20.0
MOST_SENTENCE_LINES: Final = 10
"""More lines than this go to pages of their own, lest they crowd out the cloth."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """What is fixed before the groups are laid out: a page's parts, from its sentences up."""

    canvas: Canvas
    sheet: Sheet
    groups: Sequence[Group]
    sentences: Sequence[str]
    legend: float

    def bottom(self, first: bool) -> float:
        """Return where the rule and the groups end on the first page, or on a later one."""
        lines = min(len(self.sentences), MOST_SENTENCE_LINES) if first else 0
        below = self.legend + (lines * LEADING + 12 if lines else 0)
        return self.canvas.paper.height - MARGIN - below - 20

    def rule(self, first: bool) -> Rule:
        """Return where the rule stands."""
        return Rule(MARGIN, TOP, self.bottom(first))

    def room(self, first: bool) -> Room:
        """Return the room of the groups."""
        left = MARGIN + RULE_WIDTH + GUTTER
        width = self.canvas.paper.width - MARGIN - left
        return Room(left, TOP, width, self.bottom(first))


def draw_sheet(sheet: Sheet, report: Report = lambda _done, _of, _name: None) -> bytes:
    """Return a sheet as a PDF; `report` is told after each photo.

    Photos are opened; one that is missing or damaged leaves a grey swatch that says so. The same
    sheet and photos give the same bytes.
    """
    with Canvas(sheet.paper, sheet.title, sheet.created) as canvas:
        frame = _framed(canvas, sheet)
        layout = _laid_out(frame)
        swatches = _swatches(layout, report)
        notes = _notes(frame.sentences, canvas.paper.height)
        pages = len(layout.pages) + len(notes)
        for number, blocks in enumerate(layout.pages):
            _start_page(frame, number, pages)
            _draw_page(frame, layout.grid, blocks, swatches, first=number == 0)
        for number, lines in enumerate(notes, start=len(layout.pages)):
            _start_page(frame, number, pages)
            _draw_lines(canvas, lines, TOP + LEADING)
        return canvas.pdf()


def _laid_out(frame: _Frame) -> SheetLayout:
    rule = frame.rule(first=True)
    return lay_out(
        frame.groups,
        lines_needed(frame.sheet.entries),
        frame.room(first=True),
        frame.room(first=False),
        lambda group: _beside(rule, group),
    )


def _framed(canvas: Canvas, sheet: Sheet) -> _Frame:
    width = canvas.paper.width - 2 * MARGIN
    sentences = list(sheet.sentences)
    left_out = unmeasured(sheet)
    if left_out:
        listed = ", ".join(f"{entry.code} {entry.name}" for entry in left_out)
        sentences.append(f"Not measured yet: {listed}.")
    lines = [line for sentence in sentences for line in canvas.wrapped(sentence, width)]
    legend = legend_lines(canvas, legend_of(canvas, sheet), width) * LEGEND_LINE
    return _Frame(canvas, sheet, groups_of(sheet), lines, legend)


def _notes(lines: Sequence[str], height: float) -> list[Sequence[str]]:
    """Return the lines that the first page has no room for, page by page."""
    over = lines[MOST_SENTENCE_LINES:]
    most = int((height - TOP - MARGIN - LEADING) // LEADING)
    return [over[start : start + most] for start in range(0, len(over), most)]


def _beside(rule: Rule, group: Group) -> float:
    """Return the y of the middle of a group's stretch; empty groups stand where they belong."""
    known = group.lightnesses
    if known:
        return rule.y((max(known) + min(known)) / 2)
    return rule.y({"light": 82.0, "medium": 52.0, "dark": 20.0}[group.value])


def _swatches(layout: SheetLayout, report: Report) -> Mapping[str, Swatch]:
    wanted = [
        Wanted(tile.entry.code, tile.entry.photo, tile.entry.crop, tile.entry.lightness)
        for blocks in layout.pages
        for block in blocks
        for tile in block.tiles
        if tile.entry.photo is not None
    ]
    return cut_swatches(wanted, pixels_of(layout.grid), report)


def _start_page(frame: _Frame, number: int, pages: int) -> None:
    """Start a page with its heading and, where there are several, its number."""
    canvas, sheet = frame.canvas, frame.sheet
    canvas.add_page(grey(GROUND_LIGHTNESS))
    right = canvas.paper.width - MARGIN
    subtitle = sheet.subtitle if pages == 1 else f"{sheet.subtitle} · page {number + 1} of {pages}"
    subtitle = canvas.shortened(subtitle, (right - MARGIN) / 2)
    width = canvas.width(subtitle)
    canvas.text(right - width, TITLE_BASELINE, subtitle)
    room = right - MARGIN - width - 24
    canvas.text(MARGIN, TITLE_BASELINE, canvas.shortened(sheet.title, room, TITLE), TITLE)


def _draw_page(
    frame: _Frame, grid: Grid, blocks: Sequence[Block], swatches: Mapping[str, Swatch], first: bool
) -> None:
    canvas, room = frame.canvas, frame.room(first)
    beads = [
        Bead(tile.entry.lightness or 0.0, tile.entry.mark)
        for block in blocks
        for tile in block.tiles
    ]
    draw_value_rule(canvas, frame.rule(first), beads, _stretches(frame), _brackets(frame))
    for block in blocks:
        _draw_heading(canvas, block, room)
        for tile in block.tiles:
            draw_tile(canvas, tile, grid, swatches.get(tile.entry.code))
    below = room.bottom + 20
    if first and frame.sentences:
        below = _draw_lines(canvas, frame.sentences[:MOST_SENTENCE_LINES], below + 14) - 2
    draw_legend(
        canvas, legend_of(canvas, frame.sheet), MARGIN, below, canvas.paper.width - 2 * MARGIN
    )


def _draw_lines(canvas: Canvas, lines: Sequence[str], baseline: float) -> float:
    """Write lines of text; return where the next baseline would be."""
    for line in lines:
        canvas.text(MARGIN, baseline, line)
        baseline += LEADING
    return baseline


def _draw_heading(canvas: Canvas, block: Block, room: Room) -> None:
    """Write a group's name and the stretch it covers, with a line below."""
    known, baseline = block.group.lightnesses, block.top + 14
    name = block.group.value.capitalize() + (", continued" if block.continued else "")
    canvas.text(room.left, baseline, name, TEXT, bold=True)
    canvas.line((room.left, baseline + 7), (room.left + room.width, baseline + 7), 1.0, BLACK)
    if not known:
        canvas.text(room.left, baseline + 26, "no pieces")
        return
    words = f"{min(known):.0f} to {max(known):.0f}"
    if len(known) == 1:
        words = f"{known[0]:.0f}"
    canvas.text(room.left + room.width - canvas.width(words), baseline, words)


def _stretches(frame: _Frame) -> list[Stretch]:
    return [
        Stretch(min(group.lightnesses), max(group.lightnesses))
        for group in frame.groups
        if group.entries
    ]


def _brackets(frame: _Frame) -> list[Bracket]:
    by_value = {group.value: group.lightnesses for group in frame.groups}
    return [
        Bracket(
            upper=min(by_value[gap.between[0]]),
            lower=max(by_value[gap.between[1]]),
            number=gap_number(gap.gap),
            uncertainty=f"±{gap.uncertainty or 0.0:.0f}",
            words=(str(gap.verdict), " · ".join(gap.pair or ())),
            weak=gap.verdict is Verdict.WEAK,
        )
        for gap in frame.sheet.gaps
        if gap.gap is not None and by_value[gap.between[0]] and by_value[gap.between[1]]
    ]


def gap_number(gap: float) -> str:
    """Return a gap as it is written: to a tenth, never rounded up to a 5 it does not reach."""
    if gap < 5.0 <= round(gap, 1):
        return "4.9"
    return f"{round(gap, 1) + 0.0:.1f}".replace("-", "−")
