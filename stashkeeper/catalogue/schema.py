"""Which version of the tables a database holds, and bringing it up to date.

The version is read with one SELECT; Alembic is loaded only where something has to be done.
"""

import sqlite3
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, Engine, inspect, text

from stashkeeper.errors import CannotWriteError, NewerStashError, StashUnavailableError

HEAD: Final = "0003"
"""The version of the tables this Stashkeeper works with; versions sort as text."""

MIGRATIONS: Final = Path(__file__).parent / "migrations"


def version_of(connection: Connection) -> str | None:
    """Return the version of the tables in a database, or None where there are none yet.

    Raises:
        StashUnavailableError: the database holds something else than a stash.
    """
    tables = inspect(connection).get_table_names()
    if "alembic_version" in tables:
        version = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        return None if version is None else str(version)
    if tables:
        raise StashUnavailableError(
            "The database holds something, but no stash.",
            "Name another database or file for the stash; nothing was changed in this one.",
        )
    return None


def must_not_be_newer(found: str | None) -> None:
    """Refuse a version this Stashkeeper does not know.

    Raises:
        NewerStashError: a newer Stashkeeper wrote the database.
    """
    if found is not None and found > HEAD:
        raise NewerStashError(
            f"This stash was written by a newer Stashkeeper (tables {found}; this one knows "
            f"{HEAD}), and was left untouched.",
            "Install the newest Stashkeeper: `pip install --upgrade stashkeeper`.",
        )


def must_be_current(found: str | None) -> None:
    """Refuse any version but ours, where bringing up to date is not ours to do.

    Raises:
        NewerStashError: a newer Stashkeeper wrote the database.
        StashUnavailableError: there are no tables yet, or older ones.
    """
    must_not_be_newer(found)
    if found is None:
        raise StashUnavailableError(
            "The database holds no stash yet.", "Set it up with `stashkeeper migrate`."
        )
    if found != HEAD:
        raise StashUnavailableError(
            f"The stash has to be brought up to date first (tables {found}, needed {HEAD}).",
            "Make a backup of the database, then run `stashkeeper migrate`.",
        )


def copy_before(file: Path, folder: Path, found: str | None) -> Path | None:
    """Copy a SQLite stash into `folder` before it is brought up to date; None where it is empty.

    The copy is named for the version of its tables and the moment, and never overwritten.

    Raises:
        CannotWriteError: the copy cannot be made, so nothing was changed.
    """
    if found is None:
        return None
    moment = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    copy = folder / f"{file.stem}-tables-{found}-{moment}.db"
    unfinished = copy.with_suffix(".part")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(unfinished)) as to:
            source.backup(to)
        unfinished.rename(copy)
    except (OSError, sqlite3.Error) as fault:
        raise CannotWriteError(
            f"No copy of the stash could be made in “{folder}”, so it was not brought up to date.",
            "Make room there, or make the folder writable, and try again.",
        ) from fault
    return copy


def upgrade_sqlite(engine: Engine) -> None:
    """Bring a SQLite stash up to date as one transaction; another program may be doing the same.

    Foreign keys are off meanwhile: with them on, rebuilding a table deletes the rows that refer
    to it. They are checked before anything is kept.

    Raises:
        StashUnavailableError: rows would be left that refer to nothing; nothing was changed.
    """
    with engine.connect() as connection:
        raw = connection.connection.driver_connection
        assert isinstance(raw, sqlite3.Connection)
        _write_ahead(raw)
        raw.execute("PRAGMA foreign_keys = OFF")
        try:
            with connection.begin():
                upgrade(connection)
                _must_be_whole(connection)
        finally:
            raw.execute("PRAGMA foreign_keys = ON")


def upgrade(connection: Connection) -> None:
    """Bring the tables up to date inside the transaction of `connection`.

    Raises:
        NewerStashError: a newer Stashkeeper wrote the database.
    """
    found = version_of(connection)
    must_not_be_newer(found)
    if found == HEAD:
        return
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _write_ahead(raw: sqlite3.Connection) -> None:
    """Let readers read while one writes. SQLite does not wait by itself for this switch."""
    for _ in range(50):
        try:
            raw.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                raise
            time.sleep(0.1)
        else:
            return


def _must_be_whole(connection: Connection) -> None:
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise StashUnavailableError(
            "The stash could not be brought up to date: some of its rows refer to missing ones.",
            "Nothing was changed. Please report this, with the copy in the `copies` folder.",
        )
