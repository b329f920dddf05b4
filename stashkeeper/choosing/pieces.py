"""Which pieces of the chosen fabrics to take: small ones first, no more than is needed."""

from collections.abc import Collection, Mapping, Sequence

from stashkeeper.choosing.asks import Ask
from stashkeeper.choosing.shelf import Shelf, opening_costs
from stashkeeper.cutting.covering import cheapest_cover

type Pieces = Mapping[int, tuple[int, ...]]
"""For each fabric its pieces to take, as the shelf counts them."""


def pieces_to_take(
    shelf: Shelf, ask: Ask, fabrics: Sequence[int], insisted: Collection[str]
) -> Pieces:
    """Return the pieces to take of each fabric chosen for an ask.

    Where several sizes come out of the same cloth, all pieces are handed to the cutting room.

    Args:
        shelf: the fabrics.
        ask: what they are for.
        fabrics: the fabrics chosen for it.
        insisted: the codes of pieces that must be taken.
    """
    if ask.need.area or len(ask.need.cuts) > 1:
        return {fabric: tuple(shelf.pieces(fabric)) for fabric in fabrics}
    if ask.need.alone:
        return {fabric: _taken(shelf, ask, [fabric], insisted) for fabric in fabrics}
    together = _taken(shelf, ask, fabrics, insisted)
    found = {}
    for fabric in fabrics:
        mine = tuple(piece for piece in shelf.pieces(fabric) if piece in together)
        found[fabric] = mine or _taken(shelf, ask, [fabric], insisted, wanted=1)
    return found


def _taken(
    shelf: Shelf,
    ask: Ask,
    fabrics: Sequence[int],
    insisted: Collection[str],
    wanted: int | None = None,
) -> tuple[int, ...]:
    """Return the cheapest pieces of some fabrics that give what is wanted."""
    pieces = [piece for fabric in fabrics for piece in shelf.pieces(fabric)]
    held = [_given(shelf, ask, piece) for piece in pieces]
    still = ask.need.cuts[0].count if ask.need.cuts else 1
    still = still if wanted is None else wanted
    sure = [piece for piece in pieces if shelf.codes[piece] in insisted]
    still -= sum(given for piece, given in zip(pieces, held, strict=True) if piece in sure)
    costs = opening_costs(shelf.piece_areas[pieces]).tolist()
    open_to = [place for place, piece in enumerate(pieces) if piece not in sure]
    cover = cheapest_cover(
        [costs[place] for place in open_to], [held[place] for place in open_to], still
    )
    return tuple(sorted([*sure, *(pieces[open_to[place]] for place in cover or ())]))


def _given(shelf: Shelf, ask: Ask, piece: int) -> int:
    """Return how much of what is wanted one piece gives; without cuts any piece is enough."""
    if not ask.need.cuts:
        return 1
    return int(shelf.piece_gives[ask.need.cuts[0].key][piece])
