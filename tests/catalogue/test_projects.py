"""Projects and the pieces chosen for them, on both databases; older stashes come up to date."""

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
from stashkeeper.catalogue.history import deed, recent
from stashkeeper.catalogue.pieces import end_piece, piece_by_code
from stashkeeper.catalogue.projects import (
    add_project,
    choose_pieces,
    end_project,
    list_projects,
    pieces_of_project,
    project_named,
    rename_project,
    reserved,
)
from stashkeeper.catalogue.undo import undo
from stashkeeper.errors import (
    AlreadyThereError,
    BadNameError,
    CannotUndoError,
    ChangedMeanwhileError,
    NotFoundError,
)
from tests.catalogue.made import add, codes

LAYOUT = "layout: Two\n\nroles:\n  a\n\nunits:\n  a = square: a\n\ngrid:\n  a a\n"


def begin(stash: Catalogue, name: str) -> None:
    """Begin an invented project."""
    with deed(stash, "project") as doing:
        add_project(doing, name, LAYOUT, {"unit": 8128})
        doing.summary = f"Began {name}."


def choose(stash: Catalogue, name: str, *chosen: tuple[str, int | None, str]) -> None:
    """Choose pieces for a project: role, set, code."""
    with deed(stash, "choose") as doing:
        pieces = [
            (role, number, piece_by_code(doing.session, code)) for role, number, code in chosen
        ]
        choose_pieces(doing, project_named(doing.session, name), pieces)
        doing.summary = f"Chose for {name}."


def chosen_for(stash: Catalogue, name: str) -> list[tuple[str, int | None, str]]:
    """Return what is chosen for a project."""
    with reading(stash) as session:
        found = pieces_of_project(session, project_named(session, name))
        return [(one.role, one.set_number, one.piece.code) for one in found]


def reserving(stash: Catalogue) -> dict[str, tuple[str, ...]]:
    """Return the projects that reserve each piece, by its code."""
    with reading(stash) as session:
        taken = reserved(session)
        return {
            code: taken[piece.id]
            for code in codes(stash)
            if (piece := piece_by_code(session, code)).id in taken
        }


def standing(stash: Catalogue) -> list[tuple[str, int, bool]]:
    """Return name, pieces and whether ended of every project."""
    with reading(stash) as session:
        found = list_projects(session)
        return [(one.project.name, one.pieces, one.project.ended_at is not None) for one in found]


def take_back(stash: Catalogue) -> None:
    """Undo the last deed."""
    with deed(stash, "undo") as doing:
        undo(doing)


def test_a_project_reserves_what_is_chosen_for_it(catalogue: Catalogue) -> None:
    add(catalogue, "Moss", 3)
    begin(catalogue, "Harbour")
    begin(catalogue, "Sunrise")
    choose(catalogue, "harbour", ("star", None, "A2"), ("sky", 1, "A1"), ("sky", 2, "A1"))
    choose(catalogue, "Sunrise", ("star", None, "A2"))
    assert chosen_for(catalogue, "HARBOUR") == [
        ("star", None, "A2"), ("sky", 1, "A1"), ("sky", 2, "A1"),
    ]  # fmt: skip
    assert reserving(catalogue) == {"A1": ("Harbour",), "A2": ("Harbour", "Sunrise")}
    assert standing(catalogue) == [("Harbour", 3, False), ("Sunrise", 1, False)]


def test_choosing_again_and_taking_it_back(catalogue: Catalogue) -> None:
    add(catalogue, "Moss", 3)
    begin(catalogue, "Harbour")
    choose(catalogue, "Harbour", ("star", None, "A1"), ("sky", None, "A2"))
    choose(catalogue, "Harbour", ("sky", None, "A2"), ("star", None, "A3"))
    assert chosen_for(catalogue, "Harbour") == [("sky", None, "A2"), ("star", None, "A3")]
    take_back(catalogue)
    assert chosen_for(catalogue, "Harbour") == [("star", None, "A1"), ("sky", None, "A2")]
    take_back(catalogue)
    assert chosen_for(catalogue, "Harbour") == []
    take_back(catalogue)
    assert standing(catalogue) == []


def test_choosing_the_same_leaves_no_deed(catalogue: Catalogue) -> None:
    add(catalogue, "Moss")
    begin(catalogue, "Harbour")
    for _ in range(2):
        choose(catalogue, "Harbour", ("star", None, "A1"))
    with reading(catalogue) as session:
        assert [one.deed for one in recent(session)] == ["choose", "project", "add"]


