"""Needs: what each role of a quilt asks of the shelf, and the pieces a person insists on."""

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError, quoted

type CutKey = Hashable
"""What the caller tells cut sizes apart by; a size of cut and whether it may be turned, say."""

MOST_FABRICS: Final = 10_000
"""No role takes more fabrics (ours)."""

MOST_SETS: Final = 1_000
"""No quilt has more sets (ours)."""

FROM_DARK: Final = (Value.DARK, Value.MEDIUM, Value.LIGHT)
"""The values in the order in which the shelf is searched."""


@dataclass(frozen=True, slots=True)
class CutsNeeded:
    """So many cuts of one size.

    Attributes:
        key: which size, as the shelf is asked for it.
        count: how many.
    """

    key: CutKey
    count: int


@dataclass(frozen=True, slots=True)
class Need:
    """What one role asks of the shelf.

    Attributes:
        role: in the quilter's words.
        value: the group its fabrics play in; None where any will do.
        fabrics: how many different fabrics; None for as many as the cuts take.
        cuts: what they must give, size by size; nothing where any piece is large enough. A fabric
            that gives none of them never serves.
        each: whether every fabric alone must give all of that, not all of them together.
        area: the area of all the cuts together in square ticks, if several sizes come out of the
            same cloth; no cloth of less area is looked at.
        set_number: the set it belongs to, from 1; None outside sets. The fabrics of one set share
            a colour family.
        family: the colour family its fabrics must have; any where None.
    """

    role: str
    value: Value | None
    fabrics: int | None = 1
    cuts: tuple[CutsNeeded, ...] = ()
    each: bool = False
    area: int = 0
    set_number: int | None = None
    family: str | None = None

    @property
    def name(self) -> str:
        """The role, and its set where it has one."""
        return self.role if self.set_number is None else f"{self.role} (set {self.set_number})"

    @property
    def alone(self) -> bool:
        """Whether every fabric is judged by itself, rather than what all give together."""
        return self.each or self.fabrics == 1 or not (self.cuts or self.area)


@dataclass(frozen=True, slots=True)
class Keep:
    """A piece that must be in the choice: its code, and for which role (None for any)."""

    code: str
    role: str | None = None


def in_sets(needs: Iterable[Need], count: int) -> tuple[Need, ...]:
    """Return the needs of one set, repeated for sets 1 to `count`.

    Raises:
        BadRequestError: a count below 0 or above 1,000.
    """
    if not 0 <= count <= MOST_SETS:
        raise BadRequestError(
            f"{count} sets were asked for.", f"Ask for 1 to {MOST_SETS:,} sets, or for none."
        )
    one = tuple(needs)
    return tuple(replace(need, set_number=number + 1) for number in range(count) for need in one)


def loosened(needs: Sequence[Need]) -> tuple[Need, ...]:
    """Return the needs with sets of one fabric each asked for outside sets, if all sets are such.

    One fabric alone has nothing to be like. Outside sets its value is kept apart from the values
    of all other roles, which is what is left to be wished for. The roles are called by role and
    set then.
    """
    sizes = Counter(need.set_number for need in needs if need.set_number is not None)
    if any(
        need.fabrics != 1 or sizes[need.set_number] > 1
        for need in needs
        if need.set_number is not None
    ):
        return tuple(needs)
    return tuple(replace(need, role=need.name, set_number=None) for need in needs)


def role_and_set(name: str) -> tuple[str, int | None]:
    """Return the role and the set of a need's name: `blade (set 2)` is `blade` and 2."""
    role, inside, number = name.removesuffix(")").partition(" (set ")
    return role, int(number) if inside else None


def checked_needs(needs: Sequence[Need]) -> tuple[Need, ...]:
    """Return the needs that ask for anything; a role of 0 fabrics or 0 cuts asks for nothing.

    Raises:
        BadRequestError: nothing is asked for, a role is named twice, a count is below 0 or beyond
            all sense, a role says neither how many fabrics nor how many cuts, or a role inside a
            set does not say how many fabrics or has no value.
    """
    wanted = tuple(_without_nothing(need) for need in needs if _asks(need))
    if not wanted:
        raise BadRequestError(
            "No role asks for a fabric.", "Ask for at least one light, medium or dark."
        )
    names: set[str] = set()
    for need in wanted:
        _check(need)
        if need.name in names:
            raise BadRequestError(
                f"The role {quoted(need.name)} is there twice.", "Give each role a name of its own."
            )
        names.add(need.name)
    return wanted


def _without_nothing(need: Need) -> Need:
    for cut in need.cuts:
        if cut.count < 0:
            raise BadRequestError(
                f"The role {quoted(need.name)} was to give {cut.count} cuts.",
                "A count is a whole number from 0.",
            )
    return replace(need, cuts=tuple(cut for cut in need.cuts if cut.count))


def _asks(need: Need) -> bool:
    if need.fabrics is not None:
        return need.fabrics != 0
    if not need.cuts and not need.area:
        raise BadRequestError(
            f"The role {quoted(need.name)} says neither how many fabrics nor how many cuts.",
            "Say at least one of the two.",
        )
    return any(cut.count for cut in need.cuts) or need.area > 0


def _check(need: Need) -> None:
    if need.each and need.fabrics is None:
        raise BadRequestError(
            f"Every fabric for {quoted(need.name)} is to give all the cuts.",
            "Then say how many fabrics it takes.",
        )
    if need.fabrics is not None and not 1 <= need.fabrics <= MOST_FABRICS:
        raise BadRequestError(
            f"The role {quoted(need.name)} asks for {need.fabrics} fabrics.",
            f"A role takes 1 to {MOST_FABRICS:,} fabrics, or 0 to go without it.",
        )
    if need.set_number is None:
        return
    if need.fabrics is None or need.value is None:
        raise BadRequestError(
            f"The role {quoted(need.name)} belongs to a set.",
            "Inside a set a role has a value and says how many fabrics it takes.",
        )
    if not 1 <= need.set_number <= MOST_SETS:
        raise BadRequestError(
            f"There is no set {need.set_number}.", f"Sets are counted from 1 to {MOST_SETS:,}."
        )
