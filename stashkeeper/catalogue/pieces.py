"""Pieces: adding, changing and ending them, and finding one by its code."""

import uuid
from collections.abc import Iterable
from itertools import batched
from typing import Any, TypedDict, Unpack

from sqlmodel import Session, col, select

from stashkeeper.catalogue.codes import is_code, near_codes, next_codes, normalise_code
from stashkeeper.catalogue.columns import End, PieceKind, now
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.names import clean_notes
from stashkeeper.catalogue.tables import Fabric, Piece, Place
from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.size import Size

MOST_AT_ONCE = 999
"""The most alike pieces one deed adds."""

AT_ONCE = 500
"""So many pieces are asked for in one query."""


class PieceDetails(TypedDict, total=False):
    """What may be said of a piece; what is left out stays as it is.

    `place` None is no place. `count`, `weight_grams` and `scraps` are of a bag of scraps.
    """

    size: Size | None
    basis: Basis
    selvedges: Iterable[Edge]
    squared: bool
    washed: bool
    place: Place | None
    parent: Piece | None
    notes: str
    kind: PieceKind
    count: int | None
    weight_grams: float | None
    scraps: dict[str, Any] | None


def add_pieces(
    deed: Deed, fabric: Fabric, times: int = 1, **details: Unpack[PieceDetails]
) -> list[Piece]:
    """Add `times` pieces that are alike, each with the next code.

    Raises:
        BadRequestError: `times` is not from 1 to 999.
        BadNameError: a note is too long or cannot be shown.
    """
    if not 1 <= times <= MOST_AT_ONCE:
        raise BadRequestError(
            f"{times} pieces cannot be added at once.", f"Give a count from 1 to {MOST_AT_ONCE}."
        )
    columns = _cleaned(details)
    return [
        deed.add(Piece(code=code, code_order=order, fabric_id=fabric.id, **columns))
        for order, code in next_codes(deed.session, times)
    ]


def change_piece(
    deed: Deed,
    piece: Piece,
    *,
    expected_version: int | None = None,
    **changes: Unpack[PieceDetails],
) -> bool:
    """Change a piece; return whether anything really changed.

    Raises:
        BadNameError: a note is too long or cannot be shown.
        ChangedMeanwhileError: somebody changed it after `expected_version`.
    """
    return deed.change(piece, expected_version, **_cleaned(changes))


def end_piece(deed: Deed, piece: Piece, how: End, *, expected_version: int | None = None) -> bool:
    """End a piece; it stays on record with how and when. Return whether that is news.

    Raises:
        BadRequestError: it ended before, in another way.
        ChangedMeanwhileError: somebody changed it after `expected_version`.
    """
    if piece.ended_how is how:
        return False
    if piece.ended_how is not None:
        raise BadRequestError(
            f"{piece.code} has ended already: {piece.ended_how}.",
            "Undo that first if it was a mistake.",
        )
    return deed.change(piece, expected_version, ended_how=how, ended_at=now())


def piece_by_code(session: Session, code: str) -> Piece:
    """Return the piece with a code, as typed in any case and spacing.

    Raises:
        NotFoundError: there is none; near codes are named.
    """
    return pieces_by_codes(session, [code])[0]


def pieces_by_codes(session: Session, codes: Iterable[str]) -> list[Piece]:
    """Return the pieces with these codes, in the order given, each once.

    Raises:
        NotFoundError: some are unknown; all of them are named.
    """
    typed = {normalise_code(code): code for code in codes}
    wanted = list(typed)
    askable = [code for code in wanted if is_code(code)]
    found = {}
    for some in batched(askable, AT_ONCE):
        there = select(Piece).where(col(Piece.code).in_(some))
        found.update({piece.code: piece for piece in session.exec(there)})
    missing = [code for code in wanted if code not in found]
    if missing:
        raise _unknown(session, missing, typed)
    return [found[code] for code in wanted]


def codes_of(session: Session, piece_ids: Iterable[uuid.UUID]) -> dict[uuid.UUID, str]:
    """Return the codes of pieces by their keys."""
    codes: dict[uuid.UUID, str] = {}
    for some in batched(dict.fromkeys(piece_ids), AT_ONCE):
        wanted = select(Piece.id, Piece.code).where(col(Piece.id).in_(some))
        codes |= dict(session.exec(wanted).all())
    return codes


def pieces_of(session: Session, fabric_id: uuid.UUID) -> list[Piece]:
    """Return every piece of a fabric, ended ones too, in the order of their codes."""
    pieces = select(Piece).where(col(Piece.fabric_id) == fabric_id)
    return list(session.exec(pieces.order_by(col(Piece.code_order))))


def _cleaned(details: PieceDetails) -> dict[str, Any]:
    columns: dict[str, Any] = dict(details)
    if "size" in columns:
        size: Size | None = columns.pop("size")
        columns["width"] = size.width if size else None
        columns["length"] = size.length if size else None
    for name in ("place", "parent"):
        if name in columns:
            row = columns.pop(name)
            columns[f"{name}_id"] = None if row is None else row.id
    if "selvedges" in details:
        columns["selvedges"] = frozenset(details["selvedges"])
    if "notes" in details:
        columns["notes"] = clean_notes(details["notes"])
    return columns


def _unknown(session: Session, missing: list[str], typed: dict[str, str]) -> NotFoundError:
    names = ", ".join(quoted(typed[code]) for code in missing[:10])
    near = [code for one in missing[:3] for code in near_codes(session, one)]
    problem = f"No piece has the code {names}."
    if near:
        return NotFoundError(problem, f"Did you mean {' or '.join(dict.fromkeys(near))}?")
    return NotFoundError(
        problem,
        "`stashkeeper list` shows the codes there are.",
        on_page="The shelf shows the codes there are.",
    )
