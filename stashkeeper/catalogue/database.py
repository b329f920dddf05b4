"""Opening a stash, and the transactions in which it is read and changed.

One deed is one transaction, and one deed is written at a time: SQLite by `BEGIN IMMEDIATE`,
PostgreSQL by an advisory lock. So a deed that reads before it writes never loses another's work,
and codes and events are numbered without gaps, on both databases alike.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
from sqlmodel import Session, create_engine

from stashkeeper.catalogue import schema
from stashkeeper.catalogue.faults import in_plain_words
from stashkeeper.errors import (
    BadSettingError,
    CannotWriteError,
    StashkeeperError,
    StashUnavailableError,
    quoted,
)

SECONDS_TO_WAIT: Final = 30
"""How long a deed waits for the one before it."""


@dataclass(frozen=True, slots=True)
class Catalogue:
    """An open stash.

    Attributes:
        engine: the connection pool.
        home: the stash folder, where photos and copies lie; None where there is none.
        read_only: whether it can only be read (a read-only folder or disk).
    """

    engine: Engine
    home: Path | None
    read_only: bool = False

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def sqlite_url(file: Path) -> str:
    """Return the database URL of a SQLite file, which may hold any sign."""
    return URL.create("sqlite", database=str(file.absolute())).render_as_string()


def open_catalogue(url: str, home: Path | None) -> Catalogue:
    """Open the stash at a database URL (`sqlite:///…` or `postgresql://…`).

    A SQLite stash is made where there is none, and brought up to date after an automatic copy. A
    stash in a read-only place opens for reading.

    Raises:
        BadSettingError: the URL is none, or of a database this program does not speak.
        NewerStashError: a newer Stashkeeper wrote it; it is left untouched.
        StashUnavailableError: it cannot be opened, is damaged, or needs bringing up to date first.
        CannotWriteError: it has to be made or brought up to date, and cannot be written.
    """
    address = _address(url)
    if address.get_backend_name() == "sqlite":
        return _open_sqlite(Path(address.database or ""), home)
    engine = _postgresql_engine(address)
    try:
        with in_plain_words(), engine.connect() as connection:
            schema.must_be_current(schema.version_of(connection))
    except BaseException:
        engine.dispose()
        raise
    return Catalogue(engine, home)


def migrate(url: str, home: Path | None) -> Path | None:
    """Bring a stash up to date by command; return the copy made of a SQLite one, if any.

    Raises: as `open_catalogue`.
    """
    address = _address(url)
    if address.get_backend_name() == "sqlite":
        file = Path(address.database or "")
        catalogue, copy = _open_for_writing(file, home)
        catalogue.close()
        return copy
    engine = _postgresql_engine(address)
    try:
        with in_plain_words(), engine.begin() as connection:
            connection.execute(text(_ONE_WRITER))
            schema.upgrade(connection)
    finally:
        engine.dispose()
    return None


@contextmanager
def reading(catalogue: Catalogue) -> Iterator[Session]:
    """Open a session that sees one moment of the stash and changes nothing."""
    engine = catalogue.engine.execution_options(stash_begin="BEGIN")
    with in_plain_words(), Session(engine, autoflush=False) as session:
        if engine.dialect.name == "postgresql":
            session.connection().execute(
                text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            )
        yield session
        session.rollback()


@contextmanager
def transaction(catalogue: Catalogue) -> Iterator[Session]:
    """Open the session of one deed: kept as a whole on leaving, or, on an error, not at all.

    Rows stay usable afterwards.

    Raises:
        CannotWriteError: the stash is read-only, or the disk full.
        StashUnavailableError: another program kept it busy for too long, or it went away.
    """
    if catalogue.read_only:
        raise CannotWriteError(
            "The stash is read-only here, so nothing was changed.",
            "Make its folder and its files writable, or work on a copy elsewhere.",
        )
    with (
        in_plain_words(),
        Session(catalogue.engine, expire_on_commit=False) as session,
        session.begin(),
    ):
        if catalogue.engine.dialect.name == "postgresql":
            session.connection().execute(text(_ONE_WRITER))
        yield session


_ONE_WRITER = "SELECT pg_advisory_xact_lock(5741)"


def _address(url: str) -> URL:
    try:
        address = make_url(url)
    except ArgumentError:
        raise BadSettingError(
            f"{quoted(url.rsplit('@', maxsplit=1)[-1])} is not the address of a database.",
            "Write it as `sqlite:////folder/stash.db` or `postgresql://user@host/name`.",
        ) from None
    if address.drivername in {"postgres", "postgresql", "postgresql+psycopg"}:
        return address.set(drivername="postgresql+psycopg")
    if address.drivername in {"sqlite", "sqlite+pysqlite"} and address.database:
        return address
    raise BadSettingError(
        f"Stashkeeper cannot keep a stash in “{address.render_as_string()}”.",
        "Use a SQLite file (`sqlite:////folder/stash.db`) or PostgreSQL (`postgresql://…`).",
    )


def _postgresql_engine(address: URL) -> Engine:
    try:
        return create_engine(
            address,
            pool_pre_ping=True,
            connect_args={
                "connect_timeout": 10,
                "options": f"-c lock_timeout={SECONDS_TO_WAIT}s -c timezone=UTC",
            },
        )
    except (ModuleNotFoundError, NoSuchModuleError):
        raise StashUnavailableError(
            "The part that speaks to PostgreSQL is not installed.",
            "Install it with `pip install 'stashkeeper[postgres]'`.",
        ) from None


def _open_sqlite(file: Path, home: Path | None) -> Catalogue:
    try:
        return _open_for_writing(file, home)[0]
    except (CannotWriteError, StashUnavailableError):
        if not file.exists():
            raise
        catalogue = _open_for_reading(file, home)
        if catalogue is None:
            raise
        return catalogue


def _open_for_writing(file: Path, home: Path | None) -> tuple[Catalogue, Path | None]:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise CannotWriteError(
            f"The folder “{file.parent}” for the stash cannot be made ({fault.strerror}).",
            "Name a folder that you may write to.",
        ) from fault
    engine = _sqlite_engine(str(file.absolute()), uri=False)
    try:
        with in_plain_words():
            copy = _made_ready(engine, file, home)
    except BaseException:
        engine.dispose()
        raise
    return Catalogue(engine, home), copy


def _made_ready(engine: Engine, file: Path, home: Path | None) -> Path | None:
    """Bring the file up to date; return the copy made before, if any."""
    with engine.connect().execution_options(stash_begin="BEGIN") as connection:
        found = schema.version_of(connection)
    copy = None
    if found != schema.HEAD:
        schema.must_not_be_newer(found)
        copy = schema.copy_before(file, (home or file.parent) / "copies", found)
        schema.upgrade_sqlite(engine)
    return copy


def _open_for_reading(file: Path, home: Path | None) -> Catalogue | None:
    """Open a stash in a read-only place, or return None where that is not the trouble."""
    escaped = str(file.absolute()).replace("%", "%25").replace("?", "%3f").replace("#", "%23")
    waiting = file.with_name(file.name + "-wal")
    kept_aside = waiting.exists() and waiting.stat().st_size > 0
    for mode in ("mode=ro", "immutable=1"):
        if mode == "immutable=1" and kept_aside:
            return None
        engine = _sqlite_engine(f"file:{escaped}?{mode}", uri=True)
        try:
            with engine.connect().execution_options(stash_begin="BEGIN") as connection:
                schema.must_be_current(schema.version_of(connection))
        except DBAPIError:
            engine.dispose()
            continue
        except StashkeeperError:
            engine.dispose()
            raise
        return Catalogue(engine, home, read_only=True)
    return None


def _sqlite_engine(database: str, uri: bool) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=database, query={"uri": "true"} if uri else {}),
        connect_args={"timeout": SECONDS_TO_WAIT, "isolation_level": None},
    )
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {SECONDS_TO_WAIT * 1000}")
    connection.execute("PRAGMA foreign_keys = ON")


def _begin(connection: Connection) -> None:
    options = connection.get_execution_options()
    connection.exec_driver_sql(options.get("stash_begin", "BEGIN IMMEDIATE"))
