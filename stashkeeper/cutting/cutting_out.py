"""From the tree to the cuts a person makes: where every line runs, and in which order."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Box, CutLine, Direction, OffCut, PiecePlan, Placement
from stashkeeper.cutting.tree import ALONG, Leaf, Split, Tree, Worth, extent
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size


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


@dataclass(slots=True)
class _Knife:
    """Cuts a tree out of an area, in the order that leaves the most worth keeping.

    The first cuts of a piece that only set cloth aside do not count as a stage; nor does trimming
    one cut to its size.
    """

    aligned: bool
    worth: Worth = field(default_factory=Worth)
    done: _Cutting = field(default_factory=_Cutting)

    def cut(self, tree: Tree, area: _Area, stage: int) -> None:
        """Cut a tree out of an area."""
        way = self.worth.best_way(tree, area.width, area.length, self.aligned)
        if isinstance(tree, Leaf):
            for direction in way:
                area = self.done.set_aside(tree, area, direction, max(stage - 1, 1))
            self.done.placed.append((area, tree))
            return
        for direction in way:
            area = self.done.set_aside(tree, area, direction, 0 if stage == 1 else stage)
        self._cut_parts(tree, area, stage if stage == 1 or not way else stage + 1)

    def _cut_parts(self, tree: Split, area: _Area, stage: int) -> None:
        """Make all parallel cuts first, then cut out each part."""
        boxes = []
        for part in tree.parts:
            own, area = self.done.off(area, tree.direction, extent(tree.direction, part), stage)
            boxes.append((part, own))
        if area.width and area.length:
            self.done.rests.append(area)
        for part, own in boxes:
            self.cut(part, own, stage + 1)


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
    knife = _Knife(aligned)
    knife.cut(tree, area, 1)
    cutting = knife.done
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
