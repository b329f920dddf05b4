"""From a layout to a choice: every traditional layout can be asked for, chosen and judged."""

import random

import pytest

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutKey, CutsNeeded, Need
from stashkeeper.choosing.quilt_needs import needs_of_parts, role_name, seams_of
from stashkeeper.choosing.seam_contrast import judge_seams
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cloth.reading import Method, Reading, typed_factors
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.planner import attempt_cuts
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.colour_family import colour_family
from stashkeeper.luminance.contrast import Entry
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.quilt import Quilt, parts, quilt_lines
from stashkeeper.quilts.seams import meetings
from tests.choosing.shelves import DARK, LIGHT, MEDIUM

UNIT = Length.from_inches(3)


def yardage(size: int) -> tuple[list[Candidate], dict[str, Cloth]]:
    """Return half yards and yards of cloth from dark to light, in a few colours."""
    dice = random.Random(size)
    candidates, cloths = [], {}
    for number in range(size):
        lightness, a, b = 12 + 80 * number / size, dice.uniform(-30, 30), dice.uniform(-30, 30)
        width, length = Length.from_inches(40), Length.from_inches(dice.choice([18, 36]))
        code, reading = f"A{number}", Reading(
            lightness, a, b, Method.TYPED, typed_factors(f"own {number}")
        )  # fmt: skip
        family = str(colour_family(lightness, a, b))
        area = width.ticks * length.ticks
        candidates.append(Candidate(code, code, reading, area, family))
        cloths[code] = Cloth(code, code, Size(width, length))
    return candidates, cloths


def given_by(cloths: dict[str, Cloth], needs: tuple[Need, ...]) -> dict[CutKey, list[int]]:
    """Return how many of every size each cloth gives, by the cutting room's count."""
    sizes = {cut.key for need in needs for cut in need.cuts}
    shelf = Shelf.of(list(cloths.values()))
    return {size: counts(shelf, size).tolist() for size in sizes if isinstance(size, Size)}


@pytest.mark.parametrize("name", layout_names())
def test_every_traditional_layout(name: str) -> None:
    quilt = Quilt(traditional_layout(name), UNIT)
    needs = needs_of_parts(parts(quilt), dict(quilt.layout.values))
    candidates, cloths = yardage(60)
    best = choose(candidates, given_by(cloths, needs), needs, others=0).best
    assert {one.role for one in best.chosen} == {need.name for need in needs}
    entries = {one.code: Entry(one.code, one.reading, one.fabric) for one in candidates}
    cast = {need.name: [entries[one.codes[0]] for one in best.chosen if one.role == need.name]
            for need in needs}  # fmt: skip
    seams = seams_of(meetings(quilt.layout, quilt_lines(quilt)))
    judged = judge_seams(seams, cast)
    assert len(judged) == len(seams) > 0
    assert all(one.gap is not None for one in judged)


def test_the_parts_of_a_role_are_one_need() -> None:
    layout = traditional_layout("churn dash")
    quilt = Quilt(layout, UNIT)
    listed = parts(quilt)
    needs = needs_of_parts(listed, dict(layout.values), {"background": 2})
    assert [need.name for need in needs] == list(dict.fromkeys(role_name(it.role) for it in listed))
    for need in needs:
        mine = [part.cut for part in listed if role_name(part.role) == need.name]
        assert sum(cut.count for cut in need.cuts) == sum(cut.count for cut in mine)
        total = sum(cut.size.area * cut.count for cut in mine)
        assert need.area == (total if len(need.cuts) > 1 else 0)


def test_the_cutting_room_proves_what_several_sizes_take() -> None:
    large, small = Size(Length.from_inches(10), Length.from_inches(10)), Size(
        Length.from_inches(6), Length.from_inches(6)
    )  # fmt: skip
    cuts = (CutsNeeded(large, 1), CutsNeeded(small, 1))
    area = large.area + small.area
    needs = tuple(Need(str(value), value, 1, cuts, area=area) for value in (LIGHT, MEDIUM, DARK))
    sizes = {"square": (12, 12), "long": (10, 16), "half": (18, 20)}
    candidates, cloths = [], {}
    for number, (kind, lightness) in enumerate(
        [("square", 10), ("half", 16), ("long", 50), ("square", 88), ("long", 84)]
    ):
        width, length = (Length.from_inches(side) for side in sizes[kind])
        code, reading = f"A{number}", Reading(
            lightness, 0.0, 0.0, Method.TYPED, typed_factors(f"own {number}")
        )  # fmt: skip
        candidates.append(Candidate(code, code, reading, width.ticks * length.ticks, "grey"))
        cloths[code] = Cloth(code, code, Size(width, length))

    def prove(need: Need, codes: tuple[str, ...]) -> bool:
        wanted = [Cut(f"cut {at}", cut.key, cut.count) for at, cut in enumerate(need.cuts)
                  if isinstance(cut.key, Size)]  # fmt: skip
        return attempt_cuts([cloths[code] for code in codes], wanted, seconds=0.3).plans is not None

    best = choose(candidates, given_by(cloths, needs), needs, prove=prove, others=0).best
    # By area a 12 in square (144 square inches) holds both (136), by geometry it does not.
    assert [one.codes for one in best.chosen] == [("A4",), ("A2",), ("A1",)]
    assert best.cuts_proven and best.gap == 34.0
    assert best.bound == 38.0 and not best.proven
