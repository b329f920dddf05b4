"""Taking back: rows become exactly as they were, nothing is deleted, nothing later is harmed."""

import uuid
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import Session, select

from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric, change_fabric
from stashkeeper.catalogue.history import Deed, deed, history_of, last_undoable, recent
from stashkeeper.catalogue.pieces import add_pieces, change_piece, end_piece, piece_by_code
from stashkeeper.catalogue.places import find_place, list_places, place_at, rename_place
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.snapshots import RECORDED, Plain, key_of, snapshot
from stashkeeper.catalogue.tables import Event, Fabric, Piece, Place, Row
from stashkeeper.catalogue.undo import undo
from stashkeeper.errors import CannotUndoError, StashkeeperError
from tests.catalogue.made import (
    add,
    add_photo_of,
    codes,
    find,
    inches,
    measure,
    piece_and_fabric,
    type_lightness,
)


def take_back(stash: Catalogue, number: int | None = None) -> str:
    """Take back the last deed, or the one with a number; return its summary."""
    with deed(stash, "undo", "Ada") as doing:
        return undo(doing, None if number is None else event_id(doing.session, number)).summary


def event_id(session: Session, number: int) -> uuid.UUID:
    """Return the key of the deed with a number."""
    return session.exec(select(Event.id).where(Event.number == number)).one()


def everything(stash: Catalogue) -> dict[tuple[str, str], Plain]:
    """Return every recorded row that still stands, as plain JSON."""
    with reading(stash) as session:
        return {
            (name, key_of(row)): snapshot(row)
            for name, kind in RECORDED.items()
            for row in session.exec(select(kind))
            if stands(row)
        }


def stands(row: Row) -> bool:
    """Tell whether a row was not taken back; photos stay on record whatever becomes of them."""
    if isinstance(row, Piece):
        return row.ended_how is not End.MISTAKE
    return row.__class__.__name__ != "Photo" and not getattr(row, "voided", False)


