"""What to cut for so many units of one kind: the parts of a recipe."""

from collections.abc import Iterator
from dataclasses import dataclass

from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.layout import Role, Unit
from stashkeeper.quilts.rearrange import turned_unit
from stashkeeper.quilts.setting import corner_square, side_square
from stashkeeper.quilts.sewing import Finish, Sewing
from stashkeeper.quilts.shapes import ACROSS, UnitKind
from stashkeeper.quilts.units import (
    GeeseAtOnce,
    HalfSquaresAtOnce,
    batches,
    flying_geese,
    half_square,
    quarter_square,
)


@dataclass(frozen=True, slots=True)
class Methods:
    """How units are made: so many half-square triangles and flying geese at a time."""

    half_squares: HalfSquaresAtOnce = 2
    geese: GeeseAtOnce = 4


@dataclass(frozen=True, slots=True)
class Need:
    """Rectangles needed of one role, as cut, and what for."""

    role: Role
    use: str
    size: Size
    count: int


@dataclass(frozen=True, slots=True)
class Recipe:
    """Units that are sewn alike, whichever way they are turned.

    Attributes:
        unit: one of them.
        finished: its finished size.
        count: how many.
        use: what they are called in a parts list.
        trim_to: the unfinished size to trim each to; None where nothing is trimmed.
        needs: what to cut for them.
    """

    unit: Unit
    finished: Size
    count: int
    use: str
    trim_to: Size | None
    needs: tuple[Need, ...]


def recipe(
    unit: Unit, finished: Size, count: int, use: str, sewing: Sewing, methods: Methods
) -> Recipe:
    """Return what to cut for `count` units of this finished size.

    Raises:
        BadSizeError: a size that no quilt has.
    """
    trimmed = sewing.finish is Finish.TRIMMED and _is_trimmed(unit, methods)
    exactly = Size(sewing.unfinished(finished.width), sewing.unfinished(finished.length))
    return Recipe(
        unit=unit,
        finished=finished,
        count=count,
        use=use,
        trim_to=exactly if trimmed else None,
        needs=tuple(_needs(unit, finished, count, use, sewing, methods)),
    )


def standing(unit: Unit, finished: Size) -> tuple[Unit, Size]:
    """Return a unit, and its size, turned the way all units sewn alike are written down."""
    ways = [(unit, finished)]
    for _ in range(3):
        last, size = ways[-1]
        ways.append((turned_unit(last), size.turned()))
    return min(ways, key=lambda way: (way[0].roles, way[1].width, way[0].shape.places))


def _needs(
    unit: Unit, finished: Size, count: int, use: str, sewing: Sewing, methods: Methods
) -> Iterator[Need]:
    match unit.shape.kind:
        case UnitKind.HALF_SQUARE:
            side = half_square(finished.width, sewing, methods.half_squares).cut
            pairs = batches(count, methods.half_squares)
            yield from (Need(role, use, Size(side, side), pairs) for role in unit.roles)
        case UnitKind.FLYING_GEESE:
            yield from _geese_needs(unit, finished, count, use, sewing, methods)
        case UnitKind.QUARTER_SQUARE:
            side = quarter_square(finished.width, sewing).cut
            yield from _triangle_needs(unit, side, count, 4, use)
        case UnitKind.SIDE_TRIANGLE:
            yield from _triangle_needs(unit, side_square(finished.width, sewing).cut, count, 4, use)
        case UnitKind.CORNER_TRIANGLE:
            side = corner_square(finished.width, sewing).cut
            yield from _triangle_needs(unit, side, count, 2, use)
        case _:
            size = sewing.cut_size(_patch(unit, finished))
            yield from (Need(role, use, size, count) for role in unit.roles)


def _geese_needs(
    unit: Unit, finished: Size, count: int, use: str, sewing: Sewing, methods: Methods
) -> Iterator[Need]:
    goose, *sky = unit.roles
    at_once: GeeseAtOnce = methods.geese if sky[0] == sky[1] else 1
    cuts = flying_geese(max(finished.width, finished.length), sewing, at_once)
    times = batches(count, at_once)
    square = Size(cuts.sky, cuts.sky)
    yield Need(goose, use, cuts.goose, times)
    yield from (Need(role, use, square, times * cuts.sky_squares // 2) for role in sky)


def _triangle_needs(
    unit: Unit, side: Length, count: int, a_square: int, use: str
) -> Iterator[Need]:
    """Yield squares for loose triangles, `a_square` of them from each."""
    for role in dict.fromkeys(unit.roles):
        triangles = count * unit.roles.count(role)
        yield Need(role, use, Size(side, side), batches(triangles, a_square))


def _patch(unit: Unit, finished: Size) -> Size:
    """Return the finished size of each patch of a unit whose patches are all alike."""
    columns, rows = 1, 1
    if unit.shape.kind is UnitKind.FOUR_PATCH:
        columns, rows = 2, 2
    elif unit.shape.kind is UnitKind.BARS:
        bars = len(unit.roles)
        columns, rows = (1, bars) if unit.shape.places[0].startswith(ACROSS) else (bars, 1)
    return Size(
        Length(-(-finished.width.ticks // columns)), Length(-(-finished.length.ticks // rows))
    )


def _is_trimmed(unit: Unit, methods: Methods) -> bool:
    if unit.kind is UnitKind.FLYING_GEESE:
        return methods.geese == 4 and unit.roles[1] == unit.roles[2]
    return unit.kind in {UnitKind.HALF_SQUARE, UnitKind.QUARTER_SQUARE}
