"""A way of cutting as a tree.

The tree only says what lies beside what: sizes follow from the leaves. So the parts of a split can
be put in the order that suits hands (widest first, equal ones together), all waste gathers in one
off-cut at the end, and nothing is lost by rounding. Sizes here are in ticks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from stashkeeper.cutting.offcuts import remnant_worth
from stashkeeper.cutting.plan import Direction

ALONG, ACROSS = Direction.ALONG, Direction.ACROSS


@dataclass(frozen=True, slots=True)
class Leaf:
    """One cut: which of the wanted ones, its size as it lies, and whether it is turned."""

    cut: int
    width: int
    length: int
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Split:
    """Parts side by side (cut along the length) or one behind the other (cut across)."""

    direction: Direction
    parts: tuple["Tree", ...]
    width: int = field(init=False)
    length: int = field(init=False)

    def __post_init__(self) -> None:
        widths = [part.width for part in self.parts]
        lengths = [part.length for part in self.parts]
        along = self.direction is ALONG
        object.__setattr__(self, "width", sum(widths) if along else max(widths))
        object.__setattr__(self, "length", max(lengths) if along else sum(lengths))


type Tree = Leaf | Split

type Way = tuple[Direction, ...]
"""Which sides of a rectangle are set aside, in this order, before a tree is cut out of the rest."""


def join(direction: Direction, parts: Sequence[Tree]) -> Tree | None:
    """Return these parts as one tree in the order that suits hands; None for no parts.

    The widest come first, equal ones together, so that the ruler is set as rarely as possible and
    the waste lies at the end. Parts that are split the same way are taken apart first, unless they
    are shorter than the rest: what lies behind them can then be set aside in one.
    """
    deepest = max((extent(turned(direction), part) for part in parts), default=0)
    flat = [piece for part in parts for piece in _taken_apart(direction, part, deepest)]
    if len(flat) <= 1:
        return flat[0] if flat else None
    return Split(direction, tuple(sorted(flat, key=lambda part: _order(direction, part))))


def _taken_apart(direction: Direction, part: Tree, deepest: int) -> tuple[Tree, ...]:
    same = isinstance(part, Split) and part.direction is direction
    if isinstance(part, Split) and same and extent(turned(direction), part) == deepest:
        return part.parts
    return (part,)


def _order(direction: Direction, part: Tree) -> tuple[int, int, int]:
    own, other = extent(direction, part), extent(turned(direction), part)
    return -own, -other, part.cut if isinstance(part, Leaf) else -1


def extent(direction: Direction, part: Tree) -> int:
    """Return how much of a rectangle the part takes up when it is cut off in this direction."""
    return part.width if direction is ALONG else part.length


def turned(direction: Direction) -> Direction:
    """Return the other direction."""
    return ACROSS if direction is ALONG else ALONG


def leaves(tree: Tree | None) -> Iterator[Leaf]:
    """Yield every cut of the tree."""
    if isinstance(tree, Leaf):
        yield tree
    elif tree is not None:
        for part in tree.parts:
            yield from leaves(part)


def ways(tree: Tree, width: int, length: int, aligned: bool = False) -> list[Way]:
    """Return the ways to begin when a tree is cut out of a rectangle that may be too large.

    `aligned` ways depend on the tree alone, so that they are the same for every layer of a stack.
    """
    if isinstance(tree, Leaf):
        return [(ALONG, ACROSS)] if aligned else [(ALONG, ACROSS), (ACROSS, ALONG)]
    inner = turned(tree.direction)
    spare = extent(inner, tree) < (width if inner is ALONG else length)
    return [(), (inner,), (tree.direction, inner)] if spare and not aligned else [()]


@dataclass(slots=True)
class Worth:
    """What is left when trees are cut out of rectangles, each tree and size worked out once.

    Worth is a pair: what the rests are worth to a plan, and less one for every cut; greater is
    better.
    """

    _known: dict[tuple[int, int, int], tuple[float, int]] = field(default_factory=dict)
    _trees: list[Tree] = field(default_factory=list)

    def best_way(self, tree: Tree, width: int, length: int, aligned: bool = False) -> Way:
        """Return the way to begin that leaves the most worth keeping."""
        found = ways(tree, width, length, aligned)
        exact = (tree.width, tree.length) == (width, length)
        if len(found) == 1 or exact:
            return found[0]
        return max(found, key=lambda way: self._of_way(tree, width, length, way))

    def of(self, tree: Tree, width: int, length: int) -> tuple[float, int]:
        """Return the worth of the best way."""
        if isinstance(tree, Leaf) and (tree.width, tree.length) == (width, length):
            return 0.0, 0
        key = id(tree), width, length
        if key not in self._known:
            self._trees.append(tree)  # as long as it is known, no other tree gets its id
            self._known[key] = max(
                self._of_way(tree, width, length, way) for way in ways(tree, width, length)
            )
        return self._known[key]

    def _of_way(self, tree: Tree, width: int, length: int, way: Way) -> tuple[float, int]:
        worth, lines = 0.0, 0
        for direction in way:
            along = direction is ALONG
            spare = width - tree.width if along else length - tree.length
            if spare:
                worth += remnant_worth(spare, length) if along else remnant_worth(width, spare)
                lines += 1
                width, length = (tree.width, length) if along else (width, tree.length)
        if isinstance(tree, Leaf):
            return worth, -lines
        return self._of_parts(tree, width, length, worth, lines)

    def _of_parts(
        self, tree: Split, width: int, length: int, worth: float, lines: int
    ) -> tuple[float, int]:
        along = tree.direction is ALONG
        spare = width - tree.width if along else length - tree.length
        if spare:
            worth += remnant_worth(spare, length) if along else remnant_worth(width, spare)
        below = 0
        for part in tree.parts:
            own = self.of(part, part.width, length) if along else self.of(part, width, part.length)
            worth += own[0]
            below += own[1]
        return worth, below - lines - len(tree.parts) + (0 if spare else 1)


def rests_worth(tree: Tree, width: int, length: int) -> float:
    """Return what the off-cuts are worth when the tree is cut out of a rectangle."""
    return Worth().of(tree, width, length)[0]
