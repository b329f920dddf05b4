"""One person's settings as a plain value."""

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import quote

from stashkeeper.lengths.allowances import Allowances
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.paper import Paper
from stashkeeper.settings.habits import Habits

USUAL_DATABASE: Final = "stash.db"
"""The SQLite file in the stash folder that holds the records unless a setting says otherwise."""


@dataclass(frozen=True, slots=True)
class Settings:
    """One person's settings, complete and checked.

    Attributes:
        stash: the stash folder, absolute; it need not exist yet.
        database: the database's URL, which may hold a password: show `shown_database` instead.
        measure: inches or centimetres.
        paper: what sheets are printed on.
        allowances: what cloth loses before the first useful cut.
        habits: how this person cuts.
        database_given: whether the environment, not the file, names the database.
    """

    stash: Path
    database: str = field(repr=False)
    measure: Measure
    paper: Paper
    allowances: Allowances
    habits: Habits = field(default_factory=Habits)
    database_given: bool = False

    @property
    def shown_database(self) -> str:
        """The database's URL without its password."""
        return without_password(self.database)


def usual_settings(stash: Path, measure: Measure = Measure.INCHES) -> Settings:
    """Return what holds in a stash folder where nothing was set but, perhaps, the measure.

    Sheets go on letter paper with inches, on A4 with centimetres.
    """
    paper = Paper.LETTER if measure is Measure.INCHES else Paper.A4
    return Settings(stash, sqlite_url(stash / USUAL_DATABASE), measure, paper, Allowances())


def sqlite_url(file: Path) -> str:
    """Return the database URL of a SQLite file, which may have any sign in its name."""
    return f"sqlite:///{quote(str(file), safe=' +/')}"


def without_password(url: str) -> str:
    """Return a database URL with every password in it replaced by an ellipsis."""
    hidden = re.sub(r"(//[^:/@?]*):.*@", r"\1:…@", url, flags=re.DOTALL)
    return re.sub(r"(password=)[^&]*", r"\1…", hidden, flags=re.IGNORECASE)
