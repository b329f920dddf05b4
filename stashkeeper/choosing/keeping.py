"""Keeping and leaving out: which fabrics are settled, and in which ways they may be settled."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

from stashkeeper.choosing.asks import able_for
from stashkeeper.choosing.needs import FROM_DARK, Keep, Need
from stashkeeper.choosing.shelf import Shelf
from stashkeeper.errors import BadRequestError, quoted

MOST_WAYS: Final = 400
"""So many ways of giving kept pieces to roles are tried."""

type Kept = dict[int, int]
"""For each kept fabric the number of the need it is kept for."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What a person settled: kept fabrics with the needs they may go to, and fabrics left out."""

    roles: Mapping[int, tuple[int, ...]]
    out: frozenset[int]
    codes: frozenset[str]


def settled(
    shelf: Shelf, needs: Sequence[Need], keep: Sequence[Keep], leave_out: Sequence[str]
) -> Settled:
    """Return what is kept and left out.

    Raises:
        BadRequestError: a code is not among the candidates, is both kept and left out, is kept
            for a role that does not exist, or two pieces of one fabric are kept for two roles.
    """
    by_code = shelf.fabrics_by_code() if keep or leave_out else {}
    out = frozenset(_fabric(by_code, code) for code in leave_out)
    roles: dict[int, tuple[int, ...]] = {}
    for one in keep:
        fabric = _fabric(by_code, one.code)
        if fabric in out:
            raise BadRequestError(
                f"{one.code} is to be kept, but its fabric is to be left out.", "Choose one."
            )
        mine = _needs_of(needs, one)
        both = tuple(number for number in mine if number in roles.get(fabric, mine))
        if not both:
            raise BadRequestError(
                f"{one.code} is kept for {quoted(one.role or '')}, but another piece of its fabric "
                "is kept for another role.",
                "A fabric plays one role; keep both for the same.",
            )
        roles[fabric] = both
    return Settled(roles, out, frozenset(one.code for one in keep))


def ways_to_settle(shelf: Shelf, needs: Sequence[Need], what: Settled) -> Iterator[Kept]:
    """Yield every way to give the kept fabrics to roles; sets that ask alike are tried once.

    A way in which a kept fabric is too small is yielded only where it is the one way there is.

    Raises:
        BadRequestError: there are too many ways to try them all, or none that keeps the values in
            order.
    """
    fabrics = sorted(what.roles)
    options = [_options(shelf, needs, fabric, what.roles[fabric]) for fabric in fabrics]
    size = 1
    for some in options:
        size *= len(some)
    if size > MOST_WAYS * MOST_WAYS:
        raise _too_many()
    seen: set[tuple[object, ...]] = set()
    for chosen in product(*options):
        kept = dict(zip(fabrics, chosen, strict=True))
        like = _like(needs, kept)
        if like in seen or not _in_order(shelf, needs, kept):
            continue
        seen.add(like)
        if len(seen) > MOST_WAYS:
            raise _too_many()
        yield kept
    if not seen:
        raise BadRequestError(
            "The kept pieces do not go from dark to light in the roles they are kept for.",
            "Exchange their roles, or keep other pieces.",
        )


def _too_many() -> BadRequestError:
    return BadRequestError(
        "There are too many ways to give the kept pieces to roles.",
        "Say for which role each of them is kept.",
    )


def _fabric(by_code: Mapping[str, int], code: str) -> int:
    if code not in by_code:
        raise BadRequestError(
            f"{quoted(code)} is not among the pieces to choose from.",
            "Check the code, or widen the search.",
        )
    return by_code[code]


def _needs_of(needs: Sequence[Need], one: Keep) -> tuple[int, ...]:
    """Return the needs a piece may be kept for."""
    wanted = one.role.casefold() if one.role else None
    found = tuple(
        number
        for number, need in enumerate(needs)
        if wanted in {None, need.role.casefold(), need.name.casefold()}
    )
    if not found:
        roles = ", ".join(dict.fromkeys(need.role for need in needs))
        raise BadRequestError(
            f"{one.code} is kept for {quoted(one.role or '')}, which is no role.",
            f"The roles are: {roles}.",
        )
    return found


def _options(
    shelf: Shelf, needs: Sequence[Need], fabric: int, roles: tuple[int, ...]
) -> tuple[int, ...]:
    """Return the needs a fabric can serve; if it is too small for all, the first of them."""
    fit = tuple(number for number in roles if able_for(shelf, needs[number])[fabric])
    return fit or roles[:1]


def _like(needs: Sequence[Need], kept: Kept) -> tuple[object, ...]:
    """Return what ways have in common that differ only in the numbers of their sets."""
    order: dict[int | None, int] = {}
    return tuple(
        (
            needs[number].role,
            order.setdefault(needs[number].set_number, len(order)),
            _set_asks(needs, needs[number].set_number),
        )
        for _, number in sorted(kept.items())
    )


def _set_asks(needs: Sequence[Need], number: int | None) -> tuple[Need, ...]:
    """Return what a set asks for, without its number; nothing outside sets."""
    if number is None:
        return ()
    return tuple(replace(need, set_number=None) for need in needs if need.set_number == number)


def _in_order(shelf: Shelf, needs: Sequence[Need], kept: Kept) -> bool:
    """Tell whether kept fabrics outside sets, and within each set, go from dark to light."""
    for one, number in kept.items():
        for other, another in kept.items():
            mine, theirs = needs[number], needs[another]
            if mine.value is None or theirs.value is None or mine.set_number != theirs.set_number:
                continue
            darker = FROM_DARK.index(mine.value) < FROM_DARK.index(theirs.value)
            if darker and shelf.light[one] >= shelf.light[other]:
                return False
    return True
