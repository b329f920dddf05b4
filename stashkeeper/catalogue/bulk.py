"""Many rows at once: fetched past the session, and none of them searched for garbage meanwhile."""

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Row, Select
from sqlmodel import Session


def fetch(session: Session, query: Select[*tuple[Any, ...]]) -> Sequence[Row[*tuple[Any, ...]]]:
    """Return the rows of a query past the session, for there are no objects to keep."""
    session.flush()
    return session.connection().execute(query).fetchall()


@contextmanager
def many_objects() -> Iterator[None]:
    """Make many objects that all stay: until then nothing is searched for garbage in cycles.

    Python looks through all objects again whenever their number has grown by a quarter. While a
    large shelf is loaded that finds nothing and takes a third of the time. Where several threads
    load at once the first to be done turns the search on again for all.
    """
    searched = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searched:
            gc.enable()
