"""One deed is one transaction: nothing is lost between people, nor half kept after a fall."""

import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlmodel import select

from stashkeeper.catalogue.database import Catalogue, open_catalogue, reading, sqlite_url
from stashkeeper.catalogue.history import deed, recent
from stashkeeper.catalogue.pieces import change_piece, piece_by_code
from stashkeeper.catalogue.tables import Event, Piece
from stashkeeper.errors import ChangedMeanwhileError
from tests.catalogue.made import add, codes


def in_threads(count: int, act: Callable[[], None]) -> None:
    """Run `act` in so many threads at once; let the first fault out."""
    faults: list[BaseException] = []

    def acting() -> None:
        try:
            act()
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=acting) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if faults:
        raise faults[0]


def test_four_people_adding_fifty_times_lose_nothing(catalogue: Catalogue) -> None:
    (code,) = add(catalogue, "Scraps", count=0)

    def counting() -> None:
        for _ in range(50):
            with deed(catalogue, "count") as doing:
                piece = piece_by_code(doing.session, code)
                change_piece(doing, piece, count=(piece.count or 0) + 1)

    in_threads(4, counting)
    with reading(catalogue) as session:
        assert piece_by_code(session, code).count == 200
        numbers = session.exec(select(Event.number)).all()
        assert sorted(numbers) == list(range(1, 202))


def test_codes_given_out_at_once_are_all_different(catalogue: Catalogue) -> None:
    def adding() -> None:
        for _ in range(10):
            add(catalogue, "Dots", 3)

    in_threads(4, adding)
    with reading(catalogue) as session:
        orders = session.exec(select(Piece.code_order)).all()
    assert sorted(orders) == list(range(1, 121))


def test_an_error_inside_a_deed_keeps_nothing_of_it(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with pytest.raises(ZeroDivisionError), deed(catalogue, "change") as doing:
        change_piece(doing, piece_by_code(doing.session, "A1"), notes="half")
        raise ZeroDivisionError
    with reading(catalogue) as session:
        assert piece_by_code(session, "A1").notes == ""
        assert len(recent(session)) == 1


def test_a_change_seen_too_late_overwrites_nothing(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with reading(catalogue) as session:
        seen = piece_by_code(session, "A1").version
    with deed(catalogue, "change") as doing:
        change_piece(doing, piece_by_code(doing.session, "A1"), notes="mine")
    with pytest.raises(ChangedMeanwhileError, match="A1"), deed(catalogue, "change") as doing:
        piece = piece_by_code(doing.session, "A1")
        change_piece(doing, piece, expected_version=seen, notes="theirs")
    with reading(catalogue) as session:
        assert piece_by_code(session, "A1").notes == "mine"


def test_a_deed_that_changes_nothing_leaves_no_record(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with deed(catalogue, "change") as doing:
        assert not change_piece(doing, piece_by_code(doing.session, "A1"), washed=False)
    with reading(catalogue) as session:
        assert len(recent(session)) == 1
        assert piece_by_code(session, "A1").version == 1


def test_a_reader_sees_one_moment_while_another_writes(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with reading(catalogue) as session:
        before = len(session.exec(select(Piece.code)).all())
        add(catalogue, "Red dots")
        assert len(session.exec(select(Piece.code)).all()) == before
    assert codes(catalogue) == ["A1", "A2"]


KILLED = """
import os, signal, sys
from pathlib import Path
from stashkeeper.catalogue.database import open_catalogue
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.pieces import add_pieces

stash = open_catalogue(sys.argv[1], None)
with deed(stash, "add") as doing:
    add_pieces(doing, add_fabric(doing, "Never there"), 50)
    doing.session.flush()
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_program_killed_in_the_middle_leaves_a_clean_stash(url: str) -> None:
    stash = open_catalogue(url, None)
    add(stash, "Blue dots")
    stash.close()
    killed = subprocess.run([sys.executable, "-c", KILLED, url], check=False)
    assert killed.returncode == -signal.SIGKILL
    stash = open_catalogue(url, None)
    assert codes(stash) == ["A1"]
    assert add(stash, "Red dots") == ["A2"]
    stash.close()


def test_sqlite_calls_the_stash_whole_after_a_kill(sqlite_stash: Catalogue, tmp_path: Path) -> None:
    url = sqlite_url(tmp_path / "stash.db")
    subprocess.run([sys.executable, "-c", KILLED, url], check=False)
    connection = sqlite3.connect(tmp_path / "stash.db")
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()
