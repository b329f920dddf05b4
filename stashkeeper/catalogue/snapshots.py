"""A row as plain JSON, and back again: what the record of deeds keeps before and after."""

import uuid
from collections.abc import Iterator
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Table, Uuid
from sqlalchemy.engine.default import DefaultDialect
from sqlalchemy.types import TypeDecorator
from sqlmodel import Session

from stashkeeper.catalogue.columns import MomentColumn
from stashkeeper.catalogue.plan_tables import PieceCut, Plan
from stashkeeper.catalogue.project_tables import Project, Reservation
from stashkeeper.catalogue.tables import (
    Fabric,
    Photo,
    Piece,
    Place,
    Reading,
    Region,
    Row,
    Threshold,
)

RECORDED: Final[dict[str, type[Row]]] = {
    "fabric": Fabric,
    "piece": Piece,
    "place": Place,
    "photo": Photo,
    "region": Region,
    "reading": Reading,
    "threshold": Threshold,
    "plan": Plan,
    "cut": PieceCut,
    "project": Project,
    "reservation": Reservation,
}
"""The tables whose rows the record of deeds follows. Measurements and factors go with a reading,
the pieces of a plan with the plan."""

# `colour_family` is a reading's own, and follows only in a fabric.
_FOLLOWS: Final = {
    "fabric": {"version", "searchable", "reading_id", "region_id", "colour_family"},
    "piece": {"version", "searchable"},
    "place": {"version"},
    "threshold": {"version"},
    "project": {"version"},
}
"""Columns that follow from other columns or rows, so undo never restores them."""

Plain = dict[str, Any]
_DIALECT = DefaultDialect()


def table_name_of(row: Row) -> str:
    """Return the name of the table a row belongs to."""
    return _table(type(row)).name


def key_of(row: Row) -> str:
    """Return a row's key as text."""
    (key,) = _table(type(row)).primary_key.columns
    return str(getattr(row, key.name))


def snapshot(row: Row) -> Plain:
    """Return a row as plain JSON, less the columns that follow from others."""
    return {name: _plain(kind, getattr(row, name)) for name, kind in _kept(type(row))}


def restored(table: str, plain: Plain) -> dict[str, Any]:
    """Return the column values of a snapshot; a column that has come since is left alone."""
    kept = _kept(RECORDED[table])
    return {name: _value(kind, plain[name]) for name, kind in kept if name in plain}


def row_at(session: Session, table: str, key: str) -> Row | None:
    """Return the row of a table by its key as text, as it stands now in the database."""
    kind = RECORDED[table]
    (column,) = _table(kind).primary_key.columns
    value = uuid.UUID(key) if isinstance(column.type, Uuid) else key
    return session.get(kind, value, populate_existing=True)


def references(table: str) -> list[tuple[str, str]]:
    """Return the columns of a recorded table that name rows of recorded tables: column, table."""
    return [
        (key.parent.name, key.column.table.name)
        for key in _table(RECORDED[table]).foreign_keys
        if key.column.table.name in RECORDED and key.parent.name not in _FOLLOWS.get(table, ())
    ]


def _table(kind: type[Row]) -> Table:
    table = getattr(kind, "__table__")  # noqa: B009  (SQLModel sets it; mypy does not know it)
    assert isinstance(table, Table)
    return table


def _kept(kind: type[Row]) -> Iterator[tuple[str, Any]]:
    table = _table(kind)
    for column in table.columns:
        if column.name not in _FOLLOWS.get(table.name, ()):
            yield column.name, column.type


def _plain(kind: Any, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(kind, MomentColumn):
        return value.isoformat()
    if isinstance(kind, TypeDecorator):
        return kind.process_bind_param(value, _DIALECT)
    return str(value) if isinstance(kind, Uuid) else value


def _value(kind: Any, plain: Any) -> Any:
    if plain is None:
        return None
    if isinstance(kind, MomentColumn):
        return datetime.fromisoformat(plain)
    if isinstance(kind, TypeDecorator):
        return kind.process_result_value(plain, _DIALECT)
    return uuid.UUID(plain) if isinstance(kind, Uuid) else plain
