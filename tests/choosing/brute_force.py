"""Every choice of a small shelf, one by one: what the search is held against.

It knows nothing of the search: it gives every fabric to every role or to none, and keeps the
largest smaller gap of those that fill every role.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.cloth.value import Value
from tests.choosing.shelves import SQUARES

FROM_DARK = (Value.DARK, Value.MEDIUM, Value.LIGHT)

type Fabric = tuple[float, int, str | None]
"""Lightness, squares it gives, colour family."""


def fabrics_of(candidates: Sequence[Candidate], squares: Sequence[int]) -> dict[str, Fabric]:
    """Return the fabrics of a shelf; what copies give adds up."""
    found: dict[str, Fabric] = {}
    for one, gives in zip(candidates, squares, strict=True):
        before = found.get(one.fabric, (0.0, 0, None))[1]
        found[one.fabric] = (one.reading.lightness, before + gives, one.family)
    return found


def best_gap(
    fabrics: Mapping[str, Fabric],
    needs: Sequence[Need],
    keep: Mapping[str, str] | None = None,
) -> float | None:
    """Return the largest smaller gap there is, inside sets where there are any, or None."""
    best: float | None = None
    for given in _all_ways(list(fabrics), [need.fabrics or len(fabrics) for need in needs]):
        if any(needs[given.get(key, -1)].role != role or key not in given
               for key, role in (keep or {}).items()):  # fmt: skip
            continue
        roles = [[fabrics[key] for key, role in given.items() if role == number]
                 for number in range(len(needs))]  # fmt: skip
        if all(_filled(need, mine) for need, mine in zip(needs, roles, strict=True)):
            gap = _gap(needs, roles)
            if gap is not None and gap > 1e-9 and (best is None or gap > best):
                best = gap
    return best


def _all_ways(keys: Sequence[str], room: Sequence[int]) -> Iterator[dict[str, int]]:
    """Yield every way to give fabrics to roles, no role more than it takes."""
    if not keys:
        yield {}
        return
    yield from _all_ways(keys[1:], room)
    for role, left in enumerate(room):
        if left:
            less = [left - 1 if other == role else some for other, some in enumerate(room)]
            for rest in _all_ways(keys[1:], less):
                yield {keys[0]: role, **rest}


def _filled(need: Need, mine: Sequence[Fabric]) -> bool:
    wanted = sum(cut.count for cut in need.cuts if cut.key == SQUARES)
    if need.fabrics is not None and len(mine) != need.fabrics:
        return False
    if need.each or need.fabrics == 1:
        return all(gives >= wanted for _, gives, _ in mine)
    serves = all(gives > 0 for _, gives, _ in mine) or not wanted  # what gives nothing is no help
    return bool(mine) and serves and sum(gives for _, gives, _ in mine) >= wanted


def _gap(needs: Sequence[Need], roles: Sequence[Sequence[Fabric]]) -> float | None:
    """Return the smallest gap of a filled choice; None where a set has two families."""
    gaps = []
    for number in {need.set_number for need in needs}:
        groups = [
            [one for need, mine in zip(needs, roles, strict=True) for one in mine
             if need.set_number == number and need.value is value]
            for value in FROM_DARK
        ]  # fmt: skip
        if number is not None and len({family for group in groups for _, _, family in group}) > 1:
            return None
        lights = [[lightness for lightness, _, _ in group] for group in groups if group]
        gaps += [min(lighter) - max(darker) for darker, lighter in pairwise(lights)]
    return min(gaps, default=None)
