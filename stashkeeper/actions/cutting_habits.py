"""How a person cuts, asked once on a page: the hand, the longest ruler, the mat."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from stashkeeper.actions.stash import Stash
from stashkeeper.settings.known import describe
from stashkeeper.settings.load import change_settings

ASKED: Final = ("hand", "ruler", "mat")
"""The settings that are asked for."""


@dataclass(frozen=True, slots=True)
class Changed:
    """What was changed, and what to tell."""

    names: tuple[str, ...]
    sentences: tuple[str, ...]


def cutting_habits(stash: Stash) -> dict[str, str]:
    """Return what is known of the hand, the ruler and the mat, as it is typed."""
    return {one.name: one.value for one in describe(stash.settings) if one.name in ASKED}


def change_habits(stash: Stash, typed: Mapping[str, str]) -> Changed:
    """Change what was typed another way; what is open goes on with it at once.

    Args:
        stash: the open stash.
        typed: words for some of `ASKED`; an empty ruler or mat is forgotten.

    Raises:
        BadSettingError, BadSizeError: a word cannot be read; nothing was changed.
        BadFileError, CannotWriteError, StashUnavailableError: of the settings file.
    """
    before = cutting_habits(stash)
    wanted = {name: typed[name].strip() or "unknown" for name in ASKED if name in typed}
    stash.adopt(change_settings(stash.settings, wanted))
    now = cutting_habits(stash)
    names = tuple(name for name in ASKED if now[name] != before[name])
    return Changed(names, tuple(f"Changed {name}." for name in names) or ("Nothing new.",))
