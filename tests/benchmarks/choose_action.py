"""The whole action `choose` at 1,000 to 100,000 pieces: what is loading, and what is choosing.

Run it by `uv run python tests/benchmarks/choose_action.py [pieces …]`. Targets: from 1,000 pieces
at most 1 s, with 20 sets by colour family at most 2 s, from 100,000 at most 3 s. Loading is the
cloth of the shelf as columns and the readings that count; the choice alone is taken on the very
same candidates, its proofs by cutting plans included. What is neither should cost no more than the
two together. CPU seconds, medians, interleaved; the clock besides, because the solver of the proofs
runs in its own process.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any
from unittest.mock import patch

from stashkeeper.actions import choose as action
from stashkeeper.actions.choose import ChooseWords, choose_fabrics
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.catalogue.cloth_columns import select_cloth
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.readings import readings_by_key
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.choosing.choose import choose
from stashkeeper.settings.load import load_settings
from tests.benchmarks.shelf_growth import fill

ROUNDS = 5
SHELVES = (1_000, 10_000, 100_000)
MOST_WITH_SETS = 10_000
VALUES = ("light", "medium", "dark")
ASKED = {
    "three of each": ChooseWords(needs=[f"{one}: 3, each 4 x 5 in square" for one in VALUES]),
    "forty squares": ChooseWords(needs=[f"{one}: 40 x 5 in square" for one in VALUES]),
    "two sizes": ChooseWords(
        needs=[
            f"{one}: 1 fabric giving 4 x 5 in square and 6 x 2 1/2 in square"
            for one in ("light", "dark")
        ]
    ),
    "20 sets": ChooseWords(needs=[f"{one}: 1" for one in VALUES], sets=20),
}


class _Timed:
    """The choice itself, and how long it took."""

    seconds = 0.0

    def __call__(self, *given: Any, **more: Any) -> object:
        """Choose, and add the time."""
        start = time.process_time()
        try:
            return choose(*given, **more)
        finally:
            self.seconds += time.process_time() - start


def cpu(act: Callable[[], object]) -> float:
    """Return the CPU seconds of one run."""
    start = time.process_time()
    act()
    return time.process_time() - start


def loaded(stash: Stash) -> object:
    """Load the shelf and its readings, as every choice must."""
    with stash.reading() as session:
        cloth = select_cloth(session, Search(), Thresholds())
        return readings_by_key(session, set(cloth.fabrics()))


def measure(stash: Stash, pieces: int) -> None:
    """Print a row for each way of asking."""
    for name, words in ASKED.items():
        if words.sets and pieces > MOST_WITH_SETS:
            continue
        times: dict[str, list[float]] = {"clock": [], "whole": [], "load": [], "choose": []}
        for _ in range(ROUNDS):
            timed, start = _Timed(), time.perf_counter()
            with patch.object(action, "choose", timed):
                times["whole"].append(cpu(partial(choose_fabrics, stash, words)))
            times["clock"].append(time.perf_counter() - start)
            times["choose"].append(timed.seconds)
            times["load"].append(cpu(partial(loaded, stash)))
        clock, whole, load, chosen = (statistics.median(some) for some in times.values())
        rest = whole - load - chosen
        print(
            f"{pieces:>8,} {name:<14} {clock:>8.2f} {whole:>8.2f} {load:>8.2f} {chosen:>8.2f}"
            f" {rest:>8.2f} {rest / (load + chosen):>6.2f}"
        )


def main() -> None:
    """Print the table."""
    # The solver's process loads the main module anew; that of the command is light, this is not.
    del sys.modules["__main__"].__file__
    columns = " ".join(f"{one:>8}" for one in ("clock", "whole", "load", "choose", "rest"))
    print(f"{'pieces':>8} {'asked':<14} {columns} ratio")
    for pieces in [int(word) for word in sys.argv[1:]] or SHELVES:
        with tempfile.TemporaryDirectory() as folder:
            home = Path(folder)
            open_stash(load_settings(home, {})).catalogue.close()
            fill(home / "stash.db", pieces)
            with open_stash(load_settings(home, {})) as stash:
                measure(stash, pieces)


if __name__ == "__main__":
    main()
