"""Time to search a shelf of 100,000 pieces for a cut, beyond loading them.

Run it by `uv run python tests/benchmarks/find_pieces.py`. Targets: at most 50 ms in a typical
search, at most 250 ms with the worst table tried. The floor of the same run is what rows and
columns alone would cost (one division a side and a multiplication), which is exact only where
nothing may turn; the last column says on how many pieces more the exact count finds more.

The second table is the whole action `find` on a stash of as many pieces, once they are loaded:
usable sizes, the search, the answer as it is told.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from unittest.mock import patch

import numpy as np

from stashkeeper.actions import finding
from stashkeeper.actions.stash import open_stash
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cutting.fit import counts, find
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size
from stashkeeper.settings.load import load_settings
from tests.benchmarks.shelf_growth import fill

ROUNDS = 7
PIECES = 100_000
TRIED = [
    ("2.5", "2.5", 1), ("4.5", "4.5", 16), ("2.5", "4.5", 20), ("3.875", "5.125", 10),
    ("1.5", "2.5", 1), ("6.5", "12.5", 6), ("2.25", "42", 8), ("1.63", "1.71", 100),
    ("1.5", "1.625", 1), ("1", "1.03", 1), ("2", "3", 10**9),
]  # fmt: skip


def shelf() -> Shelf:
    """Return pieces from 5 × 5 to 44 × 72 in at eighths, one in ten directional."""
    random = np.random.default_rng(5)
    eighth = TICKS_PER_INCH // 8
    widths, lengths = (random.integers(5 * 8, most * 8, PIECES) * eighth for most in (44, 72))
    return Shelf(widths, lengths, random.random(PIECES) < 0.1)


def milliseconds(work: Callable[[], object]) -> float:
    """Return the CPU time of one run."""
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1000


def main() -> None:
    """Print both tables."""
    crafts()
    actions()


def actions() -> None:
    """Print what the whole action takes beyond loading."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        open_stash(load_settings(home, {})).catalogue.close()
        fill(home / "stash.db", PIECES)
        with open_stash(load_settings(home, {})) as stash:
            with stash.reading() as session:
                start = time.process_time()
                rows = select_pieces(session, Search(), Thresholds())
                loading = (time.process_time() - start) * 1000
            print(f"\nthe action; loading alone takes {loading:,.0f} ms")
            with patch.object(finding, "select_pieces", lambda *_: rows):
                for width, length, count in TRIED:

                    def act(size: str = f"{width} x {length} in", count: int = count) -> object:
                        found = finding.find_pieces(stash, size, count=count)
                        return found.rows(), found.sentences

                    median = statistics.median(milliseconds(act) for _ in range(ROUNDS))
                    print(f"{width + ' × ' + length:>15} {count:>11,} {median:>8.1f}")


def crafts() -> None:
    """Print the table of the search alone."""
    pieces = shelf()
    print(f"{PIECES:,} pieces, CPU ms, median of {ROUNDS}")
    print(f"{'cut, in':>15} {'count':>11} {'find':>8} {'floor':>7} {'found':>8} {'holds more':>11}")
    for width, length, count in TRIED:
        size = Size(Length.from_inches(width), Length.from_inches(length))

        def floor(size: Size = size) -> object:
            return (pieces.widths // size.width.ticks) * (pieces.lengths // size.length.ticks)

        def search(size: Size = size, count: int = count) -> object:
            return find(pieces, size, count)

        times = [(milliseconds(search), milliseconds(floor)) for _ in range(ROUNDS)]
        found, least = (statistics.median(column) for column in zip(*times, strict=True))
        more = int((counts(pieces, size) > np.asarray(floor())).sum())
        print(
            f"{width + ' × ' + length:>15} {count:>11,} {found:>8.1f} {least:>7.1f}"
            f" {len(find(pieces, size, count)):>8,} {more:>11,}"
        )


if __name__ == "__main__":
    main()
