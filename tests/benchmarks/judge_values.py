"""Growth of ranking and judging a shelf: CPU time at 100 to 100,000 fabrics.

Run it by `uv run python tests/benchmarks/judge_values.py`. Each is also given as a ratio to
sorting the same numbers, run in the same loop.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np

from stashkeeper.choosing.cures import clearing, cures
from stashkeeper.cloth.reading import Method, Reading, lone_photo_factors
from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import Entry, judge
from stashkeeper.luminance.ranking import Bands, split_three, value_by_bands

SIZES = (100, 1_000, 10_000, 100_000)
ROUNDS = 3


def shelf(size: int) -> list[Entry]:
    """Return a seeded shelf of fabrics, each measured in a photo of its own sitting."""
    chance = np.random.default_rng(size)
    lightness = (chance.beta(2, 1.6, size) * 100).tolist()
    a, b = chance.normal(0, 20, (2, size)).tolist()
    return [
        Entry(
            f"{n}",
            Reading(lightness[n], a[n], b[n], Method.PHOTO, lone_photo_factors(f"{n}", f"p{n}")),
            f"{n}",
        )
        for n in range(size)
    ]


def ways(entries: list[Entry]) -> dict[str, Callable[[], object]]:
    """Return what is timed, by name; the groups use every second fabric, the rest is the shelf."""
    numbers = [entry.reading.lightness for entry in entries]
    groups: dict[Value, list[Entry]] = {value: [] for value in Value}
    for entry in entries[::2]:
        groups[value_by_bands(entry.reading.lightness, Bands())].append(entry)
    between = BOUNDARIES[0]
    contrast = judge(groups[between[0]], groups[between[1]], between)
    return {
        "sorted": lambda: sorted(numbers),
        "split_three": lambda: split_three(numbers),
        "judge": lambda: judge(groups[between[0]], groups[between[1]], between),
        "cures": lambda: cures(groups, contrast, entries),
        "clearing": lambda: clearing(groups, contrast),
    }


def milliseconds(way: Callable[[], object]) -> float:
    """Return the CPU time of one run."""
    start = time.process_time()
    way()
    return (time.process_time() - start) * 1e3


def main() -> None:
    """Print CPU milliseconds (and the ratio to sorting) of each way at each size."""
    print(f"{'ms (× sorted)':14}" + "".join(f"{size:>18,}" for size in SIZES))
    table: dict[str, list[float]] = {}
    for size in SIZES:
        timed = ways(shelf(size))
        runs = [{name: milliseconds(way) for name, way in timed.items()} for _ in range(ROUNDS)]
        for name in timed:
            table.setdefault(name, []).append(statistics.median(run[name] for run in runs))
    for name, found in table.items():
        pairs = zip(found, table["sorted"], strict=True)
        cells = [f"{ms:9.2f} ({ms / floor:5.0f})" for ms, floor in pairs]
        print(f"{name:14}" + "".join(f"{cell:>18}" for cell in cells))


if __name__ == "__main__":
    main()
