"""How listing and searching grow with the shelf: CPU time of `select_pieces`, floor beside it.

The floor is a bare `sqlite3` SELECT of the same columns, fetched as tuples. Rounds of both are
interleaved; the median of each is shown.

Run: uv run python tests/benchmarks/shelf_growth.py [pieces …]
"""

import random
import sqlite3
import statistics
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from stashkeeper.catalogue.codes import code_of
from stashkeeper.catalogue.database import Catalogue, open_catalogue, reading, sqlite_url
from stashkeeper.catalogue.derived import searchable_fabric
from stashkeeper.catalogue.filters import Search, parse_search
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.lengths.length import Measure

SHELVES = (100, 1_000, 10_000, 100_000)
ROUNDS = 7
SEARCHES = {
    "everything": "",
    "one tag, place, value, size": 'tag:dots at:"Shelf 2" value:dark size:10x10',
    "words in the text": "blue stripe -dots",
    "one code": "code:A7",
}
WITH_READINGS = "everything, with its readings"
FLOOR = """
    SELECT p.id, p.code, p.kind, p.width, p.length, p.basis, p.selvedges, p.squared, p.washed,
           p.count, p.weight_grams, p.ended_how, p.created_at, f.id, f.name, f.flannel, f.tags,
           s.name, r.id, r.lightness, r.a, r.b, r.uncertainty, r.method, f.colour_family,
           r.spread, r.spread_low, r.spread_high, r.doubts, o.checksum, o.format, g.corners
    FROM piece p JOIN fabric f ON f.id = p.fabric_id
    LEFT JOIN place s ON s.id = p.place_id
    LEFT JOIN reading r ON r.id = f.reading_id
    LEFT JOIN region g ON g.id = f.region_id
    LEFT JOIN photo o ON o.id = g.photo_id
    WHERE p.ended_how IS NULL ORDER BY p.code_order
"""
MOMENT = "2026-11-24 12:00:00.000000"


def key() -> str:
    """Return a fresh key as SQLite holds it."""
    return uuid.uuid4().hex


def fill(file: Path, pieces: int) -> None:
    """Write an invented shelf: two pieces of each fabric, a photo and a reading of each."""
    chance = random.Random(7)
    with closing(sqlite3.connect(file)) as to, to:
        places = [(key(), f"Shelf {n}", f"shelf {n}", None, 0, 1, MOMENT) for n in range(1, 41)]
        to.executemany("INSERT INTO place VALUES (?, ?, ?, ?, ?, ?, ?)", places)
        for number in range(pieces // 2):
            fabric, photo, region, read = key(), key(), key(), key()
            name = f"{chance.choice(['blue', 'red', 'green'])} {chance.choice(['dots', 'stripe'])}"
            tags = f'["{name.split()[1]}", "cotton"]'
            text = searchable_fabric(name, "", [name.split()[1], "cotton"])
            to.execute(
                "INSERT INTO fabric (id, name, flannel, tags, notes, voided, version, created_at,"
                " searchable, colour_family, reading_id, region_id)"
                " VALUES (?, ?, 0, ?, '', 0, 1, ?, ?, 'blue', ?, ?)",
                (fabric, name, tags, MOMENT, text, read, region),
            )
            to.execute(
                "INSERT INTO photo VALUES"
                " (?, ?, 'JPEG', 4000, 3000, NULL, '{}', NULL, '', NULL, ?)",
                (photo, key() + key(), MOMENT),
            )
            corners = "0.05,0.05 0.95,0.05 0.95,0.95 0.05,0.95"
            to.execute(
                "INSERT INTO region VALUES (?, ?, ?, NULL, ?, 'face', 0, ?)",
                (region, photo, fabric, corners, MOMENT),
            )
            to.execute(
                "INSERT INTO reading VALUES (?, ?, NULL, NULL, ?, 1.5, -20.25, 'photo', 25.03,"
                " 'blue', 4.5, 20.0, 44.0, '[]', 0, ?)",
                (read, fabric, chance.uniform(10, 95), MOMENT),
            )
            to.executemany(
                "INSERT INTO reading_factor VALUES (?, ?, ?)",
                [(read, f"own:{read}", 6.4), (read, f"photo:{photo}", 24.2)],
            )
            for order in (2 * number + 1, 2 * number + 2):
                to.execute(
                    "INSERT INTO piece (id, code, code_order, fabric_id, kind, width, length,"
                    " basis, selvedges, squared, washed, place_id, notes, version, created_at,"
                    " searchable)"
                    " VALUES (?, ?, ?, ?, 'piece', ?, ?, 'nominal', 'left', 0, 0, ?, '', 1, ?, '')",
                    (
                        key(),
                        code_of(order),
                        order,
                        fabric,
                        8128 * chance.randint(3, 44),
                        8128 * chance.randint(3, 80),
                        chance.choice(places)[0],
                        MOMENT,
                    ),
                )


def cpu(act: Callable[[], object]) -> float:
    """Return the CPU seconds that `act` takes."""
    start = time.process_time()
    act()
    return time.process_time() - start


def floor(file: Path) -> int:
    """Fetch the columns with nothing but sqlite3, on a connection of its own."""
    with closing(sqlite3.connect(file)) as connection:
        return len(connection.execute(FLOOR).fetchall())


def ours(stash: Catalogue, words: str) -> int:
    """Parse the words and select the pieces, as every list does."""
    with reading(stash) as session:
        return len(select_pieces(session, parse_search(words, Measure.INCHES), Thresholds()))


def sorting(stash: Catalogue) -> int:
    """Select every piece and the readings with their factors, as every sort does."""
    with reading(stash) as session:
        rows = select_pieces(session, Search(), Thresholds())
        return len(readings_of(session, {row.fabric_id for row in rows}))


def measure(pieces: int, folder: Path) -> None:
    """Print the lines of one shelf."""
    file = folder / f"{pieces}.db"
    stash = open_catalogue(sqlite_url(file), folder)
    fill(file, pieces)
    found = {name: ours(stash, words) for name, words in SEARCHES.items()}
    assert found["everything"] == floor(file) == pieces
    bare: list[float] = []
    taken: dict[str, list[float]] = {name: [] for name in (*SEARCHES, WITH_READINGS)}
    found[WITH_READINGS] = sorting(stash)
    for _ in range(ROUNDS):
        bare.append(cpu(lambda: floor(file)))
        for name, words in SEARCHES.items():
            taken[name].append(cpu(lambda words=words: ours(stash, words)))  # type: ignore[misc]
        taken[WITH_READINGS].append(cpu(lambda: sorting(stash)))
    stash.close()
    lowest = statistics.median(bare)
    for name, times in taken.items():
        middle = statistics.median(times)
        print(
            f"{pieces:>8,}  {name:<29} {found[name]:>8,} {middle * 1000:>10.1f} ms"
            f" {middle / pieces * 1e6:>9.1f} µs {middle / lowest:>8.2f} ×"
        )
    print(f"{pieces:>8,}  {'floor: bare sqlite3':<29} {pieces:>8,} {lowest * 1000:>10.1f} ms")


def main() -> None:
    """Print the table."""
    shelves = [int(word) for word in sys.argv[1:]] or SHELVES
    print("  pieces  search                          found   CPU time    a piece  to floor")
    with tempfile.TemporaryDirectory() as folder:
        for pieces in shelves:
            measure(pieces, Path(folder))


if __name__ == "__main__":
    main()
