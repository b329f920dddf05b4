"""Taking a deed back: its opposite is done and put on record; nothing is ever deleted."""

import uuid
from collections.abc import Iterable

from sqlmodel import Session, col, select

from stashkeeper.catalogue.columns import End, now
from stashkeeper.catalogue.history import (
    ChangedRow,
    Deed,
    PastDeed,
    last_undoable,
    past_deeds,
    undone_events,
)
from stashkeeper.catalogue.snapshots import (
    RECORDED,
    key_of,
    references,
    restored,
    row_at,
    snapshot,
    table_name_of,
)
from stashkeeper.catalogue.tables import Change, Event, Measurement, Piece, Reading, Row
from stashkeeper.errors import CannotUndoError


def undo(deed: Deed, event_id: uuid.UUID | None = None) -> PastDeed:
    """Take back a deed, the last one unless another is named; return the deed taken back.

    Rows it changed become as they were; pieces it added end as entered by mistake; fabrics,
    places, regions and readings it added are voided. Their codes are never given out again.
    Photos stay on record, for they are true whatever was done with them. An undoing can be undone.

    Raises:
        CannotUndoError: there is nothing to undo, it is undone already, or something later was
            built on it; nothing was changed.
    """
    target = last_undoable(deed.session) if event_id is None else _named(deed.session, event_id)
    if target is None:
        raise CannotUndoError("There is nothing to undo.", "Everything stays as it is.")
    if target.undone:
        raise CannotUndoError(
            f"{_quoted(target)} has been undone already.", "Look at the history for what followed."
        )
    for changed in target.rows:
        _must_be_last(deed.session, target, changed)
    with deed.session.begin_nested():
        for changed in target.rows:
            _take_back(deed, changed)
        for changed in target.rows:
            _must_hang_together(deed.session, target, changed)
    deed.undoes = target.id
    deed.summary = _opposite(target.summary)
    return target


def _opposite(summary: str) -> str:
    """Return the sentence for taking a deed back, or for doing it again."""
    for prefix, other in (("Took back: ", "Did again: "), ("Did again: ", "Took back: ")):
        if summary.startswith(prefix):
            return other + summary.removeprefix(prefix)
    return f"Took back: {summary}"


def _named(session: Session, event_id: uuid.UUID) -> PastDeed:
    event = session.get(Event, event_id)
    if event is None:
        raise CannotUndoError("No such deed is on record.", "Look at the history for those there.")
    return past_deeds(session, [event])[0]


def _must_be_last(session: Session, target: PastDeed, changed: ChangedRow) -> None:
    """Refuse where a deed that still stands touched the row later, or the row is not as left."""
    later = _deeds_on(session, changed.table, changed.key, after=target.number)
    undone = undone_events(session)
    standing = [event for event in later if event.id not in undone and event.undoes is None]
    row = row_at(session, changed.table, changed.key)
    if row is None or standing or not _is_as_left(row, changed):
        raise _built_on(target, [*standing, *later])


def _is_as_left(row: Row, changed: ChangedRow) -> bool:
    """Compare the columns the record knows; a table may have gained some since."""
    plain = snapshot(row)
    return all(plain[name] == left for name, left in changed.after.items() if name in plain)


def _must_hang_together(session: Session, target: PastDeed, changed: ChangedRow) -> None:
    """Refuse where a standing row now refers to one that is gone."""
    row = row_at(session, changed.table, changed.key)
    assert row is not None, "a row of the record is never deleted"
    if _gone(row):
        broken = _dependents(session, changed.table, changed.key)
    else:
        broken = [place for place in _named_by(row) if _gone(row_at(session, *place))]
    for table, key in broken:
        raise _built_on(target, _deeds_on(session, table, key))


def _take_back(deed: Deed, changed: ChangedRow) -> None:
    row = row_at(deed.session, changed.table, changed.key)
    assert row is not None, "a row of the record is never deleted"
    if changed.before is not None:
        deed.change(row, **restored(changed.table, changed.before))
    elif isinstance(row, Piece):
        deed.change(row, ended_how=End.MISTAKE, ended_at=now())
    elif hasattr(row, "voided"):
        deed.change(row, voided=True)


def _named_by(row: Row) -> list[tuple[str, str]]:
    """Return the rows that a row refers to: table and key of each."""
    named = [(other, getattr(row, column)) for column, other in references(table_name_of(row))]
    return [(other, str(key)) for other, key in named if key is not None]


def _dependents(session: Session, table: str, key: str) -> list[tuple[str, str]]:
    """Return the rows still standing that refer to a row: table and key of each."""
    found: list[Row] = []
    for name, kind in RECORDED.items():
        for column, other in references(name):
            if other == table:
                named = getattr(kind, column) == uuid.UUID(key)
                found.extend(session.exec(select(kind).where(named)))
    if table == "region":
        found.extend(_readings_of_region(session, uuid.UUID(key)))
    return [(table_name_of(row), key_of(row)) for row in found if not _gone(row)]


def _readings_of_region(session: Session, region_id: uuid.UUID) -> Iterable[Reading]:
    measured = select(Measurement.id).where(col(Measurement.region_id) == region_id)
    return session.exec(select(Reading).where(col(Reading.measurement_id).in_(measured)))


def _gone(row: Row | None) -> bool:
    if isinstance(row, Piece):
        return row.ended_how is End.MISTAKE
    return bool(getattr(row, "voided", False))


def _deeds_on(session: Session, table: str, key: str, after: int = 0) -> list[Event]:
    """Return the deeds that touched a row after deed number `after`, newest first."""
    touched = select(Change.event_id).where(
        col(Change.table_name) == table, col(Change.row_key) == key
    )
    later = select(Event).where(col(Event.id).in_(touched), col(Event.number) > after)
    return list(session.exec(later.order_by(col(Event.number).desc())))


def _built_on(target: PastDeed, later: Iterable[Event]) -> CannotUndoError:
    newest = next(iter(later), None)
    what = "something else" if newest is None else _quoted(newest)
    return CannotUndoError(
        f"{_quoted(target)} cannot be undone, because {what} came after it and builds on it.",
        "Undo that first, or change the piece by hand.",
    )


def _quoted(deed: PastDeed | Event) -> str:
    return f"“{deed.summary}” ({deed.at.astimezone():%d %b %Y, %H:%M})"
