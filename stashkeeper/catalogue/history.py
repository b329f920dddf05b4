"""The record of deeds: who did what and when, with every row before and after. Only added to."""

import uuid
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, func, update
from sqlmodel import Session, col, or_, select

from stashkeeper.catalogue import derived
from stashkeeper.catalogue.codes import next_number
from stashkeeper.catalogue.columns import now
from stashkeeper.catalogue.database import Catalogue, transaction
from stashkeeper.catalogue.project_tables import Reservation
from stashkeeper.catalogue.snapshots import RECORDED, Plain, key_of, snapshot, table_name_of
from stashkeeper.catalogue.tables import Change, Event, Fabric, Piece, Reading, Region, Row
from stashkeeper.errors import ChangedMeanwhileError, NotFoundError

RowT = TypeVar("RowT", bound=Row)


@dataclass(frozen=True, slots=True)
class ChangedRow:
    """One row a deed touched: its table, key, and plain columns before (None: added) and after."""

    table: str
    key: str
    before: Plain | None
    after: Plain


@dataclass(frozen=True, slots=True)
class PastDeed:
    """A deed on record.

    Attributes:
        id: names it, for undoing it.
        number: its place in the order of all deeds.
        who: the person, as handed in; may be empty.
        at: when, in UTC.
        deed: one short word, as `add`.
        summary: one sentence.
        undoes: the deed it took back, if it did.
        undone: whether it has been taken back, and that not taken back again.
        rows: what it touched.
    """

    id: uuid.UUID
    number: int
    who: str
    at: datetime
    deed: str
    summary: str
    undoes: uuid.UUID | None
    undone: bool
    rows: tuple[ChangedRow, ...]


class Deed:
    """One deed in the doing: every change goes through it, so that it can be undone.

    Attributes:
        session: of the running transaction.
        word: one short word for the record, as `add`.
        who: who does it.
        summary: one sentence for the record; set it before the deed ends.
        undoes: the deed it takes back, if it does.
    """

    def __init__(self, session: Session, word: str, who: str = "") -> None:
        self.session = session
        self.word = word
        self.who = who
        self.summary = ""
        self.undoes: uuid.UUID | None = None
        self._before: dict[tuple[str, str], Plain | None] = {}
        self._rows: dict[tuple[str, str], Row] = {}
        self._fabrics: set[uuid.UUID] = set()
        self._kind: type[Row] | None = None

    def add(self, row: RowT) -> RowT:
        """Add a row; it is on record unless it belongs to another row's record."""
        if isinstance(row, Fabric | Piece):
            derived.follow(row)
        if type(row) is not self._kind:
            # Rows are written in the order they were added: each after those it refers to.
            self.session.flush()
            self._kind = type(row)
        self.session.add(row)
        if type(row) in RECORDED.values():
            place = table_name_of(row), key_of(row)
            self._before[place] = None
            self._rows[place] = row
        self._fabric_follows(row)
        return row

    def change(self, row: Row, expected_version: int | None = None, **values: Any) -> bool:
        """Change columns of a row; return whether any of them really changed.

        Args:
            row: as read in this deed.
            expected_version: the version its person saw; the row's own where left out.
            values: column names and their new values.

        Raises:
            ChangedMeanwhileError: the row has another version by now; nothing was changed.
        """
        self.session.flush()
        version = getattr(row, "version", None) if expected_version is None else expected_version
        if version != getattr(row, "version", None):
            raise _changed_meanwhile(row)
        before = snapshot(row)
        if all(getattr(row, name) == value for name, value in values.items()):
            return False
        if version is not None:
            self._claim(row, version)
        for name, value in values.items():
            setattr(row, name, value)
        if isinstance(row, Fabric | Piece):
            derived.follow(row)
        self.session.flush()
        place = table_name_of(row), key_of(row)
        self._before.setdefault(place, before)
        self._rows[place] = row
        self._fabric_follows(row)
        return True

    def finish(self) -> None:
        """Write the deed into the record; a deed that changed nothing leaves none."""
        self.session.flush()
        derived.refresh_fabrics(self.session, self._fabrics)
        changes = [
            (place, before, after)
            for place, before in self._before.items()
            if (after := snapshot(self._rows[place])) != before
        ]
        if not changes:
            return
        event = Event(
            number=next_number(self.session, "event"),
            who=self.who,
            at=now(),
            deed=self.word,
            summary=self.summary or self.word,
            undoes=self.undoes,
        )
        self.session.add(event)
        self.session.flush()
        for (table, key), before, after in changes:
            self.session.add(
                Change(event_id=event.id, table_name=table, row_key=key, before=before, after=after)
            )
        self.session.flush()

    def _claim(self, row: Row, version: int) -> None:
        """Move the row's version on, which only one deed can do from the same version."""
        kind: Any = type(row)
        (key,) = kind.__table__.primary_key.columns
        statement = (
            update(kind)
            .where(key == getattr(row, key.name), kind.version == version)
            .values(version=version + 1)
            .execution_options(synchronize_session=False)
        )
        if self.session.connection().execute(statement).rowcount != 1:
            raise _changed_meanwhile(row)
        self.session.refresh(row)

    def _fabric_follows(self, row: Row) -> None:
        if isinstance(row, Reading | Region):
            self._fabrics.add(row.fabric_id)


