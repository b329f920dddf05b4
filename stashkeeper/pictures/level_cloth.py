"""The cloth and the gaps of one choice of fabrics, as the value rule lying down shows them."""

from collections.abc import Sequence
from typing import Final

from stashkeeper.pictures.greys import grey
from stashkeeper.pictures.level_rule import LevelGap, LevelTile, tile_height, tile_width
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.patchwork import image_of
from stashkeeper.pictures.preview_scene import (
    Look,
    Meeting,
    PreviewFabric,
    Scene,
    Stage,
    tile_looks,
    without_set,
)
from stashkeeper.pictures.print_scale import plain_cloth
from stashkeeper.pictures.sheet_pages import gap_number

MOST_GAPS: Final = 4
"""Gaps drawn below the rule, the worst first."""


def rule_cloth(stage: Stage, scene: Scene, count: int, width: float) -> list[LevelTile]:
    """Return one tile for each fabric of a scene, with all the roles it plays.

    Args:
        stage: the quilt.
        scene: the choice of fabrics.
        count: how many tiles the rule is to have room for.
        width: of the rule, in px.
    """
    wide, high = tile_width(count, width), tile_height(count, width)
    size = dots_of(wide or 1.0, high or 1.0)
    fabrics = {one.code: one for some in scene.cast.values() for one in some}
    looks = tile_looks(list(fabrics.values()), size)
    roles: dict[str, list[str]] = {}
    wishes = []
    for role in stage.roles:
        for fabric in scene.cast.get(role, ()):
            roles.setdefault(fabric.code, []).append(role)
        if not scene.cast.get(role):
            wishes.append(_wish(role, scene.wished.get(role), size))
    played = [_tile(_caption(names), fabrics[code], looks[code]) for code, names in roles.items()]
    return [*played, *wishes]


def rule_gaps(scene: Scene) -> list[LevelGap]:
    """Return the gaps between roles that meet, the worst first."""
    known = [met for met in scene.meetings if met.contrast.gap is not None]
    return [_gap(scene, met) for met in known[:MOST_GAPS]]


def _caption(roles: Sequence[str]) -> str:
    """Return the roles of a fabric; many sets of one role are that role."""
    return ", ".join(dict.fromkeys(roles if len(roles) == 1 else map(without_set, roles)))


def cloth_count(stage: Stage, scene: Scene) -> int:
    """Return how many tiles a scene has on the rule."""
    codes = {one.code for role in stage.roles for one in scene.cast.get(role, ())}
    return len(codes) + sum(not scene.cast.get(role) for role in stage.roles)


def dots_of(width: float, height: float) -> tuple[int, int]:
    """Return how many dots of print a rectangle in px has."""
    return max(1, round(width * DOTS_PER_PX)), max(1, round(height * DOTS_PER_PX))


def _tile(roles: str, fabric: PreviewFabric, look: Look) -> LevelTile:
    mark = fabric.mark if fabric.lightness is not None else None
    return LevelTile(roles, fabric.code, fabric.lightness, fabric.uncertainty, mark, *look)


def _wish(role: str, lightness: float | None, size: tuple[int, int]) -> LevelTile:
    level = 50.0 if lightness is None else lightness
    cloth = plain_cloth(grey(level), level)
    look = image_of(cloth.colour, size), image_of(cloth.grey, size)
    return LevelTile(role, "", lightness, None, None, *look)


def _gap(scene: Scene, met: Meeting) -> LevelGap:
    one, by_code = met.contrast, {f.code: f for some in scene.cast.values() for f in some}
    low = by_code[one.darker].lightness or 0.0
    gap = one.gap or 0.0
    words = f"{gap_number(gap)} ±{one.uncertainty or 0.0:.0f}  {one.verdict}"
    words = "the same fabric" if one.lighter == one.darker else words
    words += ", held by colour" if met.held else ""
    words += ", both meant alike" if one.weak and not met.weak else ""
    return LevelGap(met.words, low, low + gap, words, met.weak, met.sign)
