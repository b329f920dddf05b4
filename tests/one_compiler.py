"""SQL is put into words once for all the stashes of a run, as it is once for all of a program.

A program opens one stash, a run of tests a thousand, and SQLAlchemy writes every statement anew for
each: more than a third of what a test of a command or of a page took.
"""

import functools
from typing import Any

import sqlmodel
from sqlalchemy import Engine, make_url

from stashkeeper.catalogue import database


@functools.cache
def share_it() -> None:
    """Let every SQLite stash opened from now on use what was written for the ones before it."""
    first = sqlmodel.create_engine("sqlite://")
    first.connect().close()  # a dialect is ready once it has met its database
    first.dispose()
    written: dict[Any, Any] = {}

    def create_engine(url: Any, **words: Any) -> Engine:
        if make_url(url).get_backend_name() != "sqlite":
            return sqlmodel.create_engine(url, **words)
        engine = sqlmodel.create_engine(url, execution_options={"compiled_cache": written}, **words)
        engine.dialect = first.dialect
        return engine

    database.create_engine = create_engine  # type: ignore[attr-defined]
