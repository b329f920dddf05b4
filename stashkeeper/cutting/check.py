"""The proof of a plan, made by going through its cuts one by one.

This file shares no code with the planner. It lays each piece on the mat, makes the stated cuts in
the stated order, and looks at what lies there afterwards. Everything is exact: whole ticks.
"""

import bisect
import heapq
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.plan import Box, CutLine, Direction, PiecePlan, Plan
from stashkeeper.errors import UnprovenPlanError

type _Edges = tuple[int, int, int, int]
"""Left, near, right and far edge of a rectangle on the whole piece, in ticks."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing a plan gets wrong: the code of the piece (empty: the whole plan), a sentence."""

    code: str
    text: str


def prove(plan: Plan, cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> None:
    """Refuse a plan that is not right in every part.

    Args:
        plan: the plan.
        cloths: what there is to cut from.
        cuts: what was asked for.

    Raises:
        UnprovenPlanError: the plan has a flaw; the first one is told.
    """
    found = flaws(plan, cloths, cuts)
    if found:
        where = f"Piece {found[0].code}: " if found[0].code else ""
        raise UnprovenPlanError(
            f"The plan did not pass its proof and is not shown. {where}{found[0].text}",
            "Nothing was cut or changed: plan again, and tell the makers what you asked for.",
        )


def flaws(plan: Plan, cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> tuple[Flaw, ...]:
    """Return everything that is wrong with a plan; nothing if it is proven.

    Proven means: every piece is one of the cloths, used once; every cut runs from edge to edge of
    a rectangle that is there when it is made; trims, cuts and off-cuts are the whole piece and do
    not overlap; trims are as the cloth demands; every cut has its size, its direction and a cloth
    it may come from; and all that was asked for is there, no more and no less.
    """
    found = [Flaw("", text) for text in _whole_plan(plan, cloths, cuts)]
    known = {cut.name: cut for cut in cuts}
    for piece in plan.pieces:
        texts = [*_cut_up(piece), *_trims(piece), *_placements(piece, known)]
        found += [Flaw(piece.cloth.code, text) for text in texts]
    return tuple(found)


def _whole_plan(plan: Plan, cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> list[str]:
    """Look at the cloths and the counts."""
    texts = []
    there = Counter(cloths)
    there.subtract(piece.cloth for piece in plan.pieces)
    if any(count < 0 for count in there.values()):
        texts.append("A piece is cut that is not there, or is cut twice.")
    if tuple(plan.cuts) != tuple(cuts):
        texts.append("The plan is for other cuts than were asked for.")
    wanted = {cut.name: cut.count for cut in cuts}
    given = Counter(placement.name for piece in plan.pieces for placement in piece.placements)
    texts += [
        f"{wanted.get(name, 0)} of {name} were asked for, {given[name]} are cut."
        for name in sorted(wanted.keys() | given.keys())
        if wanted.get(name, 0) != given[name]
    ]
    if any(not piece.placements for piece in plan.pieces):
        texts.append("A piece is opened and nothing is cut from it.")
    return texts


def _cut_up(piece: PiecePlan) -> list[str]:
    """Make every cut in its order; what lies there must be the placements and the off-cuts."""
    lying = {_usable(piece.cloth)}
    for number, line in enumerate(piece.lines, start=1):
        box = _edges(line.box)
        if box not in lying:
            return [f"Cut {number} is through a rectangle that is not there when it is made."]
        parts = _parted(box, line)
        if parts is None:
            return [f"Cut {number} does not run from edge to edge inside its rectangle."]
        lying.remove(box)
        lying.update(parts)
    named = [_edges(placement.box) for placement in piece.placements]
    named += [_edges(off_cut.box) for off_cut in piece.off_cuts]
    if Counter(named) != Counter(lying):
        return ["What is cut and what is left over are not what the cuts make."]
    return []


def _parted(box: _Edges, line: CutLine) -> tuple[_Edges, _Edges] | None:
    left, near, right, far = box
    across = line.direction is Direction.ACROSS
    at = (near if across else left) + line.setting.ticks
    if not (near if across else left) < at < (far if across else right):
        return None
    if across:
        return (left, near, right, at), (left, at, right, far)
    return (left, near, at, far), (at, near, right, far)


def _trims(piece: PiecePlan) -> list[str]:
    """Trims must be as the cloth demands, and with all else make up the whole piece."""
    texts = []
    left, near, right, far = _usable(piece.cloth)
    width, length = right + piece.cloth.trims.right.ticks, far + piece.cloth.trims.far.ticks
    strips = [_edges(box) for box in piece.trims]
    demanded = [
        (0, 0, left, length),
        (right, 0, width, length),
        (left, 0, right, near),
        (left, far, right, length),
    ]
    if strips != [strip for strip in demanded if _area(strip)]:
        texts.append("The trims are not those its edges need.")
    boxes = [_edges(placement.box) for placement in piece.placements]
    boxes += [_edges(off_cut.box) for off_cut in piece.off_cuts]
    if any(not (left <= one[0] and near <= one[1] and one[2] <= right and one[3] <= far)
           for one in boxes):  # fmt: skip
        texts.append("Something lies outside the usable cloth.")
    if _overlap(boxes):
        texts.append("Two rectangles overlap.")
    if sum(map(_area, strips + boxes)) != width * length:
        texts.append("Trims, cuts and off-cuts do not add up to the piece.")
    return texts


def _overlap(boxes: list[_Edges]) -> bool:
    """Tell whether any two rectangles share cloth.

    A line sweeps from left to right. What it crosses is kept from near to far; a rectangle that
    comes in must not reach into its neighbours there.
    """
    crossed: list[tuple[int, int]] = []
    leaving: list[tuple[int, int, int]] = []
    for left, near, right, far in sorted(boxes):
        while leaving and leaving[0][0] <= left:
            _, gone_near, gone_far = heapq.heappop(leaving)
            del crossed[bisect.bisect_left(crossed, (gone_near, gone_far))]
        place = bisect.bisect_left(crossed, (near, far))
        if place < len(crossed) and crossed[place][0] < far:
            return True
        if place and crossed[place - 1][1] > near:
            return True
        crossed.insert(place, (near, far))
        heapq.heappush(leaving, (right, near, far))
    return False


def _placements(piece: PiecePlan, known: dict[str, Cut]) -> list[str]:
    """Look at each cut's size, direction and cloth."""
    texts = []
    for placement in piece.placements:
        cut = known.get(placement.name)
        if cut is None:
            texts.append(f"{placement.name} was not asked for.")
            continue
        width, length = cut.size.width, cut.size.length
        if placement.turned:
            width, length = length, width
        if (placement.box.size.width, placement.box.size.length) != (width, length):
            texts.append(f"{cut.name} has another size than was asked for.")
        if placement.turned and (cut.directional or piece.cloth.directional):
            texts.append(f"{cut.name} lies across its direction.")
        if not _right_cloth(cut, piece.cloth):
            texts.append(f"{cut.name} may not come from this cloth.")
    return texts


def _right_cloth(cut: Cut, cloth: Cloth) -> bool:
    if cut.directional and not cloth.grain_known:
        return False
    if cut.role is not None and cut.role not in cloth.roles:
        return False
    fabric = cut.fabric is None or cut.fabric == cloth.fabric
    return fabric and (cut.value is None or cut.value is cloth.value)


def _usable(cloth: Cloth) -> _Edges:
    left, near = cloth.trims.left.ticks, cloth.trims.near.ticks
    return left, near, left + cloth.size.width.ticks, near + cloth.size.length.ticks


def _edges(box: Box) -> _Edges:
    left, near = box.left.ticks, box.near.ticks
    return left, near, left + box.size.width.ticks, near + box.size.length.ticks


def _area(edges: _Edges) -> int:
    return (edges[2] - edges[0]) * (edges[3] - edges[1])
