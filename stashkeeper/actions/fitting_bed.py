"""Size to fit from a bed: how many units, how large, and which borders."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from stashkeeper.actions.command_line import command_line
from stashkeeper.actions.fitting_blocks import fit_blocks
from stashkeeper.actions.making import Making, quilt_of
from stashkeeper.actions.making_fields import fields_of
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.quilt_subject import Subject, subject_of
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError, BadSizeError, NotFoundError
from stashkeeper.lengths.format import RULER_MARK, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length, parse_size
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.beds import USUAL_DROP, bed, cover
from stashkeeper.quilts.borders import Border
from stashkeeper.quilts.fit import (
    BedFit,
    fit_with_borders,
    fit_with_units,
)
from stashkeeper.quilts.layout import Growth
from stashkeeper.quilts.layout_file import read_layout

WHOLE: Final = "whole blocks"
FRAMED: Final = "borders to measure"
MEASURED: Final = "units to measure"
GIVE_WAY: Final = (
    "The borders it has now give way to what is told here: say how wide a border to keep."
)
GRID: Final = ("unit", "columns", "rows")
"""The fields of a project that say how large it is, without its borders."""


@dataclass(frozen=True, slots=True)
class BedWay:
    """One way to cover a bed.

    Attributes:
        words: what is fitted, the blocks, the borders or the units.
        fit: the grid, the unit, the borders and the size.
        fields: what to type into the fields of a project that is made this way, by their names:
            unit, columns, rows, borders; nothing where a project cannot have such borders.
    """

    words: str
    fit: BedFit
    fields: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BedFitted:
    """A quilt fitted to a bed.

    Attributes:
        title: what is fitted.
        name: of the project or the layout, as it was typed.
        project: whether it is a project.
        wished: the size it must reach.
        ways: how, the plainest first.
        remarks: what could not be done, and how to go on.
    """

    title: str
    name: str
    project: bool
    wished: Size
    ways: tuple[BedWay, ...]
    remarks: tuple[str, ...]
    _measure: Measure = field(repr=False)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The size wished, a line for each way, and what to type to take the first."""
        shown = format_size(self.wished, self._measure, Rounding.UP)
        return (
            f"{self.title}, to cover {shown}", *self._lines(), *self.remarks, *self._commands()
        )  # fmt: skip

    def _lines(self) -> Iterator[str]:
        for way in self.ways:
            made, measure = way.fit, self._measure
            size = format_size(made.finished, measure, Rounding.UP)
            unit = format_length(made.unit, measure, Rounding.UP)
            line = f"  {way.words}: {made.columns} × {made.rows} units of {unit}"
            yield f"{line}{_borders(made, measure)}; finished {size}"

    def _commands(self) -> Iterator[str]:
        """Yield what to type to take the first way that a project can have."""
        for fields in [way.fields for way in self.ways if way.fields][:1]:
            deed = ("change", self.name) if self.project else ("new", "NAME", "--layout", self.name)
            sizes = [part for name in GRID for part in (f"--{name}", fields[name])]
            borders = fields["borders"].splitlines() or (["none"] if self.project else [])
            edges = [part for one in borders for part in ("--border", one)]
            line = command_line(["stashkeeper", "project", *deed, *sizes, *edges])
            yield f"To take the {'first' if self.ways[0].fields else 'next'}: {line}"


def fit_bed(
    stash: Stash,
    words: PreviewWords,
    wanted: str,
    drop: str | None = None,
    border: str | None = None,
    foot: bool = True,
) -> BedFitted:
    """Fit a layout or a project to a bed, or to a size.

    Args:
        stash: the open stash.
        words: the name of a project or a layout, and the unit that is wished.
        wanted: a bed by its name, or the finished size that is wished.
        drop: how far it hangs down on the sides of a bed named; the usual where None.
        border: finished width of a border all around; none where None.
        foot: whether it hangs down at the foot as well.

    Raises:
        StashkeeperError: no such project, layout or bed, or a size that no quilt has.
    """
    with stash.reading() as session:
        subject = subject_of(stash, session, words)
    wished = _wished(stash, wanted, drop, foot)
    edge = parse_length(border, stash.measure, Rounding.UP) if border else None
    ways, remarks = _ways(subject, wished, edge, RULER_MARK[stash.measure])
    kept = [
        replace(way, fields=_fields(subject, way.fit, stash.measure))
        for place, way in enumerate(ways)
        if way.fit not in [one.fit for one in ways[:place]] and _can_be(subject, way.fit)
    ]
    if subject.project and subject.making.borders and edge is None:
        remarks.append(GIVE_WAY)
    if not kept:
        raise BadRequestError(
            f"{subject.title} cannot be made to cover that.", "Give another unit or another size."
        )
    return BedFitted(
        subject.title, words.name.strip(), subject.project, wished, tuple(kept), tuple(remarks),
        stash.measure,
    )  # fmt: skip


def _ways(
    subject: Subject, wished: Size, edge: Length | None, mark: Length
) -> tuple[list[BedWay], list[str]]:
    """Return the ways to fit a quilt, the plainest first, and what did not do."""
    if subject.making.sash is not None or subject.making.on_point is not None:
        return _set_ways(subject, wished, edge or Length(0), mark)
    return _plain_ways(subject, wished, edge, mark)


