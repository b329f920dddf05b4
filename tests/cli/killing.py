"""An intake in a process of its own, which can be killed at any moment."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, suppress
from pathlib import Path

from stashkeeper.catalogue.photo_files import checksum_of
from tests.cli.patches import line_up

FABRICS_A_PHOTO = 2


def make_shots(folder: Path, count: int) -> Path:
    """Write line-ups of two greys each, no two alike, with a list that names both; return it."""
    folder.mkdir()
    rows = ["photo,size,name,crop"]
    for number in range(count):
        line_up(folder / f"shot-{number:02}.png", 20 + number, 60 + number)
        rows.append(f'shot-{number:02}.png,10 x 10,Dark {number},"0,0,0.5,1"')
        rows.append(f'shot-{number:02}.png,12 x 12,Light {number},"0.5,0,1,1"')
    sizes = folder.parent / "sizes.csv"
    sizes.write_text("\n".join(rows) + "\n")
    return sizes


def start(home: Path, folder: Path, sizes: Path) -> subprocess.Popen[str]:
    """Start an intake in a process, and a group, of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "stashkeeper", "--stash", str(home), "intake", str(folder),
         "--sizes", str(sizes)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
        env={**os.environ, "NO_COLOR": "1"},
    )  # fmt: skip


def pieces_in(home: Path) -> int:
    """Return how many pieces are on record, as far as can be seen from outside."""
    with (
        suppress(sqlite3.OperationalError),
        closing(sqlite3.connect(home / "stash.db")) as database,
    ):
        return int(database.execute("SELECT count(*) FROM piece").fetchone()[0])
    return 0


def stop_midway(
    running: subprocess.Popen[str], home: Path, pieces: int, how: signal.Signals,
    chance: random.Random,
) -> tuple[str, str]:  # fmt: skip
    """Send a signal at a random moment after so many pieces are in; return what was said."""
    while pieces_in(home) < pieces and running.poll() is None:
        time.sleep(0.005)
    time.sleep(chance.uniform(0, 0.05))
    with suppress(ProcessLookupError):
        running.send_signal(how)
    return running.communicate(timeout=120)


def must_be_whole(home: Path) -> None:
    """Check that whatever is on record is whole: no half piece, no photo without its file."""
    with closing(sqlite3.connect(home / "stash.db")) as database:

        def count(query: str) -> int:
            return int(database.execute(query).fetchone()[0])

        pieces = count("SELECT count(*) FROM piece")
        assert count("SELECT count(*) FROM fabric") == pieces
        assert count("SELECT count(*) FROM region") == pieces
        assert count("SELECT count(*) FROM measurement") == pieces
        assert count("SELECT count(*) FROM reading") == pieces
        assert count("SELECT count(*) FROM fabric WHERE reading_id IS NULL") == 0
        assert count("SELECT count(*) FROM event") == pieces
        assert count("SELECT count(DISTINCT name) FROM fabric") == pieces
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        kept = {path.stem: path for path in (home / "photos").rglob("*.png")}
        for (checksum,) in database.execute("SELECT checksum FROM photo"):
            assert checksum_of(kept[checksum]) == checksum
