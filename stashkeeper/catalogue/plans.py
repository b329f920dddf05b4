"""Cutting plans on record: keeping them, finding them, and confirming them piece by piece."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, func, select

from stashkeeper.catalogue.codes import next_number
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.plan_tables import PieceCut, Plan, PlanPiece
from stashkeeper.catalogue.tables import Change, Event, Piece
from stashkeeper.errors import AlreadyThereError, NotFoundError

type Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A plan in a list: its number, what it spares, what was asked for, pieces in all and cut."""

    number: int
    goal: str
    asked: str
    created_at: datetime
    pieces: int
    cut: int


@dataclass(frozen=True, slots=True)
class PlannedPiece:
    """A piece of a plan as it was planned and as it is now.

    Attributes:
        piece: its row now.
        version: the one it had when it was planned.
        record: how it is to be cut, as the cutting room wrote it down.
        cut_at: when it was cut by this plan; None where it still is to be.
        outcome: how it came out, if it was cut.
    """

    piece: Piece
    version: int
    record: Plain
    cut_at: datetime | None
    outcome: Plain | None


def add_plan(
    deed: Deed, goal: str, asked: str, record: Plain, pieces: Sequence[tuple[Piece, int, Plain]]
) -> Plan:
    """Keep a plan under the next number.

    Args:
        deed: the deed it belongs to.
        goal: what the plan spares.
        asked: what was asked for, in words.
        record: what was asked for, as plain values.
        pieces: each piece with its version when it was planned and how it is cut, in the order
            they are cut.
    """
    number = next_number(deed.session, "plan")
    plan = deed.add(Plan(number=number, goal=goal, asked=asked, record=record))
    for position, (piece, version, own) in enumerate(pieces):
        deed.add(
            PlanPiece(
                plan_id=plan.id,
                piece_id=piece.id,
                piece_version=version,
                position=position,
                record=own,
            )
        )
    return plan


def plan_numbered(session: Session, number: int) -> Plan:
    """Return the plan with a number.

    Raises:
        NotFoundError: there is none, or it was taken back.
    """
    wanted = select(Plan).where(Plan.number == number, col(Plan.voided).is_(False))
    found = session.exec(wanted).first() if 0 < number < 2**63 else None
    if found is None:
        raise NotFoundError(
            f"There is no plan {number}.",
            "`stashkeeper plans` shows the plans there are.",
            on_page="Look at the plans there are.",
        )
    return found


def list_plans(session: Session) -> list[PlanRow]:
    """Return every plan that was not taken back, newest first."""
    pieces = _count_of(PlanPiece.plan_id)
    standing = select(Plan).where(col(Plan.voided).is_(False)).order_by(col(Plan.number).desc())
    cut = _count_of(PieceCut.plan_id, col(PieceCut.voided).is_(False))
    known, done = dict(session.exec(pieces).all()), dict(session.exec(cut).all())
    return [
        PlanRow(
            plan.number,
            plan.goal,
            plan.asked,
            plan.created_at,
            known.get(plan.id, 0),
            done.get(plan.id, 0),
        )
        for plan in session.exec(standing)
    ]


def pieces_of_plan(session: Session, plan: Plan) -> list[PlannedPiece]:
    """Return the pieces of a plan in the order they are cut."""
    planned = select(PlanPiece).where(PlanPiece.plan_id == plan.id)
    standing = select(PieceCut).where(PieceCut.plan_id == plan.id, col(PieceCut.voided).is_(False))
    cuts = {cut.piece_id: cut for cut in session.exec(standing)}
    found = []
    for row in session.exec(planned.order_by(col(PlanPiece.position))):
        cut = cuts.get(row.piece_id)
        found.append(
            PlannedPiece(
                session.get_one(Piece, row.piece_id),
                row.piece_version,
                row.record,
                cut.created_at if cut else None,
                cut.outcome if cut else None,
            )
        )
    return found


def add_cut(deed: Deed, plan: Plan, piece: Piece, outcome: Plain) -> PieceCut:
    """Put on record that a piece was cut by a plan, and how it came out.

    Raises:
        AlreadyThereError: it was confirmed before.
    """
    before = select(PieceCut).where(
        PieceCut.plan_id == plan.id,
        PieceCut.piece_id == piece.id,
        col(PieceCut.voided).is_(False),
    )
    if deed.session.exec(before).first() is not None:
        raise AlreadyThereError(
            f"{piece.code} was confirmed as cut by plan {plan.number} already.",
            "Nothing was done twice; `stashkeeper undo` takes the first back.",
            on_page="Nothing was done twice; take the first back if it was wrong.",
        )
    return deed.add(PieceCut(plan_id=plan.id, piece_id=piece.id, outcome=outcome))


def spoken_for(session: Session) -> dict[uuid.UUID, int]:
    """Return the pieces that plans already begun still need, with the plan's number.

    A plan is begun once a piece of it is cut; until then it is only a thought.
    """
    standing = select(PieceCut.plan_id, PieceCut.piece_id).where(col(PieceCut.voided).is_(False))
    done = set(session.exec(standing))
    begun = {plan_id for plan_id, _ in done}
    if not begun:
        return {}
    wanted = (
        select(PlanPiece.piece_id, PlanPiece.plan_id, Plan.number)
        .join(Plan, col(PlanPiece.plan_id) == col(Plan.id))
        .where(col(Plan.voided).is_(False), col(Plan.id).in_(begun))
        .order_by(col(Plan.number).desc())
    )
    return {
        piece_id: number
        for piece_id, plan_id, number in session.exec(wanted)
        if (plan_id, piece_id) not in done
    }


def _count_of(column: Any, *conditions: Any) -> Any:
    return select(column, func.count()).where(*conditions).group_by(column)


def deeds_of_cuts(session: Session, plan: Plan) -> dict[uuid.UUID, int]:
    """Return the number of the deed by which each piece was confirmed as cut, by the piece."""
    standing = select(PieceCut).where(PieceCut.plan_id == plan.id, col(PieceCut.voided).is_(False))
    cuts = {str(cut.id): cut.piece_id for cut in session.exec(standing)}
    added = (
        select(Change.row_key, func.min(Event.number))
        .join(Event, col(Change.event_id) == col(Event.id))
        .where(Change.table_name == "cut", col(Change.row_key).in_(list(cuts)))
        .group_by(col(Change.row_key))
    )
    return {cuts[key]: number for key, number in session.exec(added)}
