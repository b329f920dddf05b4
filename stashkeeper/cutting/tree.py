"""A way of cutting as a tree, and from the tree to the cuts a person makes.

The tree only says what lies beside what: sizes follow from the leaves. So the parts of a split can
be put in the order that suits hands (widest first, equal ones together), all waste gathers in one
off-cut at the end, and nothing is lost by rounding. Sizes here are in ticks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.offcuts import Keeping, remnant_worth
from stashkeeper.cutting.plan import Box, CutLine, Direction, OffCut, PiecePlan, Placement
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

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


@dataclass(frozen=True, slots=True)
class _Area:
    """A rectangle in ticks."""

    left: int
    near: int
    width: int
    length: int

    def box(self) -> Box:
        """Return it as a plan says it."""
        return Box(
            Length(self.left), Length(self.near), Size(Length(self.width), Length(self.length))
        )

    def cut_off(self, direction: Direction, setting: int) -> tuple["_Area", "_Area"]:
        """Return what a cut takes off, and the rest."""
        if direction is ALONG:
            rest = _Area(self.left + setting, self.near, self.width - setting, self.length)
            return _Area(self.left, self.near, setting, self.length), rest
        rest = _Area(self.left, self.near + setting, self.width, self.length - setting)
        return _Area(self.left, self.near, self.width, setting), rest

    def along(self, direction: Direction) -> int:
        """Return its extent in the direction a cut takes it apart."""
        return self.width if direction is ALONG else self.length


@dataclass(slots=True)
class _Cutting:
    """What has been cut so far."""

    lines: list[tuple[_Area, Direction, int, int]] = field(default_factory=list)
    placed: list[tuple[_Area, Leaf]] = field(default_factory=list)
    rests: list[_Area] = field(default_factory=list)

    @property
    def worth(self) -> float:
        """What the rests are worth to a plan."""
        return sum(remnant_worth(rest.width, rest.length) for rest in self.rests)

    def standing(self) -> tuple[float, int]:
        """Return how good this way is: the worth of the rests, then the fewest cuts."""
        return self.worth, -len(self.lines)

    def add(self, later: "_Cutting") -> None:
        """Go on with what was cut later."""
        self.lines += later.lines
        self.placed += later.placed
        self.rests += later.rests

    def off(
        self, area: _Area, direction: Direction, setting: int, stage: int
    ) -> tuple[_Area, _Area]:
        """Cut so much off an area: note the cut unless nothing would be left over."""
        if setting < area.along(direction):
            self.lines.append((area, direction, setting, stage))
        return area.cut_off(direction, setting)

    def set_aside(self, tree: Tree, area: _Area, direction: Direction, stage: int) -> _Area:
        """Cut what the tree needs off an area and leave the rest whole."""
        area, rest = self.off(area, direction, extent(direction, tree), stage)
        if rest.width and rest.length:
            self.rests.append(rest)
        return area


def _cut(tree: Tree, area: _Area, stage: int, aligned: bool) -> _Cutting:
    """Cut a tree out of an area, in the order that leaves the most worth keeping.

    The first cuts of a piece that only set cloth aside do not count as a stage. `aligned` cuts
    depend on the tree alone, so that they are the same for every layer of a stack.
    """
    aside = 0 if stage == 1 else stage
    if isinstance(tree, Leaf):
        if (area.width, area.length) == (tree.width, tree.length):
            return _Cutting(placed=[(area, tree)])
        orders = [(ALONG, ACROSS), (ACROSS, ALONG)][: 1 if aligned else 2]
        return max((_cut_out(tree, area, order, stage) for order in orders), key=_standing)
    inner = turned(tree.direction)
    ways: list[tuple[Direction, ...]] = [()]
    if not aligned and extent(inner, tree) < area.along(inner):
        ways += [(inner,), (tree.direction, inner)]
    found = []
    for way in ways:
        cutting, rest = _Cutting(), area
        for direction in way:
            rest = cutting.set_aside(tree, rest, direction, aside)
        inside = stage if aside == 0 or not way else stage + 1
        cutting.add(_cut_parts(tree, rest, inside, aligned))
        found.append(cutting)
    return max(found, key=_standing)


def _standing(cutting: _Cutting) -> tuple[float, int]:
    return cutting.standing()


def _cut_out(leaf: Leaf, area: _Area, order: Sequence[Direction], stage: int) -> _Cutting:
    """Trim an area down to one cut; trimming does not count as a stage of its own."""
    cutting = _Cutting()
    for direction in order:
        area = cutting.set_aside(leaf, area, direction, max(stage - 1, 1))
    cutting.placed.append((area, leaf))
    return cutting


def _cut_parts(tree: Split, area: _Area, stage: int, aligned: bool) -> _Cutting:
    """Make all parallel cuts first, then cut out each part."""
    cutting = _Cutting()
    boxes = []
    for part in tree.parts:
        own, area = cutting.off(area, tree.direction, extent(tree.direction, part), stage)
        boxes.append((part, own))
    if area.width and area.length:
        cutting.rests.append(area)
    for part, own in boxes:
        cutting.add(_cut(part, own, stage + 1, aligned))
    return cutting


def rests_worth(tree: Tree, width: int, length: int) -> float:
    """Return what the off-cuts are worth when the tree is cut out of a rectangle."""
    return _cut(tree, _Area(0, 0, width, length), 1, aligned=False).worth


def piece_plan(
    tree: Tree, cloth: Cloth, cuts: Sequence[Cut], keeping: Keeping, aligned: bool = False
) -> PiecePlan:
    """Return how a piece is cut by this tree, step by step.

    Args:
        tree: what comes out of it, within its usable size.
        cloth: the piece.
        cuts: what the numbers in the tree stand for.
        keeping: from what size on an off-cut goes back on the shelf.
        aligned: make the cuts that any other piece of a stack gets, even where setting cloth
            aside first would leave more.
    """
    trims, size = cloth.trims, cloth.size
    area = _Area(trims.left.ticks, trims.near.ticks, size.width.ticks, size.length.ticks)
    cutting = _cut(tree, area, 1, aligned)
    return PiecePlan(
        cloth,
        _trimmed(cloth),
        tuple(
            CutLine(area.box(), direction, Length(setting), stage)
            for area, direction, setting, stage in cutting.lines
        ),
        tuple(
            Placement(cuts[leaf.cut].name, area.box(), leaf.turned) for area, leaf in cutting.placed
        ),
        tuple(OffCut(rest.box(), keeping.worth_keeping(rest.box().size)) for rest in cutting.rests),
    )


def _trimmed(cloth: Cloth) -> tuple[Box, ...]:
    """Return the strips that squaring up takes off: left, right, near, far."""
    trims, whole = cloth.trims, cloth.whole
    nothing = Length(0)
    left = Box(nothing, nothing, Size(trims.left, whole.length))
    right = Box(whole.width - trims.right, nothing, Size(trims.right, whole.length))
    near = Box(trims.left, nothing, Size(cloth.size.width, trims.near))
    far = Box(trims.left, whole.length - trims.far, Size(cloth.size.width, trims.far))
    return tuple(strip for strip in (left, right, near, far) if strip.size.area)
