"""Plans on record, on both databases; a real stash of the first version comes up to date."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlmodel import create_engine

from stashkeeper.catalogue import schema
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.database import Catalogue, open_catalogue, reading, sqlite_url
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.pieces import end_piece, piece_by_code
from stashkeeper.catalogue.plans import (
    add_cut,
    add_plan,
    list_plans,
    pieces_of_plan,
    plan_numbered,
    spoken_for,
)
from stashkeeper.catalogue.undo import undo
from stashkeeper.errors import AlreadyThereError, CannotUndoError, NotFoundError
from tests.catalogue.made import add, codes


def plan(stash: Catalogue, *wanted: str) -> int:
    """Keep an invented plan for pieces; return its number."""
    with deed(stash, "plan") as doing:
        rows = [piece_by_code(doing.session, code) for code in wanted]
        pieces = [(row, row.version, {"of": row.code}) for row in rows]
        return add_plan(doing, "least cloth", "12 × 4½ in square", {"form": 1}, pieces).number


def confirm(stash: Catalogue, number: int, code: str) -> None:
    """Confirm a piece of a plan as cut."""
    with deed(stash, "cut") as doing:
        piece = piece_by_code(doing.session, code)
        add_cut(doing, plan_numbered(doing.session, number), piece, {"as": "planned"})
        end_piece(doing, piece, End.ALL_CUT)


def standing(stash: Catalogue) -> list[tuple[int, int, int]]:
    """Return number, pieces and cut pieces of every plan."""
    with reading(stash) as session:
        return [(row.number, row.pieces, row.cut) for row in list_plans(session)]


def needed(stash: Catalogue) -> dict[str, int]:
    """Return what plans already begun still need."""
    with reading(stash) as session:
        spoken = spoken_for(session)
        return {
            code: spoken[piece.id]
            for code in codes(stash)
            if (piece := piece_by_code(session, code)).id in spoken
        }


def test_a_plan_is_kept_with_the_versions_of_its_pieces(catalogue: Catalogue) -> None:
    add(catalogue, "Moss", 2)
    assert plan(catalogue, "A2", "A1") == 1
    with reading(catalogue) as session:
        kept = pieces_of_plan(session, plan_numbered(session, 1))
        assert [(one.piece.code, one.version, one.record) for one in kept] == [
            ("A2", 1, {"of": "A2"}),
            ("A1", 1, {"of": "A1"}),
        ]
    assert standing(catalogue) == [(1, 2, 0)]


def test_only_a_plan_already_begun_speaks_for_its_pieces(catalogue: Catalogue) -> None:
    add(catalogue, "Moss", 3)
    plan(catalogue, "A1", "A2")
    assert needed(catalogue) == {}
    confirm(catalogue, 1, "A1")
    assert needed(catalogue) == {"A2": 1}
    with deed(catalogue, "undo") as doing:
        undo(doing)
    assert needed(catalogue) == {}
    assert standing(catalogue) == [(1, 2, 0)]
    assert codes(catalogue) == ["A1", "A2", "A3"]


def test_a_piece_is_confirmed_once(catalogue: Catalogue) -> None:
    add(catalogue, "Moss")
    plan(catalogue, "A1")
    confirm(catalogue, 1, "A1")
    with pytest.raises(AlreadyThereError, match="A1 was confirmed as cut by plan 1 already"):
        confirm(catalogue, 1, "A1")
    assert standing(catalogue) == [(1, 1, 1)]


def test_a_plan_is_taken_back_unless_something_was_cut_by_it(catalogue: Catalogue) -> None:
    add(catalogue, "Moss", 2)
    plan(catalogue, "A1")
    confirm(catalogue, 1, "A1")
    with reading(catalogue) as session:
        from stashkeeper.catalogue.history import recent

        planning = next(one.id for one in recent(session) if one.deed == "plan")
    with pytest.raises(CannotUndoError), deed(catalogue, "undo") as doing:
        undo(doing, planning)
    for _ in range(2):
        with deed(catalogue, "undo") as doing:
            undo(doing)
    assert standing(catalogue) == []
    with pytest.raises(NotFoundError, match="no plan 1"), reading(catalogue) as session:
        plan_numbered(session, 1)
    assert plan(catalogue, "A1") == 2


def test_there_is_no_plan_with_an_absurd_number(catalogue: Catalogue) -> None:
    for number in (0, -1, 2**63, 10**30):
        with pytest.raises(NotFoundError), reading(catalogue) as session:
            plan_numbered(session, number)


def first_version(file: Path) -> None:
    """Make a stash with the tables of the first version, and a piece in it."""
    engine = create_engine(sqlite_url(file))
    config = Config()
    config.set_main_option("script_location", str(schema.MIGRATIONS))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
    engine.dispose()
    with closing(sqlite3.connect(file)) as database, database:
        key, fabric = "0" * 31 + "1", "0" * 31 + "2"
        database.execute(
            "INSERT INTO fabric (id, name, flannel, tags, notes, voided, version, created_at,"
            " searchable) VALUES (?, 'Moss', 0, '[]', '', 0, 1, '2026-01-01', 'moss')",
            [fabric],
        )
        database.execute(
            "INSERT INTO piece (id, code, code_order, fabric_id, kind, width, length, basis,"
            " selvedges, squared, washed, notes, version, created_at, searchable) VALUES"
            " (?, 'A1', 1, ?, 'piece', 170688, 146304, 'measured', '', 0, 0, '', 1,"
            " '2026-01-01', '')",
            [key, fabric],
        )
        database.execute("UPDATE counter SET last = 1 WHERE name = 'code'")


def test_a_stash_of_the_first_version_is_copied_and_brought_up_to_date(tmp_path: Path) -> None:
    file = tmp_path / "stash.db"
    first_version(file)
    stash = open_catalogue(sqlite_url(file), tmp_path)
    (copy,) = (tmp_path / "copies").glob("stash-tables-0001-*.db")
    with closing(sqlite3.connect(copy)) as kept:
        tables = {name for (name,) in kept.execute("SELECT name FROM sqlite_master")}
        assert kept.execute("SELECT code FROM piece").fetchall() == [("A1",)]
    assert "plan" not in tables
    assert codes(stash) == ["A1"]
    assert plan(stash, "A1") == 1
    confirm(stash, 1, "A1")
    assert standing(stash) == [(1, 1, 1)]
    stash.close()
