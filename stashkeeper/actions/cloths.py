"""Cloths: what the pieces of the shelf offer to a plan, after every allowance."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

from stashkeeper.catalogue.cloth_columns import State
from stashkeeper.catalogue.columns import PieceKind
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.cloth.cloth import Cloth, trims_of
from stashkeeper.cloth.usable import Cause, Direction, Take, Usable, after, takes, usable
from stashkeeper.cutting.bag_record import bag_from_plain
from stashkeeper.cutting.scraps import Bag
from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands, value_by_bands

type Allowance = Allowances | Length
"""What is taken off a piece: this person's allowances, or one length off each direction."""

DIRECTED = frozenset({"along", "across"})
"""The directions of a print that forbid turning; one that runs both ways may lie either way."""

_usable = lru_cache(maxsize=200_000)(usable)


def read_allowance(typed: str | None, usual: Allowances, measure: Measure) -> Allowance:
    """Return what is to be taken off each piece: the usual where nothing was typed, or a length.

    `0` (or `none`) switches off every trim, selvedge, squaring up and shrinkage; another length is
    taken off each direction, and nothing else is.

    Raises:
        BadSizeError: it is no length.
    """
    if typed is None:
        return usual
    if typed.strip().casefold() in {"0", "none"}:
        return Length(0)
    return parse_length(typed, measure, Rounding.UP)


def usable_of_row(row: PieceRow, allowance: Allowance) -> Usable | None:
    """Return what can be used of a piece; None for a bag of scraps."""
    return None if row.size is None else usable_of_size(row.size, row, allowance)


def usable_of_size(size: Size, like: PieceRow | State, allowance: Allowance) -> Usable:
    """Return what could be used of a piece of a size that is in all else `like` this."""
    if isinstance(allowance, Length):
        return after(size, like.basis, takes_of(like, allowance))
    return _usable(
        size, like.basis, like.selvedges, like.squared, like.washed, like.flannel, allowance
    )


def takes_of(like: PieceRow | State, allowance: Allowance) -> tuple[Take, ...]:
    """Return what is taken off a piece in such a state, whatever its size."""
    if isinstance(allowance, Length):
        return tuple(Take(each, Cause.SQUARING_UP, length=allowance) for each in Direction)
    return takes(like.basis, like.selvedges, like.squared, like.washed, like.flannel, allowance)


def is_certain(offered: Usable) -> bool:
    """Tell whether so much is there for certain: measured, and not about to shrink."""
    shrinks = any(loss.cause is Cause.SHRINKAGE for loss in offered.losses)
    return offered.certain and not shrinks


def is_directional(like: PieceRow | State) -> bool:
    """Tell whether nothing may be turned on a piece, for its print has a direction."""
    return like.direction in DIRECTED


def cloth_of(
    row: PieceRow, allowance: Allowance, bands: Bands, roles: Iterable[str] = ()
) -> Cloth | None:
    """Return what a piece offers; None for a bag, or where nothing of it is usable."""
    offered = usable_of_row(row, allowance)
    if offered is None or not offered.size.area:
        return None
    return Cloth(
        row.code,
        str(row.fabric_id),
        offered.size,
        certain=is_certain(offered),
        directional=is_directional(row),
        selvedges=row.selvedges,
        flannel=row.flannel,
        value=None if row.lightness is None else value_by_bands(row.lightness, bands),
        roles=frozenset(roles),
        trims=trims_of(offered, frozenset() if isinstance(allowance, Length) else row.selvedges),
    )


def bag_of(row: PieceRow) -> Bag | None:
    """Return what a bag of scraps holds; None for a piece."""
    if row.kind is not PieceKind.SCRAPS:
        return None
    return bag_from_plain(row.scraps or {})


def bags_of(rows: Sequence[PieceRow]) -> list[tuple[PieceRow, Bag]]:
    """Return the bags among rows of the shelf, with what they hold."""
    found = ((row, bag_of(row)) for row in rows)
    return [(row, bag) for row, bag in found if bag is not None]