@contextmanager
def deed(catalogue: Catalogue, word: str, who: str = "") -> Iterator[Deed]:
    """Open one deed: a transaction with its entry in the record, or nothing at all on an error.

    Args:
        catalogue: the open stash.
        word: one short word for the record, as `add`.
        who: who does it; may be empty.

    Raises: as `database.transaction`.
    """
    with transaction(catalogue) as session:
        doing = Deed(session, word, who)
        yield doing
        doing.finish()


def recent(session: Session, limit: int = 20) -> list[PastDeed]:
    """Return the newest deeds, newest first."""
    newest = select(Event).order_by(col(Event.number).desc()).limit(limit)
    return past_deeds(session, list(session.exec(newest)))


def newest_number(session: Session) -> int:
    """Return the number of the newest deed: as long as it stays, so does all that is on record."""
    return session.exec(select(func.max(Event.number))).one() or 0


def history_of(session: Session, piece: Piece) -> list[PastDeed]:
    """Return every deed that touched a piece, its fabric, its photos and readings, its choosing."""
    rows = [_is_row("piece", piece.id), _is_row("fabric", piece.fabric_id)]
    for table, ids in (
        ("reading", select(Reading.id).where(col(Reading.fabric_id) == piece.fabric_id)),
        ("region", select(Region.id).where(col(Region.fabric_id) == piece.fabric_id)),
        ("reservation", select(Reservation.id).where(col(Reservation.piece_id) == piece.id)),
    ):
        rows.extend(_is_row(table, key) for key in session.exec(ids))
    touched = select(Change.event_id).where(or_(*rows))
    events = select(Event).where(col(Event.id).in_(touched)).order_by(col(Event.number))
    return past_deeds(session, list(session.exec(events)))


def last_undoable(session: Session) -> PastDeed | None:
    """Return the newest deed that is no undoing and has not been undone, or None."""
    undone = undone_events(session)
    newest = (
        select(Event)
        .where(col(Event.undoes).is_(None), col(Event.id).not_in(undone))
        .order_by(col(Event.number).desc())
        .limit(1)
    )
    found = past_deeds(session, list(session.exec(newest)))
    return found[0] if found else None


def event_numbered(session: Session, number: int) -> uuid.UUID:
    """Return the key of the deed with a number.

    Raises:
        NotFoundError: there is none.
    """
    numbered = select(Event.id).where(col(Event.number) == number)
    found = session.exec(numbered).first() if 0 < number < 2**63 else None
    if found is None:
        raise NotFoundError(
            f"No deed has the number {number}.",
            "`stashkeeper history CODE` shows the numbers of what was done.",
            on_page="Look at the history of the piece for what was done.",
        )
    return found


def undone_events(session: Session) -> set[uuid.UUID]:
    """Return the deeds that are taken back now: undone, and the undoing not undone itself."""
    pairs = select(Event.id, Event.undoes).where(col(Event.undoes).is_not(None))
    undone: set[uuid.UUID] = set()
    # From the newest on: whether an undoing holds is settled before what it takes back.
    for event_id, target in session.exec(pairs.order_by(col(Event.number).desc())):
        if event_id not in undone and target is not None:
            undone.add(target)
    return undone


def past_deeds(session: Session, events: Collection[Event]) -> list[PastDeed]:
    """Return events with their rows, in the order given."""
    undone = undone_events(session)
    rows: dict[uuid.UUID, list[ChangedRow]] = {event.id: [] for event in events}
    wanted = select(Change).where(col(Change.event_id).in_(rows))
    for change in session.exec(wanted.order_by(col(Change.table_name), col(Change.row_key))):
        rows[change.event_id].append(
            ChangedRow(change.table_name, change.row_key, change.before, change.after)
        )
    return [
        PastDeed(
            event.id,
            event.number,
            event.who,
            event.at,
            event.deed,
            event.summary,
            event.undoes,
            event.id in undone,
            tuple(rows[event.id]),
        )
        for event in events
    ]


def _is_row(table: str, key: uuid.UUID) -> ColumnElement[bool]:
    return (col(Change.table_name) == table) & (col(Change.row_key) == str(key))


def _changed_meanwhile(row: Row) -> ChangedMeanwhileError:
    name = getattr(row, "code", None) or getattr(row, "name", None) or table_name_of(row)
    return ChangedMeanwhileError(
        f"“{name}” was changed by somebody else after it was read; nothing was overwritten.",
        "Look at it again, then repeat the change if it is still wanted.",
    )
