"""Off-cuts: what came off other pieces and is still on the shelf."""

from sqlmodel import Session, col, select

from stashkeeper.catalogue.tables import Piece


def off_cut_codes(session: Session) -> tuple[str, ...]:
    """Return the codes of all pieces that were cut off others and have not ended, in order."""
    wanted = select(Piece.code).where(
        col(Piece.parent_id).is_not(None), col(Piece.ended_how).is_(None)
    )
    return tuple(session.exec(wanted.order_by(col(Piece.code_order))))
