"""Time to search a shelf of 100,000 pieces for a cut, beyond loading them.

Run it by `uv run python tests/benchmarks/find_pieces.py`. Targets: at most 50 ms in a typical
search, at most 250 ms with the worst table tried. The floor of the same run is what rows and
columns alone would cost (one division a side and a multiplication), which is exact only where
nothing may turn; the last column says on how many pieces more the exact count finds more.

The second table is the whole action `find` on a stash of as many pieces. Loading is what
`select_cloth` takes to bring the shelf in as columns; beyond loading are the usable sizes, the
search, and the answer as it is told; the pieces have any sizes and are in any state. Beside the
load stand a bare `sqlite3` fetch of the same columns, its floor, and the same shelf loaded as rows.
"""

import random
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path
from unittest.mock import patch

import numpy as np
from sqlmodel import Session

from stashkeeper.actions import finding
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.catalogue.cloth_columns import select_cloth
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.projects import add_project, choose_pieces
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cutting.fit import counts, find
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.length import TICKS_PER_INCH, Length
from stashkeeper.lengths.size import Size
from stashkeeper.settings.load import load_settings
from tests.benchmarks.shelf_growth import fill

type Load = Callable[[Session, Search, Thresholds], object]

ROUNDS = 7
LOADS = 3
PIECES = 100_000
TRIED = [
    ("2.5", "2.5", 1), ("4.5", "4.5", 16), ("2.5", "4.5", 20), ("3.875", "5.125", 10),
    ("1.5", "2.5", 1), ("6.5", "12.5", 6), ("2.25", "42", 8), ("1.63", "1.71", 100),
    ("1.5", "1.625", 1), ("1", "1.03", 1), ("2", "3", 10**9),
]  # fmt: skip
SELVEDGES = ("", "left", "left,right")
TICKS_PER_MILLIMETRE = 320
BARE = """
    SELECT p.code, p.width, p.length, f.name, s.name, p.fabric_id, p.basis, p.selvedges, p.squared,
           p.washed, f.flannel, f.print_direction
    FROM piece p JOIN fabric f ON f.id = p.fabric_id LEFT JOIN place s ON s.id = p.place_id
    WHERE p.ended_how IS NULL ORDER BY p.code_order
"""


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
        vary(home / "stash.db")
        with open_stash(load_settings(home, {})) as stash:
            reserve(stash)
            loads: dict[str, Load] = {"as columns": select_cloth, "as rows": select_pieces}
            times: dict[str, list[float]] = {name: [] for name in (*loads, "floor")}
            for _ in range(LOADS):
                for name, load in loads.items():
                    times[name].append(milliseconds(partial(loaded, stash, load)))
                times["floor"].append(milliseconds(partial(bare, home / "stash.db")))
            told = (f"{name} {statistics.median(some):,.0f}" for name, some in times.items())
            print(f"\nthe action; loading, CPU ms: {', '.join(told)}")
            cloth = loaded(stash, select_cloth)
            print(f"{'cut, in':>15} {'count':>11} {'beyond':>8} {'whole':>8}")
            for width, length, count in TRIED:
                act = partial(found, stash, f"{width} x {length} in", count)
                with patch.object(finding, "select_cloth", lambda *_: cloth):
                    beyond = statistics.median(milliseconds(act) for _ in range(ROUNDS))
                whole = statistics.median(milliseconds(act) for _ in range(LOADS))
                print(f"{width + ' × ' + length:>15} {count:>11,} {beyond:>8.1f} {whole:>8.0f}")


def vary(file: Path) -> None:
    """Give the pieces sizes in eighths and in millimetres, and every state a piece may be in."""
    chance = random.Random(11)
    marks = (TICKS_PER_INCH // 8, TICKS_PER_MILLIMETRE)
    with closing(sqlite3.connect(file)) as to, to:
        states = []
        for (code,) in to.execute("SELECT code FROM piece").fetchall():
            mark = chance.choice(marks)
            inch = TICKS_PER_INCH // mark
            sides = [chance.randint(5 * inch, most * inch) for most in (44, 72)]
            basis, edges = chance.choice(tuple(Basis)), chance.choice(SELVEDGES)
            flags = chance.random() < 0.3, chance.random() < 0.3
            states.append((*(side * mark for side in sides), basis.value, edges, *flags, code))
        to.executemany(
            "UPDATE piece SET width = ?, length = ?, basis = ?, selvedges = ?, squared = ?,"
            " washed = ? WHERE code = ?",
            states,
        )
        to.execute("UPDATE fabric SET flannel = abs(random()) % 10 = 0")
        to.execute("UPDATE fabric SET print_direction = 'along' WHERE abs(random()) % 10 = 0")


def reserve(stash: Stash) -> None:
    """Begin a project that reserves a few pieces, which is told wherever they are found."""
    with stash.deed("choose") as deed:
        project = add_project(deed, "Harbour", "", {})
        pieces = pieces_by_codes(deed.session, ["A1", "B2", "C3"])
        choose_pieces(deed, project, [("star", None, piece) for piece in pieces])


def loaded(stash: Stash, load: Load) -> object:
    """Load the whole shelf."""
    with stash.reading() as session:
        return load(session, Search(), Thresholds())


def bare(file: Path) -> object:
    """Fetch the columns of the cloth with nothing but sqlite3."""
    with closing(sqlite3.connect(file)) as connection:
        return connection.execute(BARE).fetchall()


def found(stash: Stash, size: str, count: int) -> object:
    """Find, and tell what was found."""
    answer = finding.find_pieces(stash, size, count=count)
    return answer.rows(), answer.sentences


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
