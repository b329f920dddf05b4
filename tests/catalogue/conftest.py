"""Stashes to test on: the same tests run on SQLite and on a real PostgreSQL server."""

import shutil
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import URL

from stashkeeper.catalogue.database import Catalogue, migrate, open_catalogue, sqlite_url
from tests.catalogue import server

TEMPLATE = "template_stash"


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return an empty SQLite stash to copy."""
    file = tmp_path_factory.mktemp("template") / "stash.db"
    open_catalogue(sqlite_url(file), None).close()
    return file


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Path]:
    """Return the socket folder of a running PostgreSQL server that holds an empty stash to copy."""
    with server.running() as folder:
        make_database(folder, TEMPLATE)
        migrate(postgresql_url(folder, TEMPLATE), None)
        yield folder


def postgresql_url(folder: Path, database: str) -> str:
    """Return the URL of a database of the server."""
    query = {"host": str(folder)}
    url = URL.create("postgresql", username="postgres", database=database, query=query)
    return url.render_as_string()


def make_database(folder: Path, name: str, template: str = "template0") -> None:
    """Make a database of the server as a copy of another."""
    address = f"host={folder} user=postgres dbname=postgres"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"'.encode())


def drop_database(folder: Path, name: str) -> None:
    """Drop a database of the server; copies of a hundred tests would fill the disk."""
    address = f"host={folder} user=postgres dbname=postgres"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f'DROP DATABASE "{name}" WITH (FORCE)'.encode())


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Return the URL of an empty stash, once on each database."""
    if request.param == "sqlite":
        file = tmp_path / "stash.db"
        shutil.copy(request.getfixturevalue("sqlite_template"), file)
        yield sqlite_url(file)
        return
    folder: Path = request.getfixturevalue("postgresql")
    name = f"stash_{uuid.uuid4().hex}"
    make_database(folder, name, TEMPLATE)
    yield postgresql_url(folder, name)
    drop_database(folder, name)


@pytest.fixture
def catalogue(url: str, tmp_path: Path) -> Iterator[Catalogue]:
    """Return an open, empty stash, once on each database."""
    opened = open_catalogue(url, tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def sqlite_stash(tmp_path: Path, sqlite_template: Path) -> Iterator[Catalogue]:
    """Return an open, empty stash on SQLite alone."""
    file = tmp_path / "stash.db"
    shutil.copy(sqlite_template, file)
    opened = open_catalogue(sqlite_url(file), tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def fresh_stash(tmp_path: Path, sqlite_template: Path) -> Iterator[Callable[[], Catalogue]]:
    """Return a maker of empty stashes on SQLite, for tests that need many."""
    made: list[Catalogue] = []

    def make() -> Catalogue:
        file = tmp_path / f"{uuid.uuid4().hex}.db"
        shutil.copy(sqlite_template, file)
        made.append(open_catalogue(sqlite_url(file), tmp_path))
        return made[-1]

    yield make
    for stash in made:
        stash.close()