def test_a_change_is_taken_back(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots", notes="before")
    before = everything(catalogue)
    with deed(catalogue, "change") as doing:
        piece, fabric = piece_and_fabric(doing, "A1")
        change_piece(doing, piece, size=inches(5, 5), notes="after", place=place_at(doing, "Box"))
        change_fabric(doing, fabric, name="Red dots", tags=["red"])
        doing.summary = "Changed A1."
    assert codes(catalogue, "red") == ["A1"]
    assert take_back(catalogue) == "Changed A1."
    assert everything(catalogue) == before
    assert codes(catalogue, "blue") == ["A1"]
    assert codes(catalogue, "red") == []
    with reading(catalogue) as session:
        assert list_places(session) == []


def test_what_was_added_is_voided_and_not_deleted(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        fabric = add_fabric(doing, "Blue dots")
        add_pieces(doing, fabric, 2, size=inches(9, 9), place=place_at(doing, "Room / Box"))
        add_photo_of(doing, fabric, "one.jpg")
        measure(doing, fabric, 30, "blue")
    take_back(catalogue)
    assert everything(catalogue) == {}
    assert codes(catalogue, "ended:any") == []
    assert codes(catalogue, "ended:mistake") == ["A1", "A2"]
    with reading(catalogue) as session:
        assert piece_by_code(session, "A2").ended_how is End.MISTAKE
        assert readings_of(session, [fabric.id]) == {}


def test_an_undoing_can_be_undone_and_done_again(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    added = everything(catalogue)
    take_back(catalogue)
    assert take_back(catalogue, 2) == "Took back: Added Blue dots."
    assert everything(catalogue) == added
    with reading(catalogue) as session:
        assert recent(session, 1)[0].summary == "Did again: Added Blue dots."
    with pytest.raises(CannotUndoError, match="undone already"):
        take_back(catalogue, 2)
    assert take_back(catalogue) == "Added Blue dots."
    assert everything(catalogue) == {}


def test_undoing_again_and_again_goes_back_in_time(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    for size in (9, 8, 7):
        with deed(catalogue, "change") as doing:
            change_piece(doing, piece_by_code(doing.session, "A1"), size=inches(size, size))
            doing.summary = f"Cut to {size}."
    assert [take_back(catalogue) for _ in range(4)] == [
        "Cut to 7.",
        "Cut to 8.",
        "Cut to 9.",
        "Added Blue dots.",
    ]
    with pytest.raises(CannotUndoError, match="nothing to undo"):
        take_back(catalogue)
    with reading(catalogue) as session:
        assert last_undoable(session) is None


def test_what_was_built_on_is_named(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with deed(catalogue, "change") as doing:
        change_piece(doing, piece_by_code(doing.session, "A1"), washed=True)
        doing.summary = "Washed A1."
    before = everything(catalogue)
    with pytest.raises(CannotUndoError, match=r"“Added Blue dots\.”.*because “Washed A1\.”"):
        take_back(catalogue, 1)
    assert everything(catalogue) == before
    take_back(catalogue)
    take_back(catalogue, 1)
    assert codes(catalogue) == []


def a_piece_of_the_same_fabric(doing: Deed) -> None:
    add_pieces(doing, piece_and_fabric(doing, "A1")[1], size=inches(5, 5))


def a_reading(doing: Deed) -> None:
    measure(doing, piece_and_fabric(doing, "A1")[1], 50, "blue")


def an_off_cut(doing: Deed) -> None:
    piece, _ = piece_and_fabric(doing, "A1")
    add_pieces(doing, add_fabric(doing, "sewn from it"), size=inches(5, 5), parent=piece)


@pytest.mark.parametrize("build", [a_piece_of_the_same_fabric, a_reading, an_off_cut])
def test_nothing_is_left_hanging_in_the_air(
    sqlite_stash: Catalogue, build: Callable[[Deed], None]
) -> None:
    add(sqlite_stash, "Blue dots")
    with deed(sqlite_stash, "later") as doing:
        build(doing)
        doing.summary = "Built on it."
    with pytest.raises(CannotUndoError, match=r"because “Built on it\.”"):
        take_back(sqlite_stash, 1)
    take_back(sqlite_stash)
    take_back(sqlite_stash, 1)
    assert everything(sqlite_stash) == {}


def test_a_place_that_was_taken_back_gets_no_piece_back(catalogue: Catalogue) -> None:
    with deed(catalogue, "place") as doing:
        place_at(doing, "Box")
        doing.summary = "Made Box."
    with deed(catalogue, "add") as doing:
        box = find_place(doing.session, "Box")
        add_pieces(doing, add_fabric(doing, "Blue dots"), size=inches(9, 9), place=box)
    with deed(catalogue, "move") as doing:
        change_piece(doing, piece_by_code(doing.session, "A1"), place=None)
        doing.summary = "Took A1 out of Box."
    take_back(catalogue, 1)
    with pytest.raises(CannotUndoError, match="Took back: Made Box"):
        take_back(catalogue, 3)


def test_a_reading_that_came_later_does_not_hold_up_a_change_of_name(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with deed(catalogue, "change") as doing:
        change_fabric(doing, piece_and_fabric(doing, "A1")[1], name="Red dots")
    type_lightness(catalogue, "A1", 40)
    take_back(catalogue, 2)
    (row,) = find(catalogue, "")
    assert (row.name, row.lightness) == ("Blue dots", 40)


def test_the_history_of_a_piece_tells_who_did_what(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    add(catalogue, "Red dots")
    with deed(catalogue, "end", "Grace") as doing:
        end_piece(doing, piece_by_code(doing.session, "A1"), End.LOST)
        doing.summary = "A1 is lost."
    take_back(catalogue)
    type_lightness(catalogue, "A1", 40)
    with reading(catalogue) as session:
        told = history_of(session, piece_by_code(session, "A1"))
        assert [(past.deed, past.who, past.undone) for past in told] == [
            ("add", "", False),
            ("end", "Grace", True),
            ("undo", "Ada", False),
            ("lightness", "", False),
        ]
        ended = told[1].rows[0]
        assert ended.before is not None
        assert (ended.before["ended_how"], ended.after["ended_how"]) == (None, "lost")
        assert told[2].undoes == told[1].id
        assert [past.number for past in recent(session, 2)] == [5, 4]


def test_only_numbers_on_record_can_be_undone(sqlite_stash: Catalogue) -> None:
    with pytest.raises(CannotUndoError, match="No such deed"), deed(sqlite_stash, "undo") as doing:
        undo(doing, uuid.uuid4())


def some_deed(doing: Deed, kind: int, which: int, amount: int) -> None:
    """Do one of several deeds, on one of the pieces there are, with some amount."""
    pieces = doing.session.exec(select(Piece).where(Piece.ended_how == None)).all()  # noqa: E711
    if kind == 0 or not pieces:
        fabric = add_fabric(doing, f"Fabric {amount}", tags=[f"tag {amount}"])
        place = place_at(doing, f"Shelf {amount % 3}") if amount % 2 else None
        add_pieces(doing, fabric, 1 + amount % 2, size=inches(amount, amount), place=place)
        return
    piece = pieces[which % len(pieces)]
    fabric = doing.session.get_one(Fabric, piece.fabric_id)
    if kind == 1:
        change_piece(doing, piece, size=inches(amount, 7), notes=f"note {amount}")
    elif kind == 2:
        change_fabric(doing, fabric, name=f"Renamed {amount}", tags=["x", f"{amount}"])
    elif kind == 3:
        end_piece(doing, piece, list(End)[amount % 4])
    elif kind == 4:
        measure(doing, fabric, amount, "green")
    elif kind == 5:
        add_photo_of(doing, fabric, f"{uuid.uuid4()}.jpg")
    elif piece.place_id is not None:
        rename_place(doing, doing.session.get_one(Place, piece.place_id), f"Renamed shelf {amount}")
    else:
        change_piece(doing, piece, place=place_at(doing, f"Room / Shelf {amount % 3}"))


MANY_STASHES = [HealthCheck.function_scoped_fixture]
"""The fixture makes a stash for every example by itself."""

DEEDS = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 9), st.integers(1, 40)), min_size=1, max_size=6
)


@given(deeds=DEEDS)
@settings(deadline=None, max_examples=12, suppress_health_check=MANY_STASHES)
def test_undoing_every_deed_walks_back_through_every_state(
    fresh_stash: Callable[[], Catalogue], deeds: list[tuple[int, int, int]]
) -> None:
    stash = fresh_stash()
    states = [everything(stash)]
    for kind, which, amount in deeds:
        try:
            with deed(stash, "some") as doing:
                some_deed(doing, kind, which, amount)
        except StashkeeperError:
            continue
        state = everything(stash)
        if state != states[-1]:
            states.append(state)
    shown = [[row.lightness for row in find(stash, "ended:any")]]
    for state in reversed(states[:-1]):
        take_back(stash)
        assert everything(stash) == state
        shown.append([row.lightness for row in find(stash, "ended:any")])
    assert shown[-1] == []


@given(deeds=DEEDS)
@settings(deadline=None, max_examples=12, suppress_health_check=MANY_STASHES)
def test_undoing_and_undoing_that_changes_nothing(
    fresh_stash: Callable[[], Catalogue], deeds: list[tuple[int, int, int]]
) -> None:
    stash = fresh_stash()
    for kind, which, amount in deeds:
        try:
            with deed(stash, "some") as doing:
                some_deed(doing, kind, which, amount)
        except StashkeeperError:
            continue
    state = everything(stash)
    found = find(stash, "ended:any")
    take_back(stash)
    with reading(stash) as session:
        newest = recent(session, 1)[0].number
    take_back(stash, newest)
    assert everything(stash) == state
    assert find(stash, "ended:any") == found
