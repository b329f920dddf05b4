"""Quilt arithmetic: every sum there is, and how it comes out."""

from collections.abc import Mapping
from typing import Final

from stashkeeper.actions.sum_buying import BUYING_SUMS
from stashkeeper.actions.sum_finishing import FINISHING_SUMS
from stashkeeper.actions.sum_given import Given, Sum
from stashkeeper.actions.sum_quilts import QUILT_SUMS
from stashkeeper.actions.sum_units import UNIT_SUMS
from stashkeeper.actions.sum_words import Worked
from stashkeeper.errors import NotFoundError, StashkeeperError, quoted
from stashkeeper.quilts.unit_words import nearest
from stashkeeper.settings.settings import Settings

SUMS: Final[Mapping[str, Sum]] = {
    one.name: one for one in (*UNIT_SUMS, *QUILT_SUMS, *FINISHING_SUMS, *BUYING_SUMS)
}
"""Every sum by its name, in the order they are shown."""


def find_sum(name: str) -> Sum:
    """Return the sum of this name.

    Raises:
        NotFoundError: there is none.
    """
    if name not in SUMS:
        raise NotFoundError(f"There is no sum {quoted(name)}.", nearest(name, SUMS))
    return SUMS[name]


def work_out(name: str, typed: Mapping[str, str], settings: Settings) -> Worked:
    """Work out a sum.

    Args:
        name: of the sum.
        typed: what was typed into each field, by the field's name; empty where it was left out.
        settings: whose measure and usable width of fabric hold.

    Raises:
        NotFoundError: there is no such sum, or no such bed.
        BadSizeError: a size that cannot be read, or that no quilt has.
        BadRequestError: a needed field is empty, or a word is none of its choices.
    """
    one = find_sum(name)
    title, rows, remarks = one.work(Given(one.fields, typed, settings))
    return Worked(name, title, tuple(rows), tuple(remarks), one.source)


def faulty_fields(
    name: str, typed: Mapping[str, str], settings: Settings
) -> dict[str, StashkeeperError]:
    """Return what is wrong with each field that cannot be read on its own, by its name.

    Raises:
        NotFoundError: there is no such sum.
    """
    one, found = find_sum(name), dict[str, StashkeeperError]()
    given = Given(one.fields, {k: v for k, v in typed.items() if k in _names(one)}, settings)
    for field in one.fields:
        try:
            given.read(field)
        except StashkeeperError as error:
            found[field.name] = error
    return found


def _names(one: Sum) -> set[str]:
    return {field.name for field in one.fields}
