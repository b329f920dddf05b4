"""A sum as its page shows it: what was typed field by field, what is wrong, and the answer."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.actions.sum_buying import BUYING_SUMS
from stashkeeper.actions.sum_finishing import FINISHING_SUMS
from stashkeeper.actions.sum_given import Sum
from stashkeeper.actions.sum_quilts import QUILT_SUMS
from stashkeeper.actions.sum_units import UNIT_SUMS
from stashkeeper.actions.sum_words import Field, Worked
from stashkeeper.actions.sums import faulty_fields, find_sum, work_out
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.format import format_length
from stashkeeper.lengths.length import Measure
from stashkeeper.quilts.beds import BEDS
from stashkeeper.settings.settings import Settings

GROUPS: Final = (
    ("Units", UNIT_SUMS),
    ("Whole quilts", QUILT_SUMS),
    ("Finishing", FINISHING_SUMS),
    ("Cloth", BUYING_SUMS),
)
"""All sums, by what they are for."""

MEASURE: Final = "measure"
"""The field in which a page asks for inches or centimetres."""

HABITS: Final = frozenset({"seam", "trim", "tail", "fabric-width"})
"""The fields that most people leave as they are."""


@dataclass(frozen=True, slots=True)
class AskedField:
    """A field of a sum with what was typed into it.

    Attributes:
        field: what it asks for.
        typed: as typed.
        usual: what holds where it is left empty; empty where nothing does, or it is reckoned.
        trouble: what is wrong with what was typed; None while nothing is.
    """

    field: Field
    typed: str
    usual: str
    trouble: StashkeeperError | None = None


@dataclass(frozen=True, slots=True)
class SumPage:
    """A sum with what was typed.

    Attributes:
        sum: the sum.
        fields: in the order they are asked for.
        measure: the measure it is worked out in.
        worked: the answer; None while something is missing or wrong.
        trouble: what is wrong with all of it together; None while nothing is.
    """

    sum: Sum
    fields: tuple[AskedField, ...]
    measure: Measure
    worked: Worked | None = None
    trouble: StashkeeperError | None = None

    @property
    def status(self) -> int:
        """The HTTP status of the answer."""
        wrong = [one.trouble for one in self.fields if one.trouble] + [self.trouble]
        return next((error.http_status for error in wrong if error is not None), 200)

    @property
    def asked(self) -> list[AskedField]:
        """The fields that differ from quilt to quilt."""
        return [one for one in self.fields if one.field.name not in HABITS]

    @property
    def habits(self) -> list[AskedField]:
        """The fields that are nearly always left as they are."""
        return [one for one in self.fields if one.field.name in HABITS]

    @property
    def habits_changed(self) -> bool:
        """Whether something was typed into one of those."""
        return any(one.typed for one in self.habits)

    @property
    def beds(self) -> tuple[str, ...]:
        """The beds that go by a name."""
        return tuple(BEDS)


def sum_page(name: str, typed: Mapping[str, str], settings: Settings) -> SumPage:
    """Return a sum as its page shows it.

    Args:
        name: of the sum.
        typed: the words of each field by its name, `measure` among them; words for anything else
            are not read. Nothing at all where it was not asked yet.
        settings: whose measure and usable width of fabric hold where nothing else was typed.

    Raises:
        NotFoundError: there is no such sum.
    """
    one = find_sum(name)
    if typed.get(MEASURE) in set(Measure):
        settings = replace(settings, measure=Measure(typed[MEASURE]))
    words = {field.name: typed.get(field.name, "") for field in one.fields}
    if not any(word.strip() for word in words.values()):
        return SumPage(one, _fields(one, words, settings), settings.measure)
    faults = faulty_fields(name, words, settings)
    worked, trouble = None, None
    if not faults:
        try:
            worked = work_out(name, words, settings)
        except StashkeeperError as error:
            about = _about(error, one, words)
            faults, trouble = ({about: error}, None) if about else ({}, error)
    fields = _fields(one, words, settings, faults)
    return SumPage(one, fields, settings.measure, worked, trouble)


def _fields(
    one: Sum,
    words: Mapping[str, str],
    settings: Settings,
    faults: Mapping[str, StashkeeperError] | None = None,
) -> tuple[AskedField, ...]:
    known = faults or {}
    return tuple(
        AskedField(field, words[field.name], _usual(field, settings), known.get(field.name))
        for field in one.fields
    )


def _usual(field: Field, settings: Settings) -> str:
    if field.name == "fabric-width":
        return format_length(settings.allowances.usable_width, settings.measure)
    return field.usual_in(settings.measure)


def _about(error: StashkeeperError, one: Sum, words: Mapping[str, str]) -> str:
    """Return which field an error of several is about: it quotes or names it, or is alone."""
    problem = error.problem.casefold()
    for field in one.fields:
        typed = words[field.name].strip().casefold()
        plain = typed.replace(",", "")
        if typed and (f"“{typed}”" in problem or problem.startswith(f"{plain} is ")):
            return field.name
    named = [
        field.name
        for field in one.fields
        if field.label.casefold() in problem or field.name.replace("-", " ") in problem
    ]
    needed = [field.name for field in one.fields if field.needed]
    return max(named, key=len, default=needed[0] if len(needed) == 1 else "")
