"""What a plan has to solve, in numbers: pieces, kinds of cuts, and which may come from which."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut, may_come_from, may_turn
from stashkeeper.cutting.offcuts import worth
from stashkeeper.cutting.strips import Kind
from stashkeeper.cutting.tree import Tree, leaves, rests_worth

type Counts = tuple[int, ...]
"""So many of each cut, by its number."""

type Accepts = tuple[bool | None, ...]
"""For each cut: may it turn on this piece; None where it may not come from it at all."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece to cut from.

    Attributes:
        number: its place among the cloths.
        width, length: its usable size in ticks.
        cost: what opening it costs (`offcuts.worth` of the whole piece).
        whole_area: its area before trimming, in square ticks.
        accepts: which cuts may come from it.
    """

    number: int
    width: int
    length: int
    cost: float
    whole_area: int
    accepts: Accepts

    @property
    def area(self) -> int:
        """Its usable area, in square ticks."""
        return self.width * self.length


@dataclass(frozen=True, slots=True)
class Filled:
    """A piece with the tree of cuts that come from it."""

    piece: Piece
    tree: Tree

    def used(self, kinds: int) -> Counts:
        """Return how many of each cut it gives."""
        counts = [0] * kinds
        for leaf in leaves(self.tree):
            counts[leaf.cut] += 1
        return tuple(counts)

    @property
    def cut_area(self) -> int:
        """The area of the cuts, in square ticks."""
        return sum(leaf.width * leaf.length for leaf in leaves(self.tree))

    @property
    def fill(self) -> float:
        """The share of the usable size that is cut for the plan."""
        return self.cut_area / self.piece.area

    @property
    def merit(self) -> float:
        """What opening the piece costs, less what its off-cuts are worth."""
        return self.piece.cost - rests_worth(self.tree, self.piece.width, self.piece.length)


type Draft = tuple[Filled, ...]
"""A whole answer: every piece opened, with its tree."""


def merit(draft: Draft) -> float:
    """Return how much cloth a draft costs, large pieces weighing more; smaller is better."""
    return sum(filled.merit for filled in draft)


def opened_area(draft: Draft) -> int:
    """Return the area of the opened pieces in square ticks, trims included."""
    return sum(filled.piece.whole_area for filled in draft)


@dataclass(frozen=True, slots=True)
class Problem:
    """Pieces and cuts.

    Attributes:
        cuts: what is needed.
        pieces: what it may come from, smallest first.
    """

    cuts: tuple[Cut, ...]
    pieces: tuple[Piece, ...]

    @classmethod
    def of(cls, cloths: Sequence[Cloth], cuts: Sequence[Cut]) -> "Problem":
        """Return the problem, without the pieces that no cut can come from."""
        pieces = [_piece(number, cloth, cuts) for number, cloth in enumerate(cloths)]
        useful = [piece for piece in pieces if _useful(piece, cuts)]
        return cls(tuple(cuts), tuple(sorted(useful, key=lambda piece: piece.cost)))

    @property
    def wanted(self) -> Counts:
        """How many of each cut are needed."""
        return tuple(cut.count for cut in self.cuts)

    def area_of(self, counts: Counts) -> int:
        """Return the area of so many of each cut, in square ticks."""
        return sum(cut.size.area * count for cut, count in zip(self.cuts, counts, strict=True))

    def kinds(self, piece: Piece, counts: Counts) -> list[Kind]:
        """Return the cuts still needed that fit this piece, no more of each than its area holds."""
        found = []
        for number, (cut, count) in enumerate(zip(self.cuts, counts, strict=True)):
            turns = piece.accepts[number]
            if not count or turns is None:
                continue
            width, length = cut.size.width.ticks, cut.size.length.ticks
            most = min(count, piece.area // (width * length))
            kind = Kind(number, width, length, most, fixed=not turns)
            if most and kind.fits(piece.width, piece.length):
                found.append(kind)
        return found

    def all_kinds(self) -> list[Kind]:
        """Return every cut that is needed, as it may lie on the first piece."""
        turns = self.pieces[0].accepts
        return [
            Kind(number, cut.size.width.ticks, cut.size.length.ticks, cut.count, not turns[number])
            for number, cut in enumerate(self.cuts)
            if cut.count
        ]

    def apart(self) -> Iterator["Problem"]:
        """Yield smaller problems that share no piece and no cut, and together are this one."""
        groups = [({number}, list[Piece]()) for number in range(len(self.cuts))]
        for piece in self.pieces:
            mine = {number for number, turns in enumerate(piece.accepts) if turns is not None}
            touched = [group for group in groups if group[0] & mine]
            groups = [group for group in groups if not group[0] & mine]
            numbers, pieces = touched[0] if touched else (set[int](), list[Piece]())
            for more_numbers, more_pieces in touched[1:]:
                numbers |= more_numbers
                pieces += more_pieces
            pieces.append(piece)
            groups.append((numbers, pieces))
        for numbers, pieces in groups:
            wanted = tuple(
                cut if number in numbers else None for number, cut in enumerate(self.cuts)
            )
            yield self._part(wanted, pieces)

    def _part(self, wanted: tuple[Cut | None, ...], pieces: list[Piece]) -> "Problem":
        cuts = tuple(
            cut if kept is not None else _none_of(cut)
            for cut, kept in zip(self.cuts, wanted, strict=True)
        )
        return Problem(cuts, tuple(sorted(pieces, key=lambda piece: piece.cost)))


def _none_of(cut: Cut) -> Cut:
    return Cut(cut.name, cut.size, 0, cut.directional, cut.fabric, cut.value, cut.role)


def grid_of(kinds: Sequence[Kind]) -> int:
    """Return the greatest common divisor of all sides: a grid that loses nothing."""
    return math.gcd(*(side for kind in kinds for side in (kind.width, kind.length)))


def _piece(number: int, cloth: Cloth, cuts: Sequence[Cut]) -> Piece:
    whole = cloth.whole
    return Piece(
        number,
        cloth.size.width.ticks,
        cloth.size.length.ticks,
        worth(whole.width.ticks, whole.length.ticks),
        whole.area,
        tuple(may_turn(cut, cloth) if may_come_from(cut, cloth) else None for cut in cuts),
    )


def _useful(piece: Piece, cuts: Sequence[Cut]) -> bool:
    return any(
        turns is not None
        and Kind(0, cut.size.width.ticks, cut.size.length.ticks, 1, fixed=not turns).fits(
            piece.width, piece.length
        )
        for turns, cut in zip(piece.accepts, cuts, strict=True)
    )
