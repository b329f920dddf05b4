"""Seams: each edge where two roles meet, found again here by looking on both sides of it."""

import math
from collections import defaultdict

import pytest
from hypothesis import given, settings

from stashkeeper.lengths.length import Length
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Layout, Role, patches
from stashkeeper.quilts.layout_library import traditional_layout
from stashkeeper.quilts.lines import lines
from stashkeeper.quilts.rearrange import turned
from stashkeeper.quilts.seams import meetings, seam_length, seams
from stashkeeper.quilts.set_blocks import sashed, set_on_point
from tests.quilts.drawn import INCH, Outline, layouts

laws = settings(deadline=None, max_examples=50)
BORDER = Role("border")

type Ends = tuple[tuple[int, int], tuple[int, int]]


def inside(point: tuple[float, float], outline: Outline) -> bool:
    """Tell whether a point lies inside a convex outline drawn clockwise."""
    following = outline[1:] + outline[:1]
    return all(
        (x2 - x1) * (point[1] - y1) > (y2 - y1) * (point[0] - x1)
        for (x1, y1), (x2, y2) in zip(outline, following, strict=True)
    )


def lengths_by_looking(layout: Layout) -> dict[frozenset[Role], float]:
    """Return how long each two roles meet, in twelfths, by a look at both sides of every edge.

    Every edge of every patch is walked twelfth by twelfth, where alone its neighbour can change;
    half of what is found, since two patches share each seam.
    """
    drawn = [(patch.role, patch.outline) for patch in patches(layout)]
    found: dict[frozenset[Role], float] = defaultdict(float)
    for role, outline in drawn:
        for (x1, y1), (x2, y2) in zip(outline, outline[1:] + outline[:1], strict=True):
            long = math.hypot(x2 - x1, y2 - y1)
            out = (y2 - y1) / long / 97, (x1 - x2) / long / 97
            steps = max(abs(x2 - x1), abs(y2 - y1))
            for step in range(steps):
                part = (step + 0.5) / steps
                here = x1 + (x2 - x1) * part + out[0], y1 + (y2 - y1) * part + out[1]
                beyond = next((other for other, around in drawn if inside(here, around)), None)
                if beyond is not None and beyond != role:
                    found[frozenset((role, beyond))] += long / steps / 2
    return found


@settings(deadline=None, max_examples=25)
@given(layouts().filter(lambda layout: layout.columns * layout.rows <= 9))
def test_seams_are_where_a_look_at_both_sides_finds_two_roles(layout: Layout) -> None:
    found: dict[frozenset[Role], float] = defaultdict(float)
    for seam in seams(layout):
        found[frozenset((seam.one, seam.other))] += math.dist(seam.start, seam.end)
    by_looking = lengths_by_looking(layout)
    assert found.keys() == by_looking.keys()
    for pair, length in found.items():
        assert length == pytest.approx(by_looking[pair], rel=1e-6)


@laws
@given(layouts())
def test_turning_keeps_the_length_of_all_meetings(layout: Layout) -> None:
    def told(one: Layout) -> dict[tuple[Role, Role], float]:
        met = meetings(one, lines(one, Length(12_000)), BORDER)
        return {(m.one, m.other): round(m.length, 6) for m in met}

    assert told(turned(layout)) == told(layout)


@laws
@given(layouts())
def test_the_way_around_meets_the_border_all_along(layout: Layout) -> None:
    around = [seam for seam in seams(layout, BORDER) if BORDER in seam]
    total = sum(math.dist(seam.start, seam.end) for seam in around)
    assert total == pytest.approx(2 * 12 * (layout.columns + layout.rows))


def test_the_seams_of_a_sawtooth_star() -> None:
    """Unit 3 in: eight long edges of points, 3√2 in each, and eight of 3 in against the corners.

    Where star meets star inside the block there is no seam between roles. (Geometry, by hand.)
    """
    star = traditional_layout("sawtooth star")
    (met,) = meetings(star, lines(star, INCH * 3))
    assert met.length == pytest.approx(8 * 3 * math.sqrt(2) + 8 * 3)
    assert met.count == 16
    assert seam_length(met.seams[0], lines(star, INCH * 3)) == pytest.approx(3 * math.sqrt(2))


def test_straight_seams_between_the_same_two_roles_are_one() -> None:
    """The upper strip of sashing lies along three units of a checkerboard: three seams."""
    block = traditional_layout("nine patch")
    framed = sashed(block, 1, 2, Role("sash"))
    met = {(m.one.name, m.other.name): m for m in meetings(framed, lines(framed, INCH, INCH))}
    assert met["dark", "sash"].count == 4  # two corners above, two below
    assert met["light", "sash"].length == 2


def test_sashing_has_its_own_width() -> None:
    block = traditional_layout("checkerboard")
    framed = sashed(block, 2, 2, Role("sash"), Role("stone"), outer=True)
    grid = lines(framed, INCH * 3, Length.from_inches("3/2"))
    assert grid.size.width == INCH * 12 + Length.from_inches("3/2") * 3
    met = {(m.one.name, m.other.name): m.length for m in meetings(framed, grid)}
    assert met["sash", "stone"] == pytest.approx(1.5 * (4 * 2 + 4 * 3 + 1 * 4))


def test_a_quilt_on_point_meets_its_border_along_triangles_only() -> None:
    """Two by three blocks of 4 in: the way around is 2 × (2 + 3) diagonals of 4√2 in."""
    block = grown(traditional_layout("checkerboard"), 2, 2)
    diamond = set_on_point(block, 2, 3, Role("ground"), Role("plain"))
    met = {
        (m.one.name, m.other.name): m for m in meetings(diamond, lines(diamond, INCH * 2), BORDER)
    }
    along = met["border", "ground"]
    assert along.length == pytest.approx(2 * (2 + 3) * 4 * math.sqrt(2))
    assert not any("border" in pair and pair != ("border", "ground") for pair in met)
    assert met["dark", "plain"].length == pytest.approx(2 * 4 * 2)
