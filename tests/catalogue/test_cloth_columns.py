"""The shelf as columns is the shelf as rows: the same pieces, the same cloth, the same answers."""

from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest
from sqlmodel import Session

from stashkeeper.actions.cloths import bags_of, cloth_of, is_certain, is_directional, usable_of_row
from stashkeeper.actions.finding import find_pieces
from stashkeeper.actions.found import FoundPiece
from stashkeeper.actions.offered import Hits
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.cloth_columns import ClothColumns, State, select_cloth
from stashkeeper.catalogue.columns import End, PieceKind
from stashkeeper.catalogue.database import Catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.filters import Search, parse_search
from stashkeeper.catalogue.history import Deed, deed
from stashkeeper.catalogue.pieces import add_pieces, end_piece
from stashkeeper.catalogue.places import place_at
from stashkeeper.catalogue.projects import add_project, choose_pieces
from stashkeeper.catalogue.shelf import PieceRow, rows_of, select_pieces
from stashkeeper.catalogue.tables import Piece
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cutting.bag_record import bag_to_plain
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.scraps import Bag
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.errors import NotFoundError
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands
from stashkeeper.settings.load import load_settings
from tests.catalogue.made import inches, measure

SELVEDGES = (frozenset[Edge](), frozenset({Edge.RIGHT}), frozenset(Edge))
STATES = list(product(Basis, SELVEDGES, (False, True), (False, True)))
FABRICS = list(product((False, True), (None, "along", "across", "both ways")))
SEARCHES = [
    "", "value:dark", "-value:dark", "value:unknown", "washed:yes", "at:box", "ended:any",
    "ended:mistake", "-colour:blue", "size:18x21", "code:A1,A3", "straße", "nowhere-to-be-found",
]  # fmt: skip


@pytest.fixture
def shelf(catalogue: Catalogue) -> Catalogue:
    """Return a shelf with pieces in every state, bags, ended pieces, and some reserved."""
    with deed(catalogue, "add") as doing:
        pieces = [piece for number, _ in enumerate(FABRICS) for piece in _fabric(doing, number)]
        end_piece(doing, pieces[3], End.GIVEN)
        end_piece(doing, pieces[4], End.MISTAKE)
        for name, chosen in (("Harbour", pieces[:3]), ("Orchard", pieces[2:6])):
            project = add_project(doing, name, "layout", {})
            choose_pieces(doing, project, [("star", None, piece) for piece in chosen])
    return catalogue


def _fabric(doing: Deed, number: int) -> Iterator[Piece]:
    """Add a fabric with pieces in some states; together the fabrics have them all."""
    flannel, direction = FABRICS[number]
    fabric = add_fabric(doing, f"Straße {number}", flannel=flannel, print_direction=direction)
    if number % 3:
        measure(doing, fabric, 15.0 + 10 * number, "blue" if number % 2 else "green")
    for at, (basis, selvedges, squared, washed) in enumerate(STATES[number::5]):
        yield from add_pieces(
            doing, fabric, size=inches(4 + 6 * at, 9 + number), basis=basis, selvedges=selvedges,
            squared=squared, washed=washed, place=place_at(doing, "Room / Box") if at % 2 else None,
        )  # fmt: skip
    if number in {0, 5}:
        squares = {Length.from_inches(5): 7}
        full = bag_to_plain(Bag({Length.from_inches(2): 3}, squares)) if number else None
        yield from add_pieces(doing, fabric, size=None, kind=PieceKind.SCRAPS, scraps=full)


def test_every_state_is_on_the_shelf(shelf: Catalogue) -> None:
    with reading(shelf) as session:
        cloth = select_cloth(session, Search(), Thresholds())
    found = {(one.basis, one.selvedges, one.squared, one.washed) for one in cloth.states}
    assert found == set(STATES)
    assert {(one.flannel, one.direction) for one in cloth.states} == set(FABRICS)


def test_columns_are_the_rows_of_the_same_search(shelf: Catalogue) -> None:
    for words in SEARCHES:
        with reading(shelf) as session:
            cloth, rows = both(session, words)
        sized = [row for row in rows if row.size is not None]
        assert as_told(cloth) == [
            (row.code, row.name, row.place, str(row.fabric_id), row.size,
             State(row.basis, row.selvedges, row.squared, row.washed, row.flannel, row.direction))
            for row in sized
        ], words  # fmt: skip
        assert list(cloth.bags) == [row for row in rows if row.size is None], words


def as_told(cloth: ClothColumns) -> list[tuple[object, ...]]:
    """Return code, name, place, fabric, size and state of each piece."""
    sizes = [Size(Length(int(one)), Length(int(other)))
             for one, other in zip(cloth.widths, cloth.lengths, strict=True)]  # fmt: skip
    states = [cloth.states[number] for number in cloth.of_state]
    words = cloth.codes, cloth.names, cloth.places, cloth.fabrics()
    return list(zip(*words, sizes, states, strict=True))


