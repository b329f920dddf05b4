"""A stash comes up to date by itself, after a copy, and never goes where it cannot come back."""

import shutil
import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import psycopg
import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlmodel import create_engine

from stashkeeper.catalogue import schema
from stashkeeper.catalogue.database import Catalogue, migrate, open_catalogue, reading, sqlite_url
from stashkeeper.catalogue.tables import Row
from stashkeeper.errors import NewerStashError, StashUnavailableError
from tests.catalogue.conftest import make_database, postgresql_url
from tests.catalogue.made import add, codes


def test_migrations_make_exactly_the_tables_of_the_models(catalogue: Catalogue) -> None:
    # Alembic's own comparison is the outside check.
    with reading(catalogue) as session:
        context = MigrationContext.configure(
            session.connection(), opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, Row.metadata) == []


def test_the_version_in_the_program_is_the_newest_migration() -> None:
    config = Config()
    config.set_main_option("script_location", str(schema.MIGRATIONS))
    assert ScriptDirectory.from_config(config).get_heads() == [schema.HEAD]


def test_comparing_would_notice_a_missing_column(sqlite_stash: Catalogue) -> None:
    with sqlite_stash.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE piece DROP COLUMN notes")
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, Row.metadata) != []


def age(file: Path) -> None:
    """Make a stash look as an older program left it: no tables of today, an older version."""
    with sqlite3.connect(file) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0000'")
    connection.close()


def test_a_stash_is_copied_before_it_is_brought_up_to_date(
    sqlite_stash: Catalogue, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert add(sqlite_stash, "Blue dots") == ["A1"]
    sqlite_stash.close()
    age(tmp_path / "stash.db")
    # No step leads from 0000, which never was; that the copy comes first is what counts here.
    monkeypatch.setattr(schema, "upgrade_sqlite", lambda engine: None)
    open_catalogue(sqlite_url(tmp_path / "stash.db"), tmp_path).close()
    (copy,) = (tmp_path / "copies").glob("stash-tables-0000-*.db")
    with sqlite3.connect(copy) as connection:
        assert connection.execute("SELECT code FROM piece").fetchall() == [("A1",)]
    connection.close()


def test_a_failing_step_leaves_the_stash_as_it_was(sqlite_stash: Catalogue, tmp_path: Path) -> None:
    add(sqlite_stash, "Blue dots")
    sqlite_stash.close()
    file = tmp_path / "stash.db"
    age(file)
    with pytest.raises(Exception, match="0000"):
        open_catalogue(sqlite_url(file), tmp_path)
    with sqlite3.connect(file) as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == ("0000",)
        assert connection.execute("SELECT code FROM piece").fetchall() == [("A1",)]
    connection.close()


def test_a_stash_of_a_newer_program_is_left_untouched(
    sqlite_stash: Catalogue, tmp_path: Path
) -> None:
    sqlite_stash.close()
    file = tmp_path / "stash.db"
    with sqlite3.connect(file) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    before = file.read_bytes()
    with pytest.raises(NewerStashError, match="9999"):
        open_catalogue(sqlite_url(file), tmp_path)
    assert file.read_bytes() == before
    assert not (tmp_path / "copies").exists()


def test_postgresql_is_brought_up_to_date_by_command_only(postgresql: Path) -> None:
    make_database(postgresql, "by_command")
    url = postgresql_url(postgresql, "by_command")
    with pytest.raises(StashUnavailableError, match="stashkeeper migrate"):
        open_catalogue(url, None)
    migrate(url, None)
    migrate(url, None)
    stash = open_catalogue(url, None)
    assert add(stash, "Blue dots") == ["A1"]
    stash.close()


def test_postgresql_of_another_version_is_told(postgresql: Path) -> None:
    make_database(postgresql, "versions", "template_stash")
    url = postgresql_url(postgresql, "versions")
    for version, kind in (("9999", NewerStashError), ("0000", StashUnavailableError)):
        with psycopg.connect(f"host={postgresql} user=postgres dbname=versions") as connection:
            connection.execute("UPDATE alembic_version SET version_num = %s", [version])
        with pytest.raises(kind, match=version):
            open_catalogue(url, None)


def test_many_at_once_may_open_a_stash_that_is_not_there_yet(tmp_path: Path) -> None:
    url = sqlite_url(tmp_path / "new" / "stash.db")
    faults: list[BaseException] = []

    def opening() -> None:
        try:
            open_catalogue(url, tmp_path).close()
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=opening) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    stash = open_catalogue(url, tmp_path)
    assert codes(stash) == []
    stash.close()


def test_the_file_of_another_program_is_no_stash(tmp_path: Path) -> None:
    file = tmp_path / "other.db"
    with sqlite3.connect(file) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")
    connection.close()
    before = file.read_bytes()
    with pytest.raises(StashUnavailableError, match="no stash"):
        open_catalogue(sqlite_url(file), tmp_path)
    assert file.read_bytes() == before


def test_foreign_keys_are_whole_and_watched(sqlite_stash: Catalogue) -> None:
    add(sqlite_stash, "Blue dots")
    with sqlite_stash.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"


def test_opening_a_stash_that_is_up_to_date_loads_nothing_heavy(sqlite_stash: Catalogue) -> None:
    sqlite_stash.close()
    program = (
        "import sys\n"
        "from stashkeeper.catalogue import database, fabrics, photos, readings, shelf, undo\n"
        "database.open_catalogue(sys.argv[1], None).close()\n"
        "heavy = {'alembic', 'numpy', 'PIL', 'psycopg', 'colour'}\n"
        "print(sorted(heavy & {name.split('.')[0] for name in sys.modules}))\n"
    )
    url = str(sqlite_stash.engine.url)
    run = subprocess.run(
        [sys.executable, "-c", program, url], capture_output=True, text=True, check=False
    )
    assert run.stdout == "[]\n", run.stderr


def test_the_template_is_a_stash_by_itself(sqlite_template: Path, tmp_path: Path) -> None:
    shutil.copy(sqlite_template, tmp_path / "copy.db")
    engine = create_engine(sqlite_url(tmp_path / "copy.db"))
    with engine.connect() as connection:
        assert schema.version_of(connection) == schema.HEAD
    engine.dispose()
