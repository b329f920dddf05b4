"""Every seam where two different roles meet: its length and where it is.

Seams inside a unit follow from its shape. Between units they are found line by line; equal pairs
of units meet in equal seams, so each pair is looked at once, however large the layout.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from stashkeeper.lengths.length import TICKS_PER_INCH
from stashkeeper.quilts.layout import Layout, Placed, Role, Unit, at, owners, units_used
from stashkeeper.quilts.lines import Lines
from stashkeeper.quilts.shape_edges import BOTTOM, LEFT, RIGHT, TOP, shape_edges
from stashkeeper.quilts.shapes import GRAIN, Point

_NOTHING = -1

type _Piece = tuple[Role, Role, int, int]
type _Key = tuple[int, int, int, int]


class Seam(NamedTuple):
    """A straight seam with one role on each side, its ends in twelfths of a cell.

    `one` lies above or left of `other`, except along a diagonal.
    """

    one: Role
    other: Role
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Meeting:
    """All the seams between two roles.

    Attributes:
        one, other: the roles, the lesser name first.
        length: the finished length of all their seams together, in inches.
        count: how many seams.
        seams: the longest of them, to show where.
    """

    one: Role
    other: Role
    length: float
    count: int
    seams: tuple[Seam, ...]


def seams(layout: Layout, around: Role | None = None) -> Iterator[Seam]:
    """Yield every seam between different roles of a layout.

    Args:
        layout: the layout.
        around: the role of what surrounds it (the first border), if its seams count too.
    """
    for placed in layout.placed:
        yield from _inside(placed, around)
    grid = owners(layout)
    turned = [list(column) for column in zip(*grid, strict=True)]
    for line, start, end, piece in _Walk(layout, around, upright=False).seams(grid):
        yield Seam(*piece, (start, line), (end, line))
    for line, start, end, piece in _Walk(layout, around, upright=True).seams(turned):
        yield Seam(*piece, (line, start), (line, end))


def seam_length(seam: Seam, lines: Lines) -> float:
    """Return the finished length of a seam in inches."""
    return math.dist(lines.place(seam.start), lines.place(seam.end)) / TICKS_PER_INCH


def meetings(
    layout: Layout, lines: Lines, around: Role | None = None, shown: int = 12
) -> tuple[Meeting, ...]:
    """Return which roles meet along what length, most first, with up to `shown` of their seams."""
    found: dict[tuple[int, int], list[Seam]] = {}
    for seam in seams(layout, around):  # by identity: a large grid has a million seams
        found.setdefault((id(seam.one), id(seam.other)), []).append(seam)
    joined: dict[tuple[Role, Role], list[Seam]] = {}
    for some in found.values():
        one, other = some[0].one, some[0].other
        joined.setdefault((one, other) if one < other else (other, one), []).extend(some)
    made = [_meeting(pair, some, lines, shown) for pair, some in joined.items()]
    return tuple(sorted(made, key=lambda meeting: (-meeting.length, meeting.one, meeting.other)))


def _meeting(pair: tuple[Role, Role], some: list[Seam], lines: Lines, shown: int) -> Meeting:
    lengths = [seam_length(seam, lines) for seam in some]
    longest = sorted(range(len(some)), key=lambda seam: -lengths[seam])[:shown]
    return Meeting(*pair, math.fsum(lengths), len(some), tuple(some[seam] for seam in longest))


def _inside(placed: Placed, around: Role | None) -> Iterator[Seam]:
    """Yield the seams inside a unit, and those of its slanting outer edges."""
    edges, roles = shape_edges(placed.unit.shape), placed.unit.roles
    for one, other, (start, end) in edges.inner:
        if roles[one] != roles[other]:
            yield Seam(roles[one], roles[other], at(placed, start), at(placed, end))
    for patch, (start, end) in edges.outer:
        if around is not None and roles[patch] != around:
            yield Seam(roles[patch], around, at(placed, start), at(placed, end))


class _Walk:
    """A walk along all the lines of a grid in one direction."""

    def __init__(self, layout: Layout, around: Role | None, upright: bool) -> None:
        self._units = list(dict.fromkeys(units_used(layout).values()))
        numbers = {unit: number for number, unit in enumerate(self._units)}
        kinds = {known: numbers[unit] for known, unit in units_used(layout).items()}
        self._kinds = [kinds[id(here.unit)] for here in layout.placed]
        self._starts = [here.row if upright else here.column for here in layout.placed]
        self._sides = (RIGHT, LEFT) if upright else (BOTTOM, TOP)
        self._upright = upright
        self._around = around
        self._known: dict[_Key, tuple[_Piece, ...]] = {}

    def seams(
        self, grid: Sequence[Sequence[int]]
    ) -> Iterator[tuple[int, int, int, tuple[Role, Role]]]:
        """Yield each seam as its line, its start and end along it, and its two roles."""
        nothing = [_NOTHING] * len(grid[0])
        for line in range(len(grid) + 1):
            near = grid[line - 1] if line else nothing
            far = grid[line] if line < len(grid) else nothing
            roles, start, end = None, 0, 0
            for one, other, low, high in self._pieces(near, far):
                if roles == (one, other) and end == low:
                    end = high
                    continue
                if roles:
                    yield line * GRAIN, start, end, roles
                roles, start, end = (one, other), low, high
            if roles:
                yield line * GRAIN, start, end, roles

    def _pieces(self, near: Sequence[int], far: Sequence[int]) -> Iterator[_Piece]:
        for step, (one, other) in enumerate(zip(near, far, strict=True)):
            if one != other:
                for role, its, low, high in self._meet(step, one, other):
                    yield role, its, low + step * GRAIN, high + step * GRAIN

    def _meet(self, step: int, near: int, far: int) -> tuple[_Piece, ...]:
        key = (*self._cell(step, near), *self._cell(step, far))
        if key not in self._known:
            self._known[key] = tuple(self._overlaps(key))
        return self._known[key]

    def _cell(self, step: int, number: int) -> tuple[int, int]:
        """Return the kind of unit that a cell belongs to, and which of its cells it is."""
        if number == _NOTHING:
            return _NOTHING, 0
        return self._kinds[number], step - self._starts[number]

    def _overlaps(self, key: _Key) -> Iterator[_Piece]:
        near = tuple(self._roles_along(key[0], key[1], self._sides[0]))
        far = tuple(self._roles_along(key[2], key[3], self._sides[1]))
        for one, low, high in near:
            for other, begin, end in far:
                start, stop = max(low, begin), min(high, end)
                if start < stop and one != other:
                    yield one, other, start, stop

    def _roles_along(self, kind: int, offset: int, side: int) -> Iterator[tuple[Role, int, int]]:
        """Yield the roles along one side of one cell of a unit."""
        if kind == _NOTHING:
            return iter(()) if self._around is None else iter([(self._around, 0, GRAIN)])
        unit = self._units[kind]
        return _profile(unit, offset, side, unit.rows if self._upright else unit.columns)


def _profile(unit: Unit, offset: int, side: int, cells: int) -> Iterator[tuple[Role, int, int]]:
    """Yield the roles along one side of the cell `offset` of a unit with so many cells there."""
    begin = offset * GRAIN
    for patch, low, high in shape_edges(unit.shape).sides[side]:
        start, stop = max(0, low * cells - begin), min(GRAIN, high * cells - begin)
        if start < stop:
            yield unit.roles[patch], start, stop
