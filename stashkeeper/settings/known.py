"""Every setting there is: its name, what it means, what it takes, and how it is shown."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from operator import attrgetter
from typing import Any, Final

from stashkeeper.errors import BadSettingError, quoted
from stashkeeper.lengths.format import format_exactly
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.paper import Paper
from stashkeeper.lengths.parse_allowances import parse_loss, parse_share, parse_usable_width
from stashkeeper.lengths.size import Size
from stashkeeper.settings.habits import (
    MOST_LAYERS,
    MOST_ONE_IN,
    read_count,
    read_hand,
    read_patch,
    read_strip,
    read_tool,
)
from stashkeeper.settings.settings import Settings, usual_settings, without_password


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting that a person may change.

    Attributes:
        name: what it is called, on the command line and in the file.
        where: the attribute of `Settings` that holds it.
        read: from a typed value, in the person's measure, to the attribute's value; raises
            BadSettingError or BadSizeError.
        explanation: one line on what it means.
    """

    name: str
    where: str
    read: Callable[[str, Measure], Any]
    explanation: str


@dataclass(frozen=True, slots=True)
class Described:
    """One setting as a person sees it: its value, what it is at first, and what it means."""

    name: str
    value: str
    usual: str
    explanation: str


def read_database(text: str, _measure: Measure) -> str:
    """Return a database URL as typed, if it is of a database a stash can be kept in.

    Raises:
        BadSettingError: it is not; passwords in it are not repeated.
    """
    kind, _, rest = text.strip().partition("://")
    if kind in {"sqlite", "postgresql", "postgresql+psycopg"} and rest.strip("/"):
        return text.strip()
    raise BadSettingError(
        f"{quoted(without_password(text))} is not the URL of a database.",
        "Type one such as “sqlite:////folder/stash.db” or “postgresql://user@host/name”.",
    )


def _read_measure(text: str, _measure: Measure) -> Measure:
    if (word := text.strip().casefold()) in {"inches", "inch", "in"}:
        return Measure.INCHES
    if word in {"centimetres", "centimeters", "centimetre", "centimeter", "cm"}:
        return Measure.CENTIMETRES
    raise BadSettingError(f"{quoted(text)} is not a measure.", "Type inches or centimetres.")


def _read_paper(text: str, _measure: Measure) -> Paper:
    if (word := text.strip().casefold()) in list(Paper):
        return Paper(word)
    raise BadSettingError(f"{quoted(text)} is not a paper.", "Type a4 or letter.")


def _read_share(text: str, _measure: Measure) -> Fraction:
    return parse_share(text)


KNOWN: Final = (
    Setting(
        "measure",
        "measure",
        _read_measure,
        "What sizes are typed and shown in: inches or centimetres.",
    ),
    Setting("paper", "paper", _read_paper, "What sheets are printed on: a4 or letter."),
    Setting(
        "database",
        "database",
        read_database,
        "Where the records are kept: a file in the stash folder, or a shared PostgreSQL.",
    ),
    Setting(
        "selvedge",
        "allowances.selvedge",
        parse_loss,
        "What is cut away along each selvedge edge.",
    ),
    Setting(
        "squaring-up",
        "allowances.squaring_up",
        parse_loss,
        "What squaring up costs in a direction whose two edges are raw.",
    ),
    Setting(
        "usable-width",
        "allowances.usable_width",
        parse_usable_width,
        "How far an unmeasured width of fabric is trusted, without its selvedges.",
    ),
    Setting(
        "shrinkage",
        "allowances.shrinkage",
        _read_share,
        "What unwashed cloth will lose in the wash; none if you sew it unwashed.",
    ),
    Setting(
        "flannel-shrinkage",
        "allowances.flannel_shrinkage",
        _read_share,
        "What unwashed flannel will lose in the wash.",
    ),
    Setting("hand", "habits.hand", read_hand, "The hand that holds the cutter: right or left."),
    Setting(
        "ruler",
        "habits.ruler",
        read_tool,
        "Your longest ruler, width × length; moves that need a longer one are told.",
    ),
    Setting(
        "mat",
        "habits.mat",
        read_tool,
        "Your cutting mat, width × length; pieces larger than it are told.",
    ),
    Setting(
        "layers", "habits.layers", read_count(1, MOST_LAYERS), "How many layers you cut at once."
    ),
    Setting(
        "flannel-layers",
        "habits.flannel_layers",
        read_count(1, MOST_LAYERS),
        "How many layers of flannel you cut at once.",
    ),
    Setting(
        "spare",
        "habits.spare",
        read_count(0, MOST_ONE_IN),
        "One cut more is planned for every so many; 0 for no spares.",
    ),
    Setting(
        "keep-patch",
        "habits.keep_patch",
        read_patch,
        "An off-cut goes back on the shelf if both sides are at least this.",
    ),
    Setting(
        "keep-strip",
        "habits.keep_strip",
        read_strip,
        "A narrower off-cut goes back if it is at least so wide and so long.",
    ),
)
"""Every setting, in the order it is shown."""


def find_setting(name: str) -> Setting:
    """Return the setting of that name; a space, `-` or `_` between its words is the same.

    Raises:
        BadSettingError: there is none; all names are told.
    """
    wanted = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    for setting in KNOWN:
        if setting.name == wanted:
            return setting
    raise BadSettingError(
        f"{quoted(name)} is not a setting.",
        f"The settings are {', '.join(setting.name for setting in KNOWN)}.",
    )


def describe(settings: Settings) -> tuple[Described, ...]:
    """Return every setting with its value and meaning, in the person's measure; no password."""
    usual = replace(usual_settings(settings.stash, settings.measure), measure=Measure.INCHES)
    return tuple(
        Described(
            one.name,
            without_password(spelled(attrgetter(one.where)(settings), settings.measure)),
            spelled(attrgetter(one.where)(usual), settings.measure),
            one.explanation,
        )
        for one in KNOWN
    )


def spelled(value: Any, measure: Measure) -> str:
    """Return a setting's value as a person would type it; reading it gives the same value."""
    if isinstance(value, Length | Fraction) and not value:
        return "none"
    if value is None:
        return "unknown"
    if isinstance(value, Size):
        sides = (format_exactly(side, measure) for side in (value.width, value.length))
        return " x ".join(sides)
    if isinstance(value, Length):
        # A length typed in centimetres is no fraction that an inch ruler shows.
        off_the_ruler = Fraction(value.inches).denominator > 64
        return format_exactly(value, Measure.CENTIMETRES if off_the_ruler else measure)
    if isinstance(value, Fraction):
        return f"{float(value * 100):.12g} %"
    return str(value)
