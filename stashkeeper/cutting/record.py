"""A plan as plain values that a database or file can keep, and back again, exactly."""

from typing import Any, Final

from stashkeeper.cloth.cloth import Cloth, Trims
from stashkeeper.cloth.cut import Cut
from stashkeeper.cloth.value import Value
from stashkeeper.cutting.plan import (
    Box,
    CutLine,
    Direction,
    Goal,
    OffCut,
    PiecePlan,
    Placement,
    Plan,
)
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size

FORM: Final = 1
"""The number of this form; a later one gets another, so that old plans can still be read."""

type Plain = dict[str, Any]


def plan_to_plain(plan: Plan) -> Plain:
    """Return a plan as dictionaries, lists, texts and whole numbers (lengths in ticks)."""
    return {
        "form": FORM,
        "goal": plan.goal.value,
        "cuts": [_cut(cut) for cut in plan.cuts],
        "pieces": [_piece(piece) for piece in plan.pieces],
    }


def plan_from_plain(plain: Plain) -> Plan:
    """Return the plan that `plan_to_plain` wrote down.

    Raises:
        KeyError, TypeError, ValueError: these values are no plan of form 1.
    """
    if plain["form"] != FORM:
        raise ValueError(f"a plan of form {plain['form']} cannot be read, only form {FORM}")
    return Plan(
        Goal(plain["goal"]),
        tuple(_to_cut(cut) for cut in plain["cuts"]),
        tuple(_to_piece(piece) for piece in plain["pieces"]),
    )


def _size(size: Size) -> list[int]:
    return [size.width.ticks, size.length.ticks]


def _to_size(ticks: list[int]) -> Size:
    return Size(Length(ticks[0]), Length(ticks[1]))


def _box(box: Box) -> list[int]:
    return [box.left.ticks, box.near.ticks, *_size(box.size)]


def _to_box(ticks: list[int]) -> Box:
    return Box(Length(ticks[0]), Length(ticks[1]), _to_size(ticks[2:]))


def _cut(cut: Cut) -> Plain:
    return {
        "name": cut.name,
        "size": _size(cut.size),
        "count": cut.count,
        "directional": cut.directional,
        "fabric": cut.fabric,
        "value": cut.value.value if cut.value else None,
        "role": cut.role,
    }


def _to_cut(plain: Plain) -> Cut:
    value = Value(plain["value"]) if plain["value"] else None
    return Cut(**plain | {"size": _to_size(plain["size"]), "value": value})


def _cloth(cloth: Cloth) -> Plain:
    return {
        "code": cloth.code,
        "fabric": cloth.fabric,
        "size": _size(cloth.size),
        "certain": cloth.certain,
        "directional": cloth.directional,
        "selvedges": sorted(edge.value for edge in cloth.selvedges),
        "grain_known": cloth.grain_known,
        "flannel": cloth.flannel,
        "value": cloth.value.value if cloth.value else None,
        "roles": sorted(cloth.roles),
        "trims": [trim.ticks for trim in cloth.trims.edges],
    }


def _to_cloth(plain: Plain) -> Cloth:
    return Cloth(
        **plain
        | {
            "size": _to_size(plain["size"]),
            "selvedges": frozenset(Edge(edge) for edge in plain["selvedges"]),
            "value": Value(plain["value"]) if plain["value"] else None,
            "roles": frozenset(plain["roles"]),
            "trims": Trims(*(Length(ticks) for ticks in plain["trims"])),
        }
    )


def _piece(piece: PiecePlan) -> Plain:
    return {
        "cloth": _cloth(piece.cloth),
        "trims": [_box(box) for box in piece.trims],
        "lines": [
            [_box(line.box), line.direction.value, line.setting.ticks, line.stage]
            for line in piece.lines
        ],
        "placements": [[one.name, _box(one.box), one.turned] for one in piece.placements],
        "off_cuts": [[_box(one.box), one.kept] for one in piece.off_cuts],
    }


def _to_piece(plain: Plain) -> PiecePlan:
    return PiecePlan(
        _to_cloth(plain["cloth"]),
        tuple(_to_box(box) for box in plain["trims"]),
        tuple(
            CutLine(_to_box(box), Direction(direction), Length(setting), stage)
            for box, direction, setting, stage in plain["lines"]
        ),
        tuple(Placement(name, _to_box(box), turned) for name, box, turned in plain["placements"]),
        tuple(OffCut(_to_box(box), kept) for box, kept in plain["off_cuts"]),
    )
