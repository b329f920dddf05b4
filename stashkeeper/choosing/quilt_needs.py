"""What a quilt asks of the shelf: its parts list as needs, and its seams by the names of roles."""

from collections.abc import Iterable, Mapping, Sequence

from stashkeeper.choosing.needs import CutsNeeded, Need
from stashkeeper.choosing.seam_contrast import RoleSeam
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.layout import OWN_SET, Role
from stashkeeper.quilts.quilt import Part
from stashkeeper.quilts.seams import Meeting


def needs_of_parts(
    parts: Iterable[Part],
    values: Mapping[str, Value | None],
    fabrics: Mapping[str, int | None] | None = None,
) -> tuple[Need, ...]:
    """Return the needs of a parts list, one for each role, in its order.

    The key of each size of cut is its `Size`. Where a role needs several sizes, their area together
    is asked for as well, because they come out of the same cloth.

    Args:
        parts: everything to cut.
        values: the value wished for each role by its name; any where it is None or not named.
        fabrics: how many different fabrics a role takes, by its name (None for as many as its cuts
            take; no more than one where it is not named). Inside a set a role takes so many in
            each set.
    """
    together: dict[Role, dict[Size, int]] = {}
    for part in parts:
        sizes = together.setdefault(part.role, {})
        sizes[part.cut.size] = sizes.get(part.cut.size, 0) + part.cut.count
    return tuple(
        Need(
            role.name,
            values.get(role.name),
            (fabrics or {}).get(role.name, 1),
            tuple(CutsNeeded(size, count) for size, count in sizes.items()),
            area=_area(sizes),
            set_number=_set_number(role),
        )
        for role, sizes in together.items()
    )


def role_name(role: Role) -> str:
    """Return what a role of a layout is called in a choice: as `Need.name` does."""
    return Need(role.name, None, set_number=_set_number(role)).name


def seams_of(meetings: Sequence[Meeting]) -> tuple[RoleSeam, ...]:
    """Return which roles of a quilt meet along what length, by their names in a choice."""
    return tuple(
        RoleSeam(role_name(meeting.one), role_name(meeting.other), meeting.length)
        for meeting in meetings
    )


def _area(sizes: Mapping[Size, int]) -> int:
    """Return the area that several sizes take together; 0 for one, which is counted exactly."""
    if len(sizes) < 2:
        return 0
    return sum(size.area * count for size, count in sizes.items())


def _set_number(role: Role) -> int | None:
    """Return the set of a role; a set of its own in every repeat is the first, until repeated."""
    return 1 if role.set_number == OWN_SET else role.set_number
