"""The one place where a database's complaint becomes a sentence for a person."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from stashkeeper.errors import CannotWriteError, StashkeeperError, StashUnavailableError

_DISK_FULL = (
    "The disk is full, so the stash could not be written; it is as it was before.",
    "Free some space and try again.",
)
_READ_ONLY = (
    "The stash is read-only here, so nothing was changed.",
    "Make its folder and its files writable, or work on a copy elsewhere.",
)
_BUSY = (
    "The stash is busy: another program has been writing to it for too long.",
    "Wait for it to finish, then try again.",
)
_DAMAGED = (
    "The stash's database is damaged, or is not a stash at all.",
    "Nothing was changed. Put a backup or one of the copies in its `copies` folder in its place.",
)
_CANNOT_OPEN = (
    "The stash's database cannot be opened.",
    "Check that its folder exists and that you may read and write there.",
)
_NO_ANSWER = (
    "The database does not answer.",
    "Check that it is running and that its address, name and password are right.",
)


@contextmanager
def in_plain_words() -> Iterator[None]:
    """Turn what the database says inside into errors with a sentence and a next step.

    Raises:
        CannotWriteError: the disk is full, or the stash is read-only.
        StashUnavailableError: it is busy, damaged, or does not answer.
    """
    try:
        yield
    except (DBAPIError, sqlite3.Error) as fault:
        plain = _plain(fault)
        if plain is None:
            raise
        raise plain from fault
    except PoolTimeoutError as fault:
        raise StashUnavailableError(*_BUSY) from fault


def _plain(fault: Exception) -> StashkeeperError | None:
    cause = fault.orig if isinstance(fault, DBAPIError) else fault
    if isinstance(cause, sqlite3.Error):
        return _plain_sqlite(getattr(cause, "sqlite_errorcode", 0) & 0xFF)
    state = getattr(cause, "sqlstate", None)
    if state is None:
        return StashUnavailableError(*_NO_ANSWER) if isinstance(fault, OperationalError) else None
    return _plain_postgresql(str(state))


def _plain_sqlite(result: int) -> StashkeeperError | None:
    """Sort SQLite's primary result codes (sqlite.org/rescode.html)."""
    if result == sqlite3.SQLITE_FULL:
        return CannotWriteError(*_DISK_FULL)
    if result in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}:
        return CannotWriteError(*_READ_ONLY)
    if result in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return StashUnavailableError(*_BUSY)
    if result in {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}:
        return StashUnavailableError(*_DAMAGED)
    if result in {sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR}:
        return StashUnavailableError(*_CANNOT_OPEN)
    return None


def _plain_postgresql(state: str) -> StashkeeperError | None:
    """Sort PostgreSQL's SQLSTATE codes (its manual, appendix A)."""
    if state == "53100":
        return CannotWriteError(*_DISK_FULL)
    if state in {"25006", "42501"}:
        return CannotWriteError(*_READ_ONLY)
    if state in {"55P03", "40P01", "40001"}:
        return StashUnavailableError(*_BUSY)
    if state[:2] in {"08", "28", "3D", "53", "57"}:
        return StashUnavailableError(*_NO_ANSWER)
    if state.startswith("XX"):
        return StashUnavailableError(*_DAMAGED)
    return None
