"""Strips and cross-cuts by a simple rule of our own: good enough when the solver has no answer.

A strip is as high as the highest cut in it; beside that one lie the cuts that fill it best, the
highest first. The strip that wastes the smallest share of its area is cut next.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stashkeeper.cutting.plan import Direction
from stashkeeper.cutting.tree import Leaf, Tree, join, turned


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of cut: its number, size in ticks, how many are wanted, whether it may turn."""

    cut: int
    width: int
    length: int
    count: int
    fixed: bool = False

    @property
    def area(self) -> int:
        """The area of one, in square ticks."""
        return self.width * self.length

    def leaves(self) -> tuple[Leaf, ...]:
        """Return one of them in every way it may lie."""
        upright = Leaf(self.cut, self.width, self.length)
        if self.fixed or self.width == self.length:
            return (upright,)
        return upright, Leaf(self.cut, self.length, self.width, turned=True)

    def fits(self, width: int, length: int) -> bool:
        """Tell whether one fits a rectangle of so many ticks."""
        return any(leaf.width <= width and leaf.length <= length for leaf in self.leaves())


@dataclass(frozen=True, slots=True)
class _Strip:
    """One strip: its height, the cuts in it, and the share of its area they fill."""

    height: int
    leaves: tuple[Leaf, ...]
    fill: float


def fill_with_strips(width: int, length: int, kinds: Sequence[Kind]) -> Tree | None:
    """Return as many of these cuts as our rule gets out of a rectangle; None where none fits."""
    trees = [
        tree
        for direction in (Direction.ALONG, Direction.ACROSS)
        if (tree := _filled(direction, width, length, kinds)) is not None
    ]
    return max(trees, key=_area, default=None)


def _area(tree: Tree) -> int:
    if isinstance(tree, Leaf):
        return tree.width * tree.length
    return sum(_area(part) for part in tree.parts)


def _filled(direction: Direction, width: int, length: int, kinds: Sequence[Kind]) -> Tree | None:
    """Cut strips in this direction for as long as one fits."""
    room, reach = (width, length) if direction is Direction.ALONG else (length, width)
    left = {kind.cut: kind.count for kind in kinds}
    ways = [leaf for kind in kinds for leaf in kind.leaves()]
    lying = [(*_lying(direction, leaf), leaf) for leaf in ways]
    lying.sort(key=lambda way: (-way[0], -way[1]))
    strips = []
    while (strip := _best_strip(lying, left, room, reach)) is not None:
        needed = [sum(leaf.cut == cut for leaf in strip.leaves) for cut in left]
        times = min(
            [room // strip.height]
            + [left[cut] // need for cut, need in zip(left, needed, strict=True) if need]
        )
        for cut, need in zip(left, needed, strict=True):
            left[cut] -= need * times
        room -= strip.height * times
        strips += [strip] * times
    return join(
        direction,
        [part for strip in strips if (part := join(turned(direction), strip.leaves))],
    )


def _lying(direction: Direction, leaf: Leaf) -> tuple[int, int]:
    """Return how high a strip must be for this cut, and how much of the strip it takes."""
    if direction is Direction.ALONG:
        return leaf.width, leaf.length
    return leaf.length, leaf.width


type _Way = tuple[int, int, Leaf]


def _best_strip(ways: list[_Way], left: dict[int, int], room: int, reach: int) -> _Strip | None:
    """Return the strip that wastes least of itself, a higher one before a lower."""
    return max(
        _strips(ways, left, room, reach),
        key=lambda strip: (strip.fill, strip.height),
        default=None,
    )


def _strips(ways: list[_Way], left: dict[int, int], room: int, reach: int) -> Iterator[_Strip]:
    """Yield one strip for every cut that can be its highest."""
    for number, (height, taken, leaf) in enumerate(ways):
        if not left[leaf.cut] or height > room or taken > reach:
            continue
        laid, used, area = [], 0, 0
        still = dict(left)
        for other_height, other_taken, other in ways[number:]:
            times = min(still[other.cut], (reach - used) // other_taken)
            if times > 0:
                laid += [other] * times
                still[other.cut] -= times
                used += other_taken * times
                area += other_height * other_taken * times
        yield _Strip(height, tuple(laid), area / (height * reach))
