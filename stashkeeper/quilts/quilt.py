"""A quilt: a layout with a unit size and borders, its sizes, and the list of its parts."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from stashkeeper.cloth.cut import Cut
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.backing import USABLE_WIDTH
from stashkeeper.quilts.binding import Join, strips_for_length
from stashkeeper.quilts.borders import Border, border_cuts, with_borders
from stashkeeper.quilts.layout import Layout, Placed, Role, Unit, units_used
from stashkeeper.quilts.lines import Lines, lines
from stashkeeper.quilts.recipes import Methods, Need, Recipe, recipe, standing
from stashkeeper.quilts.setting import on_point
from stashkeeper.quilts.sewing import Sewing
from stashkeeper.quilts.shapes import UnitKind

_USES = {
    UnitKind.SQUARE: "squares",
    UnitKind.RECTANGLE: "rectangles",
    UnitKind.HALF_SQUARE: "half-square triangles",
    UnitKind.QUARTER_SQUARE: "quarter-square triangles",
    UnitKind.FLYING_GEESE: "flying geese",
    UnitKind.FOUR_PATCH: "four-patches",
    UnitKind.BARS: "bars",
    UnitKind.SIDE_TRIANGLE: "side triangles",
    UnitKind.CORNER_TRIANGLE: "corner triangles",
}


@dataclass(frozen=True, slots=True)
class Quilt:
    """Everything that decides the size of a quilt and its parts.

    Attributes:
        layout: the grid of units.
        unit: the finished side of one cell of the grid.
        sewing: seam, ruler mark, exact or trimmed.
        sash: the finished width of sashing; as wide as a unit where None.
        borders: from the innermost out.
        methods: how many units are made at a time.
        strip_length: the longest strip the fabric gives; longer borders are joined.
    """

    layout: Layout
    unit: Length
    sewing: Sewing = field(default_factory=Sewing)
    sash: Length | None = None
    borders: tuple[Border, ...] = ()
    methods: Methods = field(default_factory=Methods)
    strip_length: Length = USABLE_WIDTH


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a parts list: the role, what for, and the cut that makes it."""

    role: Role
    use: str
    cut: Cut


def quilt_lines(quilt: Quilt) -> Lines:
    """Return where the grid lines lie, finished.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    return lines(quilt.layout, quilt.unit, quilt.sash)


def centre_size(quilt: Quilt) -> Size:
    """Return the finished size without borders, rounded up to a tick on point.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    size, setting = quilt_lines(quilt).size, quilt.layout.setting
    if setting is None:
        return size
    return on_point(setting.across, setting.down, quilt.unit * setting.block).finished


def finished_size(quilt: Quilt) -> Size:
    """Return the finished size, borders included.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    return with_borders(centre_size(quilt), quilt.borders)


def unfinished_size(quilt: Quilt) -> Size:
    """Return the size of the sewn top, raw edge to raw edge: finished + 2s both ways.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    finished = finished_size(quilt)
    sewing = quilt.sewing
    return Size(sewing.unfinished(finished.width), sewing.unfinished(finished.length))


def recipes(quilt: Quilt) -> tuple[Recipe, ...]:
    """Return the units to sew, those sewn alike together, in the order they first appear.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    grid = quilt_lines(quilt)
    units = units_used(quilt.layout)
    alike = Counter(_sewn(placed, quilt.layout, grid) for placed in quilt.layout.placed)
    together: Counter[tuple[Unit, Size, str]] = Counter()
    for (number, width, length, use), count in alike.items():
        finished = Size(Length(width), Length(length))
        together[(*standing(units[number], finished), use)] += count
    return tuple(
        recipe(unit, finished, count, use, quilt.sewing, quilt.methods)
        for (unit, finished, use), count in together.items()
    )


def parts(quilt: Quilt) -> tuple[Part, ...]:
    """Return everything to cut for the top, role by role; sizes at ruler marks, seams included.

    Cuts of one role, size and use are one line, the longer side along the selvedge; none is marked
    as directional.

    Raises:
        BadSizeError: a unit, a sash or a quilt of a size that none has.
    """
    needs = [*(need for made in recipes(quilt) for need in made.needs), *_border_needs(quilt)]
    counts: Counter[tuple[Role, str, Size]] = Counter()
    for need in needs:
        counts[need.role, need.use, _standing_size(need.size)] += need.count
    order = {role: at for at, role in enumerate(dict.fromkeys(need.role for need in needs))}
    names: Counter[str] = Counter()
    made = []
    for (role, use, size), count in sorted(counts.items(), key=lambda item: order[item[0][0]]):
        name = f"{role}: {use}"
        names[name] += 1
        name += f" {names[name]}" if names[name] > 1 else ""
        made.append(Part(role, use, Cut(name, size, count, role=str(role))))
    return tuple(made)


def _standing_size(size: Size) -> Size:
    return size if size.width <= size.length else size.turned()


def _sewn(placed: Placed, layout: Layout, grid: Lines) -> tuple[int, int, int, str]:
    """Return a unit's identity, its finished size in ticks, and its name in a parts list."""
    unit = placed.unit
    right, below = placed.column + unit.columns, placed.row + unit.rows
    size = (
        grid.upright[right] - grid.upright[placed.column],
        grid.level[below] - grid.level[placed.row],
    )
    narrow = placed.column in layout.sash_columns, placed.row in layout.sash_rows
    if all(narrow) and unit.columns == unit.rows == 1:
        return id(unit), *size, "cornerstones"
    return id(unit), *size, "sashing" if any(narrow) else _USES[unit.kind]


def _border_needs(quilt: Quilt) -> Iterator[Need]:
    inside = centre_size(quilt)
    for number, border in enumerate(quilt.borders, 1):
        cuts = border_cuts(inside, border, quilt.sewing)
        role, longest = Role(border.role), quilt.strip_length
        use = "border" if len(quilt.borders) == 1 else f"border {number}"
        yield Need(role, f"{use}, sides", *_strips(cuts.sides, longest, quilt.sewing))
        ends = cuts.ends.turned()
        yield Need(role, f"{use}, top and bottom", *_strips(ends, longest, quilt.sewing))
        inside = cuts.finished


def _strips(strip: Size, longest: Length, sewing: Sewing) -> tuple[Size, int]:
    """Return two border strips, or the strips to join for both where the fabric is too short."""
    if strip.length <= longest:
        return strip, 2
    both = strip.length * 2
    count = strips_for_length(both, longest, strip.width, Join.STRAIGHT, sewing.seam)
    return Size(strip.width, longest), count
