"""How the commands grow with the stash: list, search, sort and show at 100 to 100,000 pieces.

Run it by `uv run python tests/benchmarks/commands_growth.py [pieces …]`. Target: every command in
under 1 s at 10,000 pieces, in the process itself, from opening the stash to the last word of the
answer. Times are CPU seconds, the median of the rounds; the last column is the growth from the
shelf before as a power of its size (1 is in proportion).
"""

import math
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from stashkeeper.actions.history import history
from stashkeeper.actions.pieces import list_pieces, show
from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.actions.values import contrast, sort
from stashkeeper.cli.show import plain, table
from stashkeeper.settings.load import load_settings
from tests.benchmarks.shelf_growth import SHELVES, fill

ROUNDS = 5
TARGET = 1.0
AT = 10_000


def listed(*words: str) -> Callable[[Stash], object]:
    """Return a `list` with these words, told to people."""

    def run(stash: Stash) -> object:
        found = list_pieces(stash, words)
        return table(found.headings, found.rows())

    return run


def ranked(*words: str, by: str = "bands") -> Callable[[Stash], object]:
    """Return a `sort` with these words, told to people."""
    return lambda stash: "\n".join(sort(stash, words, by=by).sentences)


COMMANDS: dict[str, Callable[[Stash], object]] = {
    "list": listed(),
    "list --json": lambda stash: plain(list_pieces(stash, [])),
    "list tag place value size": listed("tag:dots", 'at:"Shelf 2"', "value:dark", "size:10x10"),
    "list two words": listed("blue", "stripe"),
    "list colour:blue": listed("colour:blue"),
    "list code:A7": listed("code:A7"),
    "show A7": lambda stash: show(stash, "A7").sentences,
    "history A7": lambda stash: history(stash, "A7").sentences,
    "places": lambda stash: places(stash).sentences,
    "sort": ranked(),
    "sort --by split": ranked(by="split"),
    "sort --json": lambda stash: plain(sort(stash, [])),
    "sort tag:dots": ranked("tag:dots"),
    "contrast by value": lambda stash: (
        contrast(stash, ["value:light", "value:medium", "value:dark"]).sentences
    ),
}


def cpu_seconds(home: Path, command: Callable[[Stash], object]) -> float:
    """Return the CPU time of a command, opening and closing the stash included."""
    start = time.process_time()
    with open_stash(load_settings(home, {})) as stash:
        command(stash)
    return time.process_time() - start


def times(pieces: int) -> dict[str, float]:
    """Fill a stash, run every command in turn, and return their median times."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        open_stash(load_settings(home, {})).catalogue.close()
        fill(home / "stash.db", pieces)
        took: dict[str, list[float]] = {name: [] for name in COMMANDS}
        for _ in range(ROUNDS if pieces <= AT else 2):
            for name, command in COMMANDS.items():
                took[name].append(cpu_seconds(home, command))
    return {name: statistics.median(runs) for name, runs in took.items()}


def main() -> None:
    """Print the table, and what misses the target."""
    shelves = [int(word) for word in sys.argv[1:]] or list(SHELVES)
    times(min(shelves))  # warm up: imports, caches of the database's dialect
    found = {pieces: times(pieces) for pieces in shelves}
    heads = "".join(f"{pieces:>10,}" for pieces in shelves)
    print(f"{'CPU ms at pieces':28}{heads}   growth")
    for name in COMMANDS:
        row = [found[pieces][name] for pieces in shelves]
        cells = "".join(f"{1e3 * seconds:10.1f}" for seconds in row)
        growth = [
            math.log(later / earlier) / math.log(more / less)
            for (less, more), (earlier, later) in zip(pairwise(shelves), pairwise(row), strict=True)
        ]
        print(f"{name:28}{cells}   {' '.join(f'{power:.2f}' for power in growth)}")
    late = [name for name in COMMANDS if AT in found and found[AT][name] >= TARGET]
    print(f"At {AT:,} pieces over {TARGET:g} s: {', '.join(late) or 'none'}.")


if __name__ == "__main__":
    main()