def _plain_ways(
    subject: Subject, wished: Size, edge: Length | None, mark: Length
) -> tuple[list[BedWay], list[str]]:
    """Return the ways to fit a plain grid, and what did not do."""
    unit, block, remarks = subject.quilt.unit, _block(subject), list[str]()
    ways = [BedWay(WHOLE, fit_with_units(wished, unit, block, edge))]
    try:
        ways.append(BedWay(FRAMED, fit_with_borders(wished, unit, mark, block)))
    except BadSizeError as error:
        remarks.append(error.problem)
    if subject.making.columns and subject.making.rows:
        ways.append(BedWay(MEASURED, _measured(subject, wished, edge, mark)))
    return ways, remarks


def _set_ways(
    subject: Subject, wished: Size, edge: Length, mark: Length
) -> tuple[list[BedWay], list[str]]:
    """Return the ways to fit blocks with sashing, or on point."""
    fits = fit_blocks(subject, wished, edge, mark)
    ways = [BedWay(WHOLE, fits.whole)]
    ways += [BedWay(FRAMED, fits.framed)] if fits.framed else []
    ways += [BedWay(MEASURED, fits.measured)] if fits.measured else []
    return ways, [] if fits.framed else ["Not one block fits inside that size."]


def size_or_square(text: str, measure: Measure) -> Size:
    """Return a finished size as typed; a single length is a square.

    Raises:
        BadSizeError: it is neither.
    """
    try:
        side = parse_length(text, measure, Rounding.UP)
    except BadSizeError:
        return parse_size(text, measure, Rounding.UP).size
    return Size(side, side)


def begins_as_a_size(text: str) -> bool:
    """Tell whether a text that is no size was meant for one, and not for a name."""
    return text.strip()[:1].isdecimal() and not text.strip().isdecimal()


def _wished(stash: Stash, wanted: str, drop: str | None, foot: bool) -> Size:
    try:
        mattress = bed(wanted)
    except NotFoundError as unknown:
        try:
            size = size_or_square(wanted, stash.measure)
        except BadSizeError as unreadable:
            raise (unreadable if begins_as_a_size(wanted) else unknown) from None
        if drop is None:
            return size
        mattress = size
    usual = stash.measure is Measure.INCHES
    down = USUAL_DROP if usual else Length.from_millimetres(300)
    if drop is not None:
        none = drop.strip().casefold() in {"0", "none"}
        down = Length(0) if none else parse_length(drop, stash.measure, Rounding.UP)
    return cover(mattress, down, foot)


def _borders(made: BedFit, measure: Measure) -> str:
    """Return the borders of a fit in words, with a comma before them; empty for none."""
    side, end = (
        format_length(width, measure, Rounding.UP) if width else "none"
        for width in (made.side_border, made.end_border)
    )
    if side == end == "none":
        return ""
    if side == end:
        return f", a border of {side}"
    return f", borders: {side} left and right, {end} top and bottom"


def _block(subject: Subject) -> tuple[int, int]:
    """Return how many columns and rows must stay together, as the quilt lies."""
    layout = read_layout(subject.text)
    block = {
        Growth.REPEAT: (layout.columns, layout.rows),
        Growth.RUN_ON: (1, 1),
        Growth.FROM_THE_MIDDLE: (2, 2),
        Growth.ENLARGE: (layout.columns, layout.rows),
    }[layout.growth]
    return (block[1], block[0]) if subject.making.turned % 2 else block


def _measured(subject: Subject, wished: Size, edge: Length | None, mark: Length) -> BedFit:
    """Return the same units, each so large that all of them cover the size wished."""
    columns, rows = subject.making.columns or 1, subject.making.rows or 1
    border = edge or Length(0)
    across, along = (wished.width - border * 2).ticks, (wished.length - border * 2).ticks
    unit = Length(max(-(-across // columns), -(-along // rows), 1)).rounded_to(mark, Rounding.UP)
    size = Size(unit * columns + border * 2, unit * rows + border * 2)
    return BedFit(columns, rows, unit, border, border, size)


def _can_be(subject: Subject, made: BedFit) -> bool:
    """Tell whether the layout grows to such a grid."""
    try:
        quilt_of(subject.text, _made(subject, made), subject.quilt.strip_length)
    except (BadRequestError, BadSizeError):
        return False
    return True


def _made(subject: Subject, made: BedFit) -> Making:
    """Return what becomes of the layout, without borders."""
    making = replace(subject.making, unit=made.unit, columns=made.columns, rows=made.rows)
    return replace(making, borders=())


def _fields(subject: Subject, made: BedFit, measure: Measure) -> dict[str, str]:
    """Return the fields of a project made this way; its border is of the outermost role."""
    before, making = subject.making.borders, _made(subject, made)
    if made.side_border or made.end_border:
        try:
            role = before[-1].role if before else "border"
            edge = Border(role, made.side_border, made.end_border)
        except BadSizeError:
            return {}  # a border at two sides only
        making = replace(making, borders=(edge,))
    fields = fields_of(making, {}, measure)
    return {name: fields[name] for name in (*GRID, "borders")}
