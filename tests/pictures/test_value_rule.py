"""The value rule: greys stand at their lightness, gaps are drawn to scale, marks do not touch."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import Canvas, page_images
from stashkeeper.pictures.greys import ACCENT, GROUND_LIGHTNESS, grey
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.placing import lanes, spread_out
from stashkeeper.pictures.value_rule import (
    BEADS,
    BODY,
    BRACKET,
    BRACKET_AT,
    WEDGE,
    Bead,
    Bracket,
    Mark,
    Rule,
    Stretch,
    bead_lanes,
    draw_value_rule,
    wedge,
)
from tests.pictures.made import reference_lightness

RULE = Rule(x=32.0, top=88.0, bottom=988.0)


def drawn(*brackets: Bracket) -> NDArray[np.uint8]:
    """Return the dots of a page with nothing but the rule and these gaps."""
    with Canvas(Paper.A4, "rule") as canvas:
        canvas.add_page(grey(GROUND_LIGHTNESS))
        stretches = [Stretch(70, 90), Stretch(45, 60)]
        draw_value_rule(canvas, RULE, [Bead(80.0, Mark.SURE)], stretches, brackets)
        return np.asarray(page_images(canvas.pdf())[0])


def cie_lightness(code: int) -> float:
    """Return L* of a grey code by the formulas of IEC 61966-2-1 and CIE 15, written out here."""
    signal = code / 255
    light = signal / 12.92 if signal <= 0.04045 else ((signal + 0.055) / 1.055) ** 2.4
    return 116 * light ** (1 / 3) - 16 if light > 216 / 24389 else light * 24389 / 27


def test_the_greys_beside_every_tick_are_the_lightness_they_stand_at() -> None:
    page = drawn()
    middle = round((RULE.x + BODY + WEDGE / 2) * DOTS_PER_PX)
    for lightness in range(1, 100):
        row = int(RULE.y(lightness) * DOTS_PER_PX)
        red, green, blue = (int(code) for code in page[row, middle])
        assert red == green == blue
        assert cie_lightness(red) == pytest.approx(lightness, abs=0.3)


def test_the_wedge_ends_in_white_and_black() -> None:
    greys = np.asarray(wedge(2000))
    assert (greys[0, 0], greys[-1, 0]) == (255, 0)
    assert np.all(np.diff(greys[:, 0].astype(int)) <= 0)


def test_a_grey_agrees_with_a_second_implementation() -> None:
    for lightness in (10.41, 30.38, 51.00, 70.86, 90.18):  # Munsell 1, 3, 5, 7, 9 (ASTM D1535)
        code = np.array([grey(lightness)], dtype=np.uint8)
        assert reference_lightness(code)[0] == pytest.approx(lightness, abs=0.25)


@pytest.mark.parametrize(
    ("upper", "lower", "weak"), [(66.2, 62.4, True), (70.0, 45.0, False), (60.0, 68.0, True)]
)
def test_a_gap_is_drawn_to_scale(upper: float, lower: float, weak: bool) -> None:
    page = drawn(Bracket(upper, lower, "x", "±3", ("word", "A1 · B1"), weak))
    column = page[:, round((RULE.x + BRACKET_AT + BRACKET) * DOTS_PER_PX)].astype(int)
    ink = np.array(ACCENT if weak else (0, 0, 0))
    inked = np.flatnonzero(np.abs(column - ink).sum(axis=1) < 60)
    length = (inked[-1] - inked[0] + 1) / DOTS_PER_PX
    scale = (RULE.bottom - RULE.top) / 100
    # The line is 1½ px thick and reaches half of it beyond either end.
    assert length - 1.5 == pytest.approx(abs(upper - lower) * scale, abs=0.8)


def test_a_weak_gap_is_hatched_and_a_clear_one_is_not() -> None:
    def inside(weak: bool) -> NDArray[np.uint8]:
        page = drawn(Bracket(70.0, 60.0, "x", "±3", ("word", ""), weak))
        left = round((RULE.x + BRACKET_AT + 2) * DOTS_PER_PX)
        right = round((RULE.x + BRACKET_AT + BRACKET - 2) * DOTS_PER_PX)
        top, bottom = (round(RULE.y(at) * DOTS_PER_PX) for at in (69.0, 61.0))
        return page[top:bottom, left:right]

    assert inside(weak=False).std() == 0
    hatched = np.asarray(Image.fromarray(inside(weak=True)).convert("L"), dtype=float)
    assert hatched.std() > 15, "the hatch shows in a grey print too"


@given(st.lists(st.floats(0, 900), max_size=120), st.floats(1, 20))
@settings(deadline=None, max_examples=150)
def test_marks_of_one_lane_never_touch(places: list[float], clearance: float) -> None:
    found = lanes(places, clearance)
    for lane in set(found):
        mine = sorted(place for place, own in zip(places, found, strict=True) if own == lane)
        assert all(b - a >= clearance for a, b in itertools.pairwise(mine))


@given(st.lists(st.floats(0, 900), max_size=60))
@settings(deadline=None, max_examples=100)
def test_beads_stay_beside_the_rule(places: list[float]) -> None:
    size, found = bead_lanes(places)
    assert (max(found, default=0) + 1) * (size + 1) <= BEADS


@given(st.lists(st.tuples(st.floats(0, 1000), st.floats(10, 200)), min_size=1, max_size=5))
@settings(deadline=None, max_examples=150)
def test_blocks_keep_their_order_and_do_not_overlap(blocks: list[tuple[float, float]]) -> None:
    middles, heights = zip(*blocks, strict=True)
    tops = spread_out(middles, heights, 8.0, 0.0, 1200.0)
    assert tops[0] >= 0.0
    assert tops[-1] + heights[-1] <= 1200.0 + 1e-6
    for top, height, following in zip(tops, heights, tops[1:], strict=False):
        assert top + height + 8.0 <= following + 1e-6


def test_a_block_with_room_stands_where_it_wants_to() -> None:
    assert spread_out([100.0, 500.0], [40.0, 60.0], 8.0, 0.0, 900.0) == [80.0, 470.0]
