"""The tables of projects: what quilt it is to be, and the pieces chosen for it.

That a piece is reserved follows from these rows and is never stored with the piece.
"""

import uuid
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, Text
from sqlmodel import Field

from stashkeeper.catalogue.columns import MomentColumn, new_key, now
from stashkeeper.catalogue.tables import Row


class Project(Row, table=True):
    """A quilt to be, or one that is done. `folded` is its name for comparing.

    `layout` is the text of a layout file; `record` holds what becomes of it (size, turns, sashing,
    borders, methods, wishes for roles) as plain values. Once `ended_at` is set, it reserves
    nothing.
    """

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    name: str = Field(sa_type=Text)
    folded: str = Field(sa_type=Text, index=True)
    layout: str = Field(sa_type=Text)
    record: dict[str, Any] = Field(sa_type=JSON)
    ended_at: datetime | None = Field(default=None, sa_type=MomentColumn)
    voided: bool = False
    version: int = 1
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Reservation(Row, table=True):
    """That a piece is chosen for a role of a project; no longer chosen, it is voided."""

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    project_id: uuid.UUID = Field(foreign_key="project.id", index=True)
    piece_id: uuid.UUID = Field(foreign_key="piece.id", index=True)
    role: str = Field(sa_type=Text)
    set_number: int | None = None
    position: int
    voided: bool = False
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)
