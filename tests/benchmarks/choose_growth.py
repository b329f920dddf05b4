"""Time of choosing from 100 to 100,000 pieces, as ratios to one sort of their lightnesses.

Run it by `uv run python tests/benchmarks/choose_growth.py`. Targets: from 1,000 pieces at most 1 s,
with 20 sets by colour family at most 2 s, from 100,000 at most 3 s; all with reasons, three other
choices and the missing fabric. CPU time, runs interleaved, medians.
"""

import math
import random
import statistics
import time
from collections.abc import Callable, Sequence

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.cloth.reading import Method, Reading, lone_photo_factors
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.length import TICKS_PER_INCH
from stashkeeper.luminance.colour_family import colour_family

SIZES = (100, 1_000, 10_000, 100_000)
MOST_WITH_SETS = 10_000
ROUNDS = 5
SQUARES = "squares"

type Shelf = tuple[Sequence[Candidate], Sequence[int]]


def shelf_of(size: int) -> Shelf:
    """Return pieces with readings from photos, and how many 5 in squares each gives."""
    dice = random.Random(size)
    pieces = []
    for number in range(size):
        lightness = round(dice.uniform(8, 96), 1)
        chroma, hue = dice.uniform(0, 50), dice.uniform(0, 2 * math.pi)
        a, b = chroma * math.cos(hue), chroma * math.sin(hue)
        factors = lone_photo_factors(f"own {number}", f"photo {number}")
        reading = Reading(lightness, a, b, Method.PHOTO, factors)
        width, length = dice.choice([(21, 18), (21, 9), (42, 18), (42, 36), (10, 10)])
        area = width * length * TICKS_PER_INCH**2
        family = str(colour_family(lightness, a, b))
        pieces.append(Candidate(f"A{number}", f"F{number}", reading, area, family))
    squares = [one.area // (25 * TICKS_PER_INCH**2) for one in pieces]
    return pieces, squares


def sort(shelf: Shelf) -> None:
    """Sort the lightnesses: the floor."""
    sorted(one.reading.lightness for one in shelf[0])


def by_count(shelf: Shelf) -> None:
    """Choose three fabrics of each value, each of which gives four squares."""
    cuts = (CutsNeeded(SQUARES, 4),)
    choose(shelf[0], {SQUARES: shelf[1]}, [Need(v, v, 3, cuts, each=True) for v in Value])


def by_squares(shelf: Shelf) -> None:
    """Choose as many fabrics as give forty squares of each value."""
    cuts = (CutsNeeded(SQUARES, 40),)
    choose(shelf[0], {SQUARES: shelf[1]}, [Need(v, v, None, cuts) for v in Value])


def by_sets(shelf: Shelf) -> None:
    """Choose 20 sets (5 from a small shelf), each of one colour family."""
    needs = in_sets([Need(v, v, 1) for v in Value], 20 if len(shelf[0]) >= 1_000 else 5)
    choose(shelf[0], {SQUARES: shelf[1]}, needs)


WAYS: dict[str, Callable[[Shelf], None]] = {
    "one sort": sort, "by count": by_count, "by squares": by_squares, "in sets": by_sets,
}  # fmt: skip


def cpu_time(way: Callable[[Shelf], None], shelf: Shelf) -> float:
    """Return the CPU seconds of one run."""
    start = time.process_time()
    way(shelf)
    return time.process_time() - start


def main() -> None:
    """Run all ways on all sizes and print the table."""
    small = shelf_of(SIZES[0])
    for way in WAYS.values():
        way(small)
    print(f"{'pieces':>8}  {'way':12} {'CPU s':>9} {'× one sort':>11}")
    for size in SIZES:
        shelf = shelf_of(size)
        ways = {name: way for name, way in WAYS.items()
                if name != "in sets" or size <= MOST_WITH_SETS}  # fmt: skip
        found: dict[str, list[float]] = {name: [] for name in ways}
        for _ in range(ROUNDS):
            for name, way in ways.items():
                found[name].append(cpu_time(way, shelf))
        floor = statistics.median(found["one sort"])
        for name, runs in found.items():
            took = statistics.median(runs)
            print(f"{size:8,}  {name:12} {took:9.5f} {took / floor:11.1f}")


if __name__ == "__main__":
    main()