def test_an_ended_project_reserves_nothing_until_that_is_taken_back(catalogue: Catalogue) -> None:
    add(catalogue, "Moss")
    begin(catalogue, "Harbour")
    choose(catalogue, "Harbour", ("star", None, "A1"))
    with deed(catalogue, "end") as doing:
        assert end_project(doing, project_named(doing.session, "Harbour"))
    assert reserving(catalogue) == {}
    assert standing(catalogue) == [("Harbour", 1, True)]
    take_back(catalogue)
    assert reserving(catalogue) == {"A1": ("Harbour",)}


def test_a_name_is_given_once(catalogue: Catalogue) -> None:
    begin(catalogue, "Harbour")
    with pytest.raises(AlreadyThereError, match="a project “Harbour” already"):
        begin(catalogue, " HARBOUR ")
    begin(catalogue, "Sunrise")
    with pytest.raises(AlreadyThereError), deed(catalogue, "rename") as doing:
        rename_project(doing, project_named(doing.session, "Sunrise"), "harbour")
    with deed(catalogue, "rename") as doing:
        assert rename_project(doing, project_named(doing.session, "Harbour"), "HARBOUR")
    assert [name for name, _, _ in standing(catalogue)] == ["HARBOUR", "Sunrise"]
    for name in ("", "   ", "x" * 61, "a\nb"):
        with pytest.raises(BadNameError):
            begin(catalogue, name)


def test_a_name_near_by_is_offered(catalogue: Catalogue) -> None:
    with pytest.raises(NotFoundError) as none, reading(catalogue) as session:
        project_named(session, "Harbour")
    assert "There is no project yet" in none.value.remedy
    begin(catalogue, "Harbour")
    with pytest.raises(NotFoundError) as near, reading(catalogue) as session:
        project_named(session, "harbor")
    assert near.value.remedy == "Did you mean “Harbour”?"


def test_a_piece_taken_back_holds_a_choice_that_was_built_on_it(catalogue: Catalogue) -> None:
    add(catalogue, "Moss")
    begin(catalogue, "Harbour")
    choose(catalogue, "Harbour", ("star", None, "A1"))
    with reading(catalogue) as session:
        adding = next(one.id for one in recent(session) if one.deed == "add")
    with pytest.raises(CannotUndoError, match="Chose for Harbour"), deed(catalogue, "x") as doing:
        undo(doing, adding)
    with deed(catalogue, "end") as doing:
        end_piece(doing, piece_by_code(doing.session, "A1"), End.SOLD)
    assert chosen_for(catalogue, "Harbour") == [("star", None, "A1")]


def test_two_people_cannot_change_a_project_unseen(catalogue: Catalogue) -> None:
    begin(catalogue, "Harbour")
    with deed(catalogue, "one") as doing:
        doing.change(project_named(doing.session, "Harbour"), record={"unit": 1})
    with pytest.raises(ChangedMeanwhileError, match="Harbour"), deed(catalogue, "two") as doing:
        row = project_named(doing.session, "Harbour")
        doing.change(row, expected_version=1, record={"unit": 2})


def test_a_stash_with_plans_is_copied_and_gets_its_tables_of_projects(tmp_path: Path) -> None:
    file = tmp_path / "stash.db"
    engine = create_engine(sqlite_url(file))
    config = Config()
    config.set_main_option("script_location", str(schema.MIGRATIONS))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0002")
    engine.dispose()
    with closing(sqlite3.connect(file)) as database, database:
        database.execute(
            "INSERT INTO plan (id, number, goal, asked, record, voided, created_at) VALUES"
            " (?, 1, 'least cloth', '12 squares', '{}', 0, '2026-01-01')",
            ["0" * 31 + "1"],
        )
    stash = open_catalogue(sqlite_url(file), tmp_path)
    (copy,) = (tmp_path / "copies").glob("stash-tables-0002-*.db")
    with closing(sqlite3.connect(copy)) as kept:
        assert kept.execute("SELECT asked FROM plan").fetchall() == [("12 squares",)]
    begin(stash, "Harbour")
    assert standing(stash) == [("Harbour", 0, False)]
    stash.close()
    with closing(sqlite3.connect(file)) as now:
        assert now.execute("SELECT asked FROM plan").fetchall() == [("12 squares",)]
