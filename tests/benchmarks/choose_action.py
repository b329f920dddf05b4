"""What the action `choose` adds to the choice itself, at 1,000 and 10,000 pieces.

Run it by `uv run python tests/benchmarks/choose_action.py [pieces …]`. The floor of the same run
is the choice alone, on the very same candidates; loading the shelf is told apart, for every
command pays it. Target: what is neither loading nor choosing costs no more than the two together.
CPU seconds, medians, interleaved.
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
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.choosing.choose import choose
from stashkeeper.settings.load import load_settings
from tests.benchmarks.shelf_growth import fill

ROUNDS = 5
SHELVES = (1_000, 10_000)
ASKED = {
    "three of each": [f"{value}: 3, each 4 x 5 in square" for value in ("light", "medium", "dark")],
    "forty squares": [f"{value}: 40 x 5 in square" for value in ("light", "medium", "dark")],
    "two sizes": [
        f"{value}: 1 fabric giving 4 x 5 in square and 6 x 2 1/2 in square"
        for value in ("light", "dark")
    ],
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
        rows = select_pieces(session, Search(), Thresholds())
        return readings_of(session, {row.fabric_id for row in rows})


def measure(stash: Stash, pieces: int) -> None:
    """Print a row for each way of asking."""
    for name, needs in ASKED.items():
        times: dict[str, list[float]] = {"whole": [], "load": [], "choose": []}
        for _ in range(ROUNDS):
            timed = _Timed()
            words = ChooseWords(needs=needs)
            with patch.object(action, "choose", timed):
                times["whole"].append(cpu(partial(choose_fabrics, stash, words)))
            times["choose"].append(timed.seconds)
            times["load"].append(cpu(partial(loaded, stash)))
        whole, load, chosen = (statistics.median(times[one]) for one in ("whole", "load", "choose"))
        rest = whole - load - chosen
        print(
            f"{pieces:>8,} {name:<14} {whole:>8.2f} {load:>8.2f} {chosen:>8.2f} {rest:>8.2f}"
            f" {rest / (load + chosen):>6.2f}"
        )


def main() -> None:
    """Print the table."""
    print(f"{'pieces':>8} {'asked':<14} {'whole':>8} {'load':>8} {'choose':>8} {'rest':>8} ratio")
    for pieces in [int(word) for word in sys.argv[1:]] or SHELVES:
        with tempfile.TemporaryDirectory() as folder:
            home = Path(folder)
            open_stash(load_settings(home, {})).catalogue.close()
            fill(home / "stash.db", pieces)
            with open_stash(load_settings(home, {})) as stash:
                measure(stash, pieces)


if __name__ == "__main__":
    main()
