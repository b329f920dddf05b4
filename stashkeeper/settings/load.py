"""Finding the stash folder, and reading and changing the settings in it.

This room is the only one below the faces that looks at the environment's variables or at TOML.
"""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote

from stashkeeper.errors import BadSettingError, quoted
from stashkeeper.lengths.length import Measure
from stashkeeper.settings.file import read_file, rewrite_file
from stashkeeper.settings.known import KNOWN, find_setting, read_database, spelled
from stashkeeper.settings.settings import Settings, sqlite_url, usual_settings

HOME_VARIABLE: Final = "STASHKEEPER_HOME"
"""Names the stash folder, where no `--stash` is typed."""

DATABASE_VARIABLE: Final = "STASHKEEPER_DATABASE"
"""The database's URL; goes before the setting `database`."""

FILE_NAME: Final = "settings.toml"
"""The settings file in the stash folder."""


def load_settings(stash: Path | None, environ: Mapping[str, str]) -> Settings:
    """Return the settings of a stash.

    Args:
        stash: its folder; None for the one the environment names, else this person's own.
        environ: the environment's variables.

    Raises:
        BadFileError: the settings file holds mistakes; all are told, each with its setting.
        BadSettingError: the folder is none, or the environment names an impossible database.
        StashUnavailableError: the settings file is there but cannot be read.
    """
    folder = _folder(stash or environ.get(HOME_VARIABLE))
    values = read_file(folder / FILE_NAME)
    if given := environ.get(DATABASE_VARIABLE):
        values["database"] = read_database(given, Measure.INCHES)
    return replace(_settings(folder, values), database_given=bool(given))


def change_setting(settings: Settings, name: str, value: str) -> Settings:
    """Write one setting to the file, comments kept, and return the settings as they are then.

    Raises:
        BadSettingError: there is no such setting, or this is not a value it takes.
        BadSizeError: the setting is an allowance, and this is none.
        BadFileError: the settings file holds mistakes; it is left as it was.
        CannotWriteError: the file cannot be written; it is as it was.
        StashUnavailableError: the file is there but cannot be read.
    """
    return change_settings(settings, {name: value})


def change_settings(settings: Settings, typed: Mapping[str, str]) -> Settings:
    """Write several settings to the file, all of them or none; the rest as `change_setting`."""
    kept: dict[str, str | None] = {}
    for name, value in typed.items():
        setting = find_setting(name)
        # With its unit, so that a change of measure later changes no length.
        kept[setting.name] = spelled(setting.read(value, settings.measure), settings.measure)
    return _rewritten(settings, kept)


def reset_setting(settings: Settings, name: str | None) -> Settings:
    """Take one setting (None: all of them) back to what it was at first.

    Raises:
        BadSettingError: there is no such setting.
        BadFileError: the settings file holds mistakes; it is left as it was.
        CannotWriteError: the file cannot be written; it is as it was.
        StashUnavailableError: the file is there but cannot be read.
    """
    names = [one.name for one in KNOWN] if name is None else [find_setting(name).name]
    return _rewritten(settings, dict.fromkeys(names))


def _rewritten(settings: Settings, changes: Mapping[str, str | None]) -> Settings:
    rewrite_file(settings.stash / FILE_NAME, changes)
    values = read_file(settings.stash / FILE_NAME)
    if settings.database_given:
        values["database"] = settings.database
    return replace(_settings(settings.stash, values), database_given=settings.database_given)


def _settings(stash: Path, values: Mapping[str, Any]) -> Settings:
    """Put the values of a file over the usual ones."""
    usual = usual_settings(stash, values.get("measure", Measure.INCHES))
    found: dict[str, Any] = {}
    groups: dict[str, dict[str, Any]] = {"": found, "allowances": {}, "habits": {}}
    for setting in KNOWN:
        if setting.name in values:
            group, _, attribute = setting.where.rpartition(".")
            groups[group][attribute] = values[setting.name]
    if "database" in found:
        found["database"] = _placed(found["database"], stash)
    return replace(
        usual,
        **found,
        allowances=replace(usual.allowances, **groups["allowances"]),
        habits=replace(usual.habits, **groups["habits"]),
    )


def _placed(url: str, stash: Path) -> str:
    """Return a URL with a SQLite file's name in full: `~` is home, other names lie in the stash."""
    file = url.removeprefix("sqlite:///")
    return url if file == url else sqlite_url(stash / _expanded(unquote(file)))


def _folder(typed: Path | str | None) -> Path:
    if typed is None or not str(typed):
        from platformdirs import user_data_path

        return user_data_path("stashkeeper", appauthor=False)
    folder = _expanded(str(typed)).absolute()
    try:
        in_the_way = folder.is_file()
    except OSError as fault:
        raise BadSettingError(
            f"{quoted(str(typed))} cannot be reached ({(fault.strerror or str(fault)).lower()}).",
            "Name a folder you may open; it is made where there is none.",
        ) from fault
    if in_the_way:
        raise BadSettingError(
            f"{quoted(str(typed))} is a file, and a stash lives in a folder.",
            "Name a folder; it is made where there is none.",
        )
    return folder


def _expanded(typed: str) -> Path:
    try:
        if "\0" not in typed:
            return Path(typed).expanduser()
    except RuntimeError:  # `~somebody`, and nobody of that name has a home here
        pass
    raise BadSettingError(
        f"{quoted(typed)} is not the name of a file or folder.",
        "Name one such as “~/quilts/stash”.",
    )
