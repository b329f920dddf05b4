"""Fabrics, pieces and places as they are entered and changed."""

from datetime import UTC, datetime

import pytest

from stashkeeper.catalogue.columns import End, PieceKind
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric, change_fabric, fabric_by_id
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.pieces import (
    add_pieces,
    change_piece,
    end_piece,
    piece_by_code,
    pieces_of,
)
from stashkeeper.catalogue.places import (
    find_place,
    list_places,
    move_place,
    path_of,
    place_at,
    rename_place,
)
from stashkeeper.catalogue.tables import Piece
from stashkeeper.errors import AlreadyThereError, BadNameError, BadRequestError, NotFoundError
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from tests.catalogue.made import add, find, inches


def test_everything_said_of_a_piece_comes_back(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        fabric = add_fabric(
            doing,
            "Blue dots",
            fibre="cotton",
            flannel=True,
            tags=["blue", "dots"],
            source="a stall",
            cost=1250,
            print_direction="one way",
            repeat=Length.from_inches("7/2"),
            notes="from the market",
        )
        (piece,) = add_pieces(
            doing,
            fabric,
            size=inches("1/64", 10_000),
            basis=Basis.NOMINAL,
            selvedges=[Edge.RIGHT, Edge.LEFT],
            squared=True,
            washed=True,
            place=place_at(doing, "Shelf 2"),
            notes="a stain in one corner",
        )
    with reading(catalogue) as session:
        found = piece_by_code(session, piece.code)
        assert Size(found.width or Length(0), found.length or Length(0)) == inches("1/64", 10_000)
        assert (found.basis, found.squared, found.washed) == (Basis.NOMINAL, True, True)
        assert found.selvedges == {Edge.LEFT, Edge.RIGHT}
        assert found.created_at.tzinfo is UTC
        assert path_of(session, found.place_id) == "Shelf 2"
        same = fabric_by_id(session, found.fabric_id)
        assert (same.fibre, same.flannel, same.cost) == ("cotton", True, 1250)
        assert (same.tags, same.repeat) == (("blue", "dots"), Length.from_inches("7/2"))


def test_a_bag_of_scraps_has_a_weight_and_no_size(catalogue: Catalogue) -> None:
    add(catalogue, "Scraps", size=None, kind=PieceKind.SCRAPS, weight_grams=350.5, count=40)
    (row,) = find(catalogue, "")
    assert (row.kind, row.size, row.weight_grams, row.count) == (
        PieceKind.SCRAPS,
        None,
        350.5,
        40,
    )
    assert find(catalogue, "size:1x1") == []


def test_alike_pieces_each_have_a_row(catalogue: Catalogue) -> None:
    codes = add(catalogue, "Blue dots", 5)
    assert codes == ["A1", "A2", "A3", "A4", "A5"]
    with reading(catalogue) as session:
        fabric_id = piece_by_code(session, "A3").fabric_id
        assert [piece.code for piece in pieces_of(session, fabric_id)] == codes


@pytest.mark.parametrize("times", [0, -1, 1000])
def test_a_silly_count_is_refused(sqlite_stash: Catalogue, times: int) -> None:
    with pytest.raises(BadRequestError, match=str(times)):
        add(sqlite_stash, "Blue dots", times)


def test_a_change_leaves_what_is_not_named(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots", squared=True, notes="mine")
    with deed(catalogue, "change") as doing:
        piece = piece_by_code(doing.session, "A1")
        assert change_piece(doing, piece, size=inches(9, 9), washed=True)
        assert change_fabric(doing, fabric_by_id(doing.session, piece.fabric_id), name="Navy dots")
        assert piece.version == 2
    (row,) = find(catalogue, "navy washed:yes")
    assert (row.size, row.squared, row.name) == (inches(9, 9), True, "Navy dots")
    assert find(catalogue, "blue") == []
    assert len(find(catalogue, "mine")) == 1


def test_a_piece_ends_once_and_stays_on_record(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    before = datetime.now(UTC)
    with deed(catalogue, "end") as doing:
        assert end_piece(doing, piece_by_code(doing.session, "A1"), End.GIVEN)
    with deed(catalogue, "end") as doing:
        piece = piece_by_code(doing.session, "A1")
        assert not end_piece(doing, piece, End.GIVEN)
        with pytest.raises(BadRequestError, match="ended already: given"):
            end_piece(doing, piece, End.SOLD)
        assert piece.ended_at is not None
        assert piece.ended_at >= before
    assert find(catalogue, "") == []
    assert [row.ended for row in find(catalogue, "ended:any")] == [End.GIVEN]


def test_places_are_found_or_made_whatever_their_letter_case(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        box = place_at(doing, "Sewing room / Shelf 2 / Blue box")
        assert place_at(doing, " sewing ROOM/shelf 2/BLUE BOX ").id == box.id
        assert place_at(doing, "blue box").id == box.id
        assert place_at(doing, "Shelf 2 / Blue box").id == box.id
        assert place_at(doing, "Attic / Blue box").id != box.id
    with reading(catalogue) as session:
        assert [row.path for row in list_places(session)] == [
            "Attic",
            "Attic / Blue box",
            "Sewing room",
            "Sewing room / Shelf 2",
            "Sewing room / Shelf 2 / Blue box",
        ]
        with pytest.raises(NotFoundError, match=r"“Shelf 3”.*Shelf 2"):
            find_place(session, "Shelf 3")


def test_a_place_that_might_be_several_is_not_guessed(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        one = place_at(doing, "Attic / Box")
        place_at(doing, "Room / Box")
        with pytest.raises(BadRequestError, match="“Attic / Box”, “Room / Box”"):
            place_at(doing, "box")
        with pytest.raises(BadRequestError, match="2 places"):
            find_place(doing.session, "box")
        assert find_place(doing.session, "attic/box").id == one.id


def test_the_list_of_places_counts_what_lies_there_and_inside(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        fabric = add_fabric(doing, "Blue dots")
        add_pieces(doing, fabric, 2, size=inches(9, 9), place=place_at(doing, "Room / Shelf 1"))
        add_pieces(doing, fabric, 3, size=inches(9, 9), place=place_at(doing, "Room / Shelf 10"))
        gone = add_pieces(doing, fabric, 1, size=inches(9, 9), place=place_at(doing, "Room"))
        end_piece(doing, gone[0], End.SOLD)
    with reading(catalogue) as session:
        counts = {
            row.path: (row.depth, row.pieces, row.pieces_inside) for row in list_places(session)
        }
    assert counts == {
        "Room": (0, 0, 5),
        "Room / Shelf 1": (1, 2, 2),
        "Room / Shelf 10": (1, 3, 3),
    }


def test_a_place_moves_with_all_that_is_in_it(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        box = place_at(doing, "Room / Shelf 2 / Box")
        add_pieces(doing, add_fabric(doing, "Blue dots"), size=inches(9, 9), place=box)
        attic = place_at(doing, "Attic")
        shelf = find_place(doing.session, "Shelf 2")
        assert rename_place(doing, shelf, "Top shelf")
        assert move_place(doing, shelf, attic)
        with pytest.raises(BadRequestError, match="inside itself"):
            move_place(doing, attic, box)
    assert [row.place for row in find(catalogue, "at:attic")] == ["Attic / Top shelf / Box"]
    assert [row.place for row in find(catalogue, 'at:"top shelf/box"')] == [
        "Attic / Top shelf / Box"
    ]
    assert find(catalogue, "at:Room") == []


def test_two_places_side_by_side_have_different_names(catalogue: Catalogue) -> None:
    with deed(catalogue, "add") as doing:
        one = place_at(doing, "Room / Shelf 1")
        place_at(doing, "Room / Shelf 2")
        with pytest.raises(AlreadyThereError, match="Shelf 2"):
            rename_place(doing, one, "SHELF 2")
        with pytest.raises(BadNameError, match="inside one another"):
            rename_place(doing, one, "A / B")
        assert rename_place(doing, one, "shelf 1")


@pytest.mark.parametrize("path", ["", "/", "a // b", "a/" * 30 + "b", "a\x00"])
def test_a_path_that_names_no_place_is_refused(sqlite_stash: Catalogue, path: str) -> None:
    with deed(sqlite_stash, "add") as doing, pytest.raises(BadNameError):
        place_at(doing, path)


def test_an_off_cut_knows_the_piece_it_came_from(catalogue: Catalogue) -> None:
    add(catalogue, "Blue dots")
    with deed(catalogue, "cut") as doing:
        parent = piece_by_code(doing.session, "A1")
        fabric = fabric_by_id(doing.session, parent.fabric_id)
        add_pieces(doing, fabric, size=inches(5, 5), parent=parent)
    with reading(catalogue) as session:
        child: Piece = piece_by_code(session, "A2")
        assert child.parent_id == piece_by_code(session, "A1").id
