"""An open stash: its settings, its catalogue, its folder. The only way to the catalogue."""

from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlmodel import Session

from stashkeeper.catalogue import database, history
from stashkeeper.lengths.length import Measure
from stashkeeper.settings.settings import Settings


@dataclass(slots=True, eq=False)
class Stash:
    """An open stash; a context manager that closes it. Shared by threads."""

    settings: Settings
    catalogue: database.Catalogue

    @property
    def home(self) -> Path:
        """The folder of photos, previews and copies."""
        return self.settings.stash

    @property
    def measure(self) -> Measure:
        """Inches or centimetres, as its person thinks."""
        return self.settings.measure

    def adopt(self, settings: Settings) -> None:
        """Go on with changed settings; the catalogue stays the one that was opened."""
        self.settings = settings

    def reading(self) -> AbstractContextManager[Session]:
        """Open a session that sees one moment of the stash and changes nothing."""
        return database.reading(self.catalogue)

    def deed(self, word: str) -> AbstractContextManager[history.Deed]:
        """Open one deed: done as a whole and recorded, or not at all."""
        return history.deed(self.catalogue, word)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.catalogue.close()


def open_stash(settings: Settings) -> Stash:
    """Open the stash that settings name, made or brought up to date where need be.

    Raises:
        StashUnavailableError, NewerStashError, CannotWriteError, BadSettingError: as
            `catalogue.database.open_catalogue`.
    """
    return Stash(settings, database.open_catalogue(settings.database, settings.stash))
