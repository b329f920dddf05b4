"""Cut: a rectangle of cloth that is needed, so many times."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadCutError, quoted
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

MOST_OF_ONE_CUT: Final = 1_000_000_000
"""More of one cut than any quilt needs (ours)."""

NARROWEST_CUT: Final = Length.from_inches("1/4")
"""The two seams of a narrower strip would meet (common practice: seams of 1/4 in)."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A rectangle needed so many times.

    Attributes:
        name: what a person calls it (`A`, `corner square`); it tells the cuts of a plan apart.
        size: the rectangle as it is cut, seams included, rounded up to a ruler mark beforehand.
        count: how many of it.
        directional: whether its length must run along the selvedge; if not, it may be turned by
            a quarter wherever the print allows.
        fabric: the key of the fabric it must come from; any fabric where None.
        value: the value it must have; any where None.
        role: the role of a project it is for; any cloth serves where None.
    """

    name: str
    size: Size
    count: int = 1
    directional: bool = False
    fabric: str | None = None
    value: Value | None = None
    role: str | None = None


def may_come_from(cut: Cut, cloth: Cloth) -> bool:
    """Tell whether fabric, value, role and grain let `cut` come from `cloth`, whatever the size."""
    return (
        cut.fabric in {None, cloth.fabric}
        and cut.value in {None, cloth.value}
        and (cut.role is None or cut.role in cloth.roles)
        and (cloth.grain_known or not cut.directional)
    )


def may_turn(cut: Cut, cloth: Cloth) -> bool:
    """Tell whether `cut` may be turned by a quarter on `cloth`."""
    return not cut.directional and not cloth.directional


def check_cuts(cuts: Sequence[Cut]) -> None:
    """Refuse cuts that no plan can be made for, whatever the cloth.

    Raises:
        BadCutError: no cut at all, a count below 1 or above 10⁹, a side under 1/4 in, or two cuts
            of one name.
    """
    if not cuts:
        raise BadCutError("There is no cut to plan.", "Name at least one size, such as 4 1/2 in.")
    names: set[str] = set()
    for cut in cuts:
        _check_cut(cut)
        if cut.name in names:
            raise BadCutError(
                f"Two cuts are called {quoted(cut.name)}.",
                "Give each cut a name of its own, so that the plan can tell them apart.",
            )
        names.add(cut.name)


def _check_cut(cut: Cut) -> None:
    if not 1 <= cut.count <= MOST_OF_ONE_CUT:
        raise BadCutError(
            f"The cut {quoted(cut.name)} is wanted {cut.count} times.",
            "A count is a whole number from 1 to 1,000,000,000.",
        )
    if min(cut.size.width, cut.size.length) < NARROWEST_CUT:
        raise BadCutError(
            f"The cut {quoted(cut.name)} is narrower than 1/4 in (6.35 mm).",
            "Both sides of a cut must be at least that: its seams would meet.",
        )
