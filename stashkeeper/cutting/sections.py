"""The best ways to get so many equal cuts out of one piece: what `find` promised, as trees."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from stashkeeper.cutting.counting import (
    Whole,
    breakpoints,
    floor_index,
    raster,
    strips_in_sections,
)
from stashkeeper.cutting.plan import Direction
from stashkeeper.cutting.tree import Leaf, Tree, Worth, join
from stashkeeper.cutting.tree import turned as other_way

WORTH_OF_A_LINE = 2.0
"""A cut more must leave so much more worth keeping (ours)."""

ALONG, ACROSS = Direction.ALONG, Direction.ACROSS


@dataclass(frozen=True, slots=True)
class EqualCuts:
    """Cuts of one kind: the number of the cut, its size in ticks, and whether it must not turn."""

    cut: int
    width: int
    length: int
    fixed: bool = False

    def capacity(self, width: int, length: int) -> int:
        """Return how many a rectangle of so many ticks holds, at most."""
        plain = (width // self.width) * (length // self.length)
        if self.fixed or self.width == self.length or min(width, length) <= 0:
            return max(plain, 0)
        return max(plain, *(way.held for way in self._ways(width, length)))

    def best_tree(self, width: int, length: int, count: int) -> Tree | None:
        """Return `count` of them within a rectangle, leaving the most worth keeping; or None."""
        most = self.capacity(width, length)
        if most < count or count < 1:
            return None
        trees = list(self._corners(width, length, count))
        if not self.fixed and self.width != self.length:
            for room in self._rooms(width, length, count):
                ways = [way for way in self._ways(*room) if way.held >= count]
                trees += [tree for way in ways if (tree := way.tree(count))]
        worth = Worth()

        def standing(tree: Tree) -> float:
            left, lines = worth.of(tree, width, length)
            return left + WORTH_OF_A_LINE * lines

        return max(trees, key=standing)

    def leaf(self, turned: bool) -> Leaf:
        """Return one of them as it lies."""
        if turned:
            return Leaf(self.cut, self.length, self.width, turned=True)
        return Leaf(self.cut, self.width, self.length)

    def _ways(self, width: int, length: int) -> "tuple[_Sections, _Sections]":
        return _Sections.best(self, ALONG, width, length), _Sections.best(
            self, ACROSS, length, width
        )

    def _rooms(self, width: int, length: int, count: int) -> Iterator[tuple[int, int]]:
        """Yield the rectangle, and the narrowest and the shortest part of it that suffice."""
        yield width, length
        grid = math.gcd(self.width, self.length)
        narrow = _least(width // grid, lambda part: self.capacity(part * grid, length) >= count)
        yield narrow * grid, length
        short = _least(length // grid, lambda part: self.capacity(width, part * grid) >= count)
        yield width, short * grid

    def _corners(self, width: int, length: int, count: int) -> Iterator[Tree]:
        """Yield plain rows and columns: whole lines first, the last few along the other edge."""
        ways = (False,) if self.fixed or self.width == self.length else (False, True)
        for direction in (ALONG, ACROSS):
            room = (width, length) if direction is ALONG else (length, width)
            for turned in ways:
                for turned_rest in ways:
                    tree = self._corner(direction, room, count, turned, turned_rest)
                    if tree is not None:
                        yield tree

    def _corner(
        self, direction: Direction, room: tuple[int, int], count: int, turned: bool, other: bool
    ) -> Tree | None:
        along, across = _extents(self.leaf(turned), direction)
        each = room[1] // across
        if not each:
            return None
        lines, rest = divmod(count, each)
        lines = min(lines, room[0] // along)
        rest = count - lines * each
        parts = [self.line(other_way(direction), turned, each)] * lines
        if rest:
            beside, beyond = _extents(self.leaf(other), direction)
            row = (room[0] - lines * along) // beside
            if not row or -(-rest // row) * beyond > room[1]:
                return None
            full = [self.line(direction, other, row)] * (rest // row)
            last = [self.line(direction, other, rest % row)] if rest % row else []
            parts.append(join(other_way(direction), [line for line in full + last if line]))
        return join(direction, [part for part in parts if part])

    def line(self, direction: Direction, turned: bool, count: int) -> Tree | None:
        """Return so many of them in a row."""
        return join(direction, [self.leaf(turned)] * count)


def _least(most: int, enough: Callable[[int], bool]) -> int:
    """Return the least number up to `most` that is enough; `most` is taken to be."""
    low, high = 0, most
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def _extents(leaf: Leaf, direction: Direction) -> tuple[int, int]:
    return (leaf.width, leaf.length) if direction is ALONG else (leaf.length, leaf.width)


@dataclass(frozen=True, slots=True)
class _Sections:
    """Parallel sections of a rectangle, each cut into strips of the two heights.

    Attributes:
        kind: the cuts.
        direction: which way the cuts between the sections run.
        strips: a row a section: how wide it is, and its strips, as (height, cuts in each) pairs.
        held: how many cuts they hold.
    """

    kind: EqualCuts
    direction: Direction
    strips: tuple[tuple[tuple[bool, int, int], ...], ...]
    held: int

    @classmethod
    def best(cls, kind: EqualCuts, direction: Direction, total: int, height: int) -> "_Sections":
        """Return three sections of a total, in ticks, that hold the most."""
        grid = math.gcd(kind.width, kind.length)
        p, q = kind.width // grid, kind.length // grid
        sections = _best_three(p, q, total // grid, height // grid)
        strips = tuple(_strips(p, q, section, height // grid) for section in sections)
        held = sum(count * each for section in strips for _, count, each in section)
        return cls(kind, direction, strips, held)

    def tree(self, count: int) -> Tree | None:
        """Return the first `count` cuts as a tree."""
        parts = []
        for section in self.strips:
            rows = []
            for low, strips, each in section:
                turned = low == (self.direction is ALONG)
                for _ in range(strips):
                    rows.append(self.kind.line(self.direction, turned, min(each, count)))
                    count -= min(each, count)
            parts.append(join(other_way(self.direction), [row for row in rows if row]))
        return join(self.direction, [part for part in parts if part])


def _strips(p: int, q: int, section: int, height: int) -> tuple[tuple[bool, int, int], ...]:
    """Return the best strips of one section: is it of height p, how many, how many cuts in each."""
    low, high = section // q, section // p
    _, strips = max(
        (strips * low + (height - strips * p) // q * high, strips)
        for strips in range(height // p + 1)
    )
    return (True, strips, low), (False, (height - strips * p) // q, high)


def _best_three(p: int, q: int, total: int, height: int) -> list[int]:
    """Return the sections of a total that hold the most p × q, widest first, in grid units.

    Whole common multiples beyond three are sections of their own: they lose nothing.
    """
    period = p * q // math.gcd(p, q)
    whole = max(total // period - 2, 0)
    points = raster(p, q, total - whole * period)
    stops = breakpoints(p, q, int(points[-1]))
    held = strips_in_sections(p, q, stops, np.array([height]))[:, 0]
    alone = held[floor_index(stops, points)]
    two, second = _one_more(alone, held, stops, points)
    _, third = _one_more(two, held, stops, points)
    left, sections = int(points[-1]), [period] * whole
    for picks in (third, second):
        pick = int(picks[floor_index(points, np.array([left]))[0]])
        sections.append(pick)
        left -= pick
    sections.append(int(stops[floor_index(stops, np.array([left]))[0]]))
    return sorted((section for section in sections if section), reverse=True)


def _one_more(others: Whole, held: Whole, stops: Whole, points: Whole) -> tuple[Whole, Whole]:
    """Return the counts with one section more, and how wide that section is at each point."""
    best, picks = others.copy(), np.zeros_like(points)
    for stop, single in zip(stops.tolist()[1:], held.tolist()[1:], strict=True):
        first = int(np.searchsorted(points, stop))
        sums = others[floor_index(points, points[first:] - stop)] + single
        better = sums > best[first:]
        picks[first:][better] = stop
        best[first:][better] = sums[better]
    return best, picks
