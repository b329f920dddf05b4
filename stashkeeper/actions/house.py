"""The house: one person's settings, and bringing a shared database up to date."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.catalogue import database
from stashkeeper.settings.known import Described, describe, find_setting
from stashkeeper.settings.load import change_setting, load_settings, reset_setting


@dataclass(frozen=True, slots=True)
class SettingsView:
    """Every setting with its value and meaning, and where the stash lies."""

    stash: Path
    settings: tuple[Described, ...]
    _told: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was changed, then a line for each setting with its meaning below."""
        lines = [f"{one.name} = {one.value}\n    {one.explanation}" for one in self.settings]
        return (self._told, f"Your stash: {self.stash}", *lines)


@dataclass(frozen=True, slots=True)
class Migrated:
    """A database brought up to date, and the copy made before, if one was."""

    copy: Path | None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done."""
        copy = f"The stash as it was before: {self.copy}" if self.copy else ""
        return ("The database is up to date.", copy)


def settings(
    stash: Path | None,
    environ: Mapping[str, str],
    name: str | None = None,
    value: str | None = None,
    *,
    reset: bool = False,
) -> SettingsView:
    """Return the settings; change or reset one first where that is asked for.

    Raises:
        BadSettingError, BadSizeError: no such setting, or not a value it takes.
        BadFileError, StashUnavailableError, CannotWriteError: of the settings file.
    """
    known = load_settings(stash, environ)
    told = ""
    if reset:
        known = reset_setting(known, name)
        told = f"{name or 'Every setting'} is as it was at first."
    elif name is not None and value is not None:
        known = change_setting(known, name, value)
        told = f"Changed {name}."
    shown = describe(known)
    if name is not None and value is None and not reset:
        shown = tuple(one for one in shown if one.name == find_setting(name).name)
    return SettingsView(known.stash, shown, told)


def migrate(stash: Path | None, environ: Mapping[str, str]) -> Migrated:
    """Bring the stash's database up to this version.

    Raises:
        NewerStashError, StashUnavailableError, CannotWriteError: it cannot be done.
    """
    known = load_settings(stash, environ)
    return Migrated(database.migrate(known.database, known.stash))
