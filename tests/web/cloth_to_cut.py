"""A shelf to cut from, and plans made on it quickly."""

from stashkeeper.actions.add import add
from stashkeeper.actions.cutting import Planned, plan_pieces
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.stash import Stash


def shelve(stash: Stash, name: str, size: str, **words: object) -> str:
    """Put a piece on the shelf, squared up, and return its code."""
    said = PieceWords(name=name, size=size, **{"squared": True, **words})  # type: ignore[arg-type]
    return add(stash, said).piece.code


def plan(stash: Stash, *cuts: str) -> Planned:
    """Plan quickly and without spares."""
    return plan_pieces(stash, cuts=cuts, spare=0, seconds=0.4)
