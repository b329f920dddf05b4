"""A set with kept fabrics: what is still wanting, found around what is settled."""

from collections.abc import Mapping

from stashkeeper.choosing.search import Stretch
from stashkeeper.choosing.set_kinds import WHOLE_SHELF, SetOf
from stashkeeper.choosing.shelf import BLACK, WHITE, Flags, Whole
from stashkeeper.cloth.value import Value


def completed(
    light: Whole,
    able: Flags,
    one: SetOf,
    gap: int,
    stretches: Mapping[Value, Stretch] = WHOLE_SHELF,
    tight: bool = False,
    loose: bool = False,
) -> list[list[int]] | None:
    """Return the fabrics that complete one set, level by level from dark to light, or None.

    Taken by itself, a set is completed whenever it can be: its darks are the darkest there are,
    its lights the lightest, its mediums the darkest that are far enough from the darks.

    Args:
        light: the lightness of all fabrics.
        able: the fabrics of its family that are free.
        one: the set.
        gap: the least difference between neighbouring levels.
        stretches: where each value must lie.
        loose: whether fabrics count that serve only some of the roles of a value.
        tight: whether to stay close to what is kept instead, and leave the ends to others.
    """
    floor, rows = BLACK, list[list[int]]()
    for place, grade in enumerate(one.grades):
        ceiling = _ceiling(light, one, place, gap)
        start, end = stretches.get(grade.value, (0, len(light)))
        if any(not start <= fabric < end or light[fabric] < floor for fabric in grade.kept):
            return None
        here = grade.within(stretches, able, loose)
        here = here[(light[here] >= floor) & (light[here] <= ceiling)]
        if here.size < grade.count:
            return None
        last = place == len(one.grades) - 1
        from_above = not tight if last else tight and place == 0 and ceiling < WHITE
        row = here[here.size - grade.count :] if from_above else here[: grade.count]
        rows.append(row.tolist())
        top = max([*grade.kept, *rows[-1]])
        if int(light[top]) > ceiling:
            return None
        floor = int(light[top]) + gap
    return rows


def _ceiling(light: Whole, one: SetOf, place: int, gap: int) -> int:
    """Return how light a level may be at most, because of what is kept for lighter ones."""
    later = [
        int(light[min(other.kept)]) - gap * (ahead + 1)
        for ahead, other in enumerate(one.grades[place + 1 :])
        if other.kept
    ]
    return min(later, default=WHITE)