def both(session: Session, words: str) -> tuple[ClothColumns, list[PieceRow]]:
    """Return what a search finds as columns and as rows."""
    search, bands = parse_search(words, Measure.INCHES), Thresholds()
    return select_cloth(session, search, bands), select_pieces(session, search, bands)


def test_pieces_may_belong_to_it_besides(shelf: Catalogue) -> None:
    """What has ended is not on the shelf: A4 was given away."""
    with reading(shelf) as session:
        search = parse_search("code:A8", Measure.INCHES)
        cloth = select_cloth(session, search, Thresholds(), also=["A2", "A4", "A8"])
        assert list(cloth.codes) == ["A2", "A8"]
        nowhere = parse_search("at:Attic", Measure.INCHES)
        with pytest.raises(NotFoundError, match="Attic"):
            select_cloth(session, nowhere, Thresholds(), also=["A2"])


def test_rows_are_fetched_by_their_codes_ended_or_not(shelf: Catalogue) -> None:
    with reading(shelf) as session:
        every = {row.code: row for row in both(session, "ended:any")[1]}
        found = rows_of(session, ["A4", "ZZ9", "A1", "A4"])
        assert found == {"A1": every["A1"], "A4": every["A4"]}
        assert rows_of(session, []) == {}


def test_find_says_what_the_rows_say(shelf: Catalogue, tmp_path: Path) -> None:
    stash = Stash(load_settings(tmp_path, {}), shelf)
    here = {"A1": ("Harbour",), "A2": ("Harbour",), "A3": ("Harbour", "Orchard"),
            "A4": ("Orchard",), "A5": ("Orchard",), "A6": ("Orchard",)}  # fmt: skip
    told, bags = set[str](), set[str]()
    for words, (width, length, count) in product(SEARCHES, ((3, 4, 1), (5, 5, 2), (2, 7, 9))):
        answer = find_pieces(stash, f"{width} x {length} in", [words], count=count)
        with reading(shelf) as session:
            rows = both(session, words)[1]
        expected = one_by_one(stash, rows, inches(width, length), count)
        assert [as_found(one) for one in answer.pieces] == [as_found(one) for one in expected]
        codes = [one.code for one in expected]
        assert isinstance(answer.pieces, Hits)
        some = {*here, *codes[::3]}
        assert answer.pieces.those_among(some) == tuple(
            one for one in answer.pieces if one.code in some
        )
        assert answer.reserved == {code: here[code] for code in codes if code in here}
        told.update(codes)
        bags.update(one.code for one in expected if one.bag)
    assert told >= here.keys()
    assert len(bags) == 1  # the other bag has no scraps written down


def as_found(one: FoundPiece) -> tuple[object, ...]:
    """Return all that is said of a piece found, what would be left aside."""
    return one.code, one.name, one.place, one.holds, one.certain, one.usable, one.bag


def one_by_one(stash: Stash, rows: list[PieceRow], size: Size, count: int) -> list[FoundPiece]:
    """Return the pieces that hold a cut so often, each looked at by itself."""
    taken, found = stash.settings.allowances, []
    for row in rows:
        usable = usable_of_row(row, taken)
        if usable is None:
            continue
        ticks = [usable.size.width.ticks], [usable.size.length.ticks], [is_directional(row)]
        holds = int(counts(Shelf.from_ticks(*ticks), size)[0])
        if holds >= count:
            found.append(FoundPiece.of(row, usable.size, holds, None, is_certain(usable)))
    for row, bag in bags_of(rows):
        cloths = bag.cloths(row.code, str(row.fabric_id))
        each = [int(counts(Shelf.of([cloth]), size)[0]) * number for cloth, number in cloths]
        if cloths and sum(each) >= count:
            largest = max((cloth.size for cloth, _ in cloths), key=lambda one: one.area)
            found.append(FoundPiece.of(row, largest, sum(each), None, certain=False, bag=True))
    return sorted(found, key=lambda one: one.usable.area)


def test_a_set_is_found_among_them(shelf: Catalogue, tmp_path: Path) -> None:
    stash = Stash(load_settings(tmp_path, {}), shelf)
    answer = find_pieces(stash, "", cuts=["2 x 5 in square", "3 x 2 in square"])
    with reading(shelf) as session:
        rows = {row.code: row for row in both(session, "")[1]}
    bands = Bands(40.0, 65.0)
    assert answer.pieces
    for one in answer.pieces:
        cloth = cloth_of(rows[one.code], stash.settings.allowances, bands)
        assert cloth is not None
        assert (cloth.size, cloth.certain) == (one.usable, one.certain)
        assert (one.name, one.place) == (rows[one.code].name, rows[one.code].place)
