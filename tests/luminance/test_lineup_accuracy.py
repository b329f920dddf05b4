"""Lightness by line-ups that share fabrics, by a simulated phone (tests/simulated_phone).

It ranks ways of measuring and proves nothing about real phones. A shelf of 24 fabrics lies in six
line-ups of six, each sharing two fabrics with the next.
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from stashkeeper.luminance.lineup import Line, Split
from stashkeeper.luminance.lineup_tie import Known, Seen, Tied, tie
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.ranking import Bands, value_by_bands
from tests.luminance.test_lineup_split import shot_at_random
from tests.simulated_phone.lined_up import line_up, print_at_random
from tests.simulated_phone.snapped import Shot, snap

BANDS = Bands(dark_below=40.0, light_from=65.0)
FABRICS = 24


@dataclass(frozen=True)
class Shelf:
    """What six line-ups show, and the truth: L* of each fabric.

    `pairs` are differences inside one photo: true, then seen.
    """

    seen: list[Seen]
    true: dict[str, float]
    pairs: list[tuple[float, float]]

    def known(self, ranks: tuple[int, ...]) -> list[Known]:
        """Return the fabrics of some ranks, from the darkest, as known to ±2."""
        order = sorted(self.true, key=self.true.__getitem__)
        return [Known(order[rank], self.true[order[rank]], 2.0) for rank in ranks]


def shelf_at_random(seed: int) -> Shelf:
    random = np.random.default_rng(seed)
    fabrics = [print_at_random(random) for _ in range(FABRICS)]
    seen: list[Seen] = []
    pairs = []
    for photo in range(6):
        places = [(4 * photo + step) % FABRICS for step in range(6)]
        scene = line_up(random, tuple(fabrics[place] for place in places))
        shot = shot_at_random(random, seed * 10 + photo)
        # One phone: its curve wobbles a little from photo to photo.
        shot = Shot(
            float(random.normal(1.02, 0.02)), shot.slope, shot.warm, shot.brighter, shot.seed
        )
        axis = 1 if scene.lying else 0
        lines = tuple(Line(start[axis], end[axis]) for start, end in scene.lines)
        taken = snap(scene.light, shot)
        shown = [measure(taken, crop) for crop in Split(lines, scene.lying).crops()]
        seen += [
            Seen(str(place), str(photo), float(one.xyz[1]))
            for place, one in zip(places, shown, strict=True)
        ]
        for one in range(6):
            for other in range(one):
                true = fabrics[places[one]].lightness - fabrics[places[other]].lightness
                pairs.append((true, shown[one].lightness - shown[other].lightness))
    return Shelf(seen, {str(n): one.lightness for n, one in enumerate(fabrics)}, pairs)


@pytest.fixture(scope="module")
def shelves() -> list[Shelf]:
    return [shelf_at_random(seed) for seed in range(600, 618)]


def off(shelves: list[Shelf], ranks: tuple[int, ...]) -> list[tuple[float, float, bool]]:
    """Return the error, the stated ± and whether the value is wrong, of all that is not known."""
    found = []
    for shelf in shelves:
        known = shelf.known(ranks)
        tied = tie(shelf.seen, known, "t")
        for fabric in shelf.true.keys() - {one.fabric for one in known}:
            true, read = shelf.true[fabric], tied.lightness[fabric]
            wrong = value_by_bands(read, BANDS) != value_by_bands(true, BANDS)
            found.append((read - true, _unsure(tied, fabric), wrong))
    return found


def _unsure(tied: Tied, fabric: str) -> float:
    return math.sqrt(sum(factor.weight**2 for factor in tied.factors[fabric]))


KNOWN = {"one known": (12,), "two known": (4, 20), "three known": (4, 12, 20)}
"""Ranks, of 24 from the darkest, of the fabrics whose lightness is known."""


def told(name: str, shelves: list[Shelf], ranks: tuple[int, ...]) -> tuple[float, float, float]:
    """Print the figures; return mean error, the share that ± covers, the share of wrong values."""
    errors, stated, wrong = (np.array(part) for part in zip(*off(shelves, ranks), strict=True))
    away = np.abs(errors)
    covered = float(np.mean(away <= stated))
    print(
        f"\n{name}: mean {away.mean():.2f}, 95th {np.percentile(away, 95):.2f}, median "
        f"±{np.median(stated):.1f}, covered {covered:.3f}, wrong value {wrong.mean():.3f}"
    )
    return float(away.mean()), covered, float(wrong.mean())


@pytest.mark.campaign
@pytest.mark.parametrize("name", KNOWN)
def test_shared_line_ups_give_one_scale(shelves: list[Shelf], name: str) -> None:
    mean, covered, _ = told(name, shelves, KNOWN[name])
    assert mean <= 3.5
    assert covered >= 0.95


@pytest.mark.campaign
def test_few_values_that_are_not_provisional_are_wrong(shelves: list[Shelf]) -> None:
    wrong = [case[2] for ranks in KNOWN.values() for case in off(shelves, ranks)]
    print(f"\nnot provisional: wrong value {np.mean(wrong):.3f}")
    assert np.mean(wrong) <= 0.05


@pytest.mark.campaign
def test_where_nothing_is_known_the_stated_uncertainty_says_so(shelves: list[Shelf]) -> None:
    """Such readings stay provisional: their mean error is 2.5 to 3 L*, by luck of exposure."""
    mean, covered, _ = told("none known", shelves, ())
    assert mean <= 3.5
    assert covered >= 0.95


@pytest.mark.campaign
def test_the_order_inside_one_line_up_is_right_where_fabrics_differ(shelves: list[Shelf]) -> None:
    true, seen = np.array([pair for shelf in shelves for pair in shelf.pairs]).T
    apart = np.abs(true) >= 5
    wrong = np.mean(np.sign(true[apart]) != np.sign(seen[apart]))
    print(f"\n{apart.sum()} pairs 5 L* or more apart: order wrong in {100 * wrong:.2f} %")
    assert wrong <= 0.01
    # A difference inside one photo is stated to be good to ±9.
    assert np.mean(np.abs(true - seen) <= 9.05) >= 0.95
