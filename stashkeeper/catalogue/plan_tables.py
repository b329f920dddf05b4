"""The tables of cutting plans: the plan, how each of its pieces is cut, and what was really cut.

A plan never changes. Whether a piece is spoken for follows from these rows and is never stored.
"""

import uuid
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, Text
from sqlmodel import Field

from stashkeeper.catalogue.columns import MomentColumn, new_key, now
from stashkeeper.catalogue.tables import Row


class Plan(Row, table=True):
    """A proven plan; immutable. `number` is what people call it by, `goal` what it spares.

    `record` holds what was asked for, as the cutting room writes it down; `asked` says it in words.
    """

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    number: int = Field(sa_type=BigInteger, unique=True)
    goal: str = Field(sa_type=Text)
    asked: str = Field(sa_type=Text)
    record: dict[str, Any] = Field(sa_type=JSON)
    voided: bool = False
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class PlanPiece(Row, table=True):
    """How one piece of a plan is cut, and the version the piece had then; immutable."""

    __tablename__ = "plan_piece"

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    plan_id: uuid.UUID = Field(foreign_key="plan.id", index=True)
    piece_id: uuid.UUID = Field(foreign_key="piece.id", index=True)
    piece_version: int
    position: int
    record: dict[str, Any] = Field(sa_type=JSON)


class PieceCut(Row, table=True):
    """That a piece of a plan was cut, and how it came out; taken back, it is voided."""

    __tablename__ = "cut"

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    plan_id: uuid.UUID = Field(foreign_key="plan.id", index=True)
    piece_id: uuid.UUID = Field(foreign_key="piece.id", index=True)
    outcome: dict[str, Any] = Field(sa_type=JSON)
    voided: bool = False
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)
