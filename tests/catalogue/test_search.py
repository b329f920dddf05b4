"""Search words: read the same for every face, told back in a sentence, answered in one query."""

import pytest
from sqlalchemy import event

from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.database import Catalogue, open_catalogue, reading
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.filters import (
    COLOURS,
    KEYS,
    Search,
    Term,
    explain,
    parse_search,
)
from stashkeeper.catalogue.history import deed
from stashkeeper.catalogue.photos import corners_of_crop
from stashkeeper.catalogue.pieces import add_pieces, end_piece
from stashkeeper.catalogue.places import place_at
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.errors import BadSearchError, BadSizeError, NotFoundError
from stashkeeper.lengths.length import Measure
from stashkeeper.luminance.colour_family import ColourFamily
from tests.catalogue.made import add_photo_of, codes, find, inches, measure


@pytest.fixture
def shelf(catalogue: Catalogue) -> Catalogue:
    """Return a shelf of five fabrics, seven pieces."""
    with deed(catalogue, "add") as doing:
        dots = add_fabric(
            doing, "Blue dots", tags=["Blue", "deep sea"], notes="from Élise's 50% sale"
        )
        add_pieces(
            doing, dots, 2, size=inches(18, 21), place=place_at(doing, "Room / Shelf 2 / Box")
        )
        measure(doing, dots, 25.0, "blue")
        add_photo_of(doing, dots, "dots.jpg")
        leaf = add_fabric(doing, "Leaf_green", tags=["blueberry"])
        add_pieces(
            doing, leaf, size=inches(10, 40), washed=True, place=place_at(doing, "Room / Shelf 20")
        )
        measure(doing, leaf, 50.0, "green")
        cream = add_fabric(doing, "Cream", tags=["solid"])
        add_pieces(
            doing, cream, size=inches(5, 5), notes="a blue stain", place=place_at(doing, "Room")
        )
        measure(doing, cream, 90.0, "cream")
        (given,) = add_pieces(doing, cream, size=inches(40, 40))
        end_piece(doing, given, End.GIVEN)
        plain = add_fabric(doing, "STRASSE 100%")
        add_pieces(doing, plain, size=None, place=place_at(doing, "Attic"))
        (mistake,) = add_pieces(doing, plain, size=inches(9, 9))
        end_piece(doing, mistake, End.MISTAKE)
    return catalogue


FOUND = {
    "": "A1 A2 A3 A4 A6",
    "blue": "A1 A2 A3 A4",
    "dots blue": "A1 A2",
    '"blue dots"': "A1 A2",
    "“blue dots”": "A1 A2",
    "élise": "A1 A2",
    "ÉLISE": "A1 A2",
    "straße": "A6",
    "100%": "A6",
    "%": "A1 A2 A6",
    "_": "A3",
    "50%sale": "",
    "a4": "A4",
    "tag:blue": "A1 A2",
    "TAG:BLUE": "A1 A2",
    'tag:"deep sea"': "A1 A2",
    "tag:deep": "",
    "at:room": "A1 A2 A3 A4",
    'at:"shelf 2"': "A1 A2",
    "at:room/shelf 2/box": "",
    'at:"room / shelf 2/BOX"': "A1 A2",
    "at:attic": "A6",
    "at:box": "A1 A2",
    "-at:room": "A6",
    "value:dark": "A1 A2",
    "value:light,dark": "A1 A2 A4",
    "value:medium": "A3",
    "value:unknown": "A6",
    "-value:dark": "A3 A4 A6",
    "colour:green": "A3",
    "color:green,cream": "A3 A4",
    "-colour:blue": "A3 A4 A6",
    "size:10x10": "A1 A2 A3",
    "min:21x18": "A1 A2",
    "min:18x21": "A1 A2",
    "size:40x10": "A3",
    'size:"18 in x 21 in"': "A1 A2",
    'size:18"×21"': "A1 A2",
    "size:45x53cm": "A1 A2",
    "size:46x53cm": "",
    "-size:10x10": "A4 A6",
    "washed:yes": "A3",
    "washed:no": "A1 A2 A4 A6",
    "-washed:yes": "A1 A2 A4 A6",
    "ended:no": "A1 A2 A3 A4 A6",
    "ended:yes": "A5",
    "ended:any": "A1 A2 A3 A4 A5 A6",
    "ended:given": "A5",
    'ended:"all cut"': "",
    "ended:mistake": "A7",
    "code:A1,a4": "A1 A4",
    "code:A1,nonsense": "A1",
    "-dots": "A3 A4 A6",
    "-": "",
    '"-dots"': "",
    "tag:solid -value:dark size:5x5 at:room": "A4",
}


def test_each_search_finds_its_pieces(shelf: Catalogue) -> None:
    found = {}
    for words in FOUND:
        try:
            found[words] = " ".join(codes(shelf, words))
        except NotFoundError:
            found[words] = ""
    assert found == FOUND


def test_a_place_that_is_not_there_is_told(shelf: Catalogue) -> None:
    with pytest.raises(NotFoundError, match=r"“Shelf 3”.*Shelf 2"):
        codes(shelf, 'at:"Shelf 3"')


def test_a_row_brings_all_that_a_list_shows(shelf: Catalogue) -> None:
    row = find(shelf, "a1")[0]
    assert (row.code, row.name, row.size) == ("A1", "Blue dots", inches(18, 21))
    assert (row.place, row.tags) == ("Room / Shelf 2 / Box", ("Blue", "deep sea"))
    assert (row.lightness, row.method, row.colour_family) == (25.0, "photo", "blue")
    assert row.uncertainty == pytest.approx(25, abs=0.1)
    assert row.spread is not None
    assert row.corners == corners_of_crop(0.1, 0.1, 0.9, 0.9)
    assert row.checksum is not None
    bare = find(shelf, "a6")[0]
    assert (bare.lightness, bare.method, bare.spread, bare.checksum) == (None, None, None, None)
    assert (bare.doubts, bare.size, bare.uncertainty) == ((), None, None)


def test_a_search_is_one_query(shelf: Catalogue) -> None:
    asked: list[str] = []
    with reading(shelf) as session:
        event.listen(shelf.engine, "before_cursor_execute", lambda *seen: asked.append(seen[2]))
        search = parse_search("blue -tag:x at:room value:dark size:5x5 -ended:yes", Measure.INCHES)
        assert len(select_pieces(session, search, Thresholds())) == 2
    assert len([statement for statement in asked if "piece" in statement]) == 1


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("place:attic", r"place:attic.*The keys are tag:, at:, code:, size:, value:"),
        ("value:bright", r"value cannot be “bright”.*light, medium, dark, unknown"),
        ("colour:teal", r"colour cannot be “teal”.*red, orange"),
        ("washed:maybe", r"yes, no"),
        ("ended:eaten", r"all cut.*given.*sold.*lost"),
        ("tag:", r"lacks its value.*tag:blue"),
        ("value:", r"lacks its value.*value:light"),
        ('tag:""', r"lacks its value"),
        ('at:"Shelf 2', r"not closed"),
        ('"blue', r"not closed"),
        ("bell\x07", r"U\+0007"),
        ("half\ud83e", r"U\+D83E"),
        ("x" * 2_000, "too long"),
        ("a " * 60, "too long"),
    ],
)
def test_a_search_that_cannot_be_meant_is_explained(words: str, told: str) -> None:
    with pytest.raises(BadSearchError, match=told):
        parse_search(words, Measure.INCHES)


def test_a_bad_size_in_a_search_is_a_bad_size() -> None:
    with pytest.raises(BadSizeError, match="ten"):
        parse_search("size:ten", Measure.INCHES)


def test_words_of_a_command_line_have_lost_their_quotes_to_the_shell() -> None:
    typed = parse_search('"blue dots" at:"Shelf 2" -tag:"deep sea"', Measure.INCHES)
    assert parse_search(["blue dots", "at:Shelf 2", "-tag:deep sea"], Measure.INCHES) == typed
    assert parse_search(['"blue dots"', 'at:"Shelf 2"', '-tag:"deep sea"'], Measure.INCHES) == typed
    both = parse_search(["tag:blue washed:yes"], Measure.INCHES)
    assert both == parse_search("tag:blue washed:yes", Measure.INCHES)
    assert typed.terms[0] == Term("text", ("blue dots",))
    assert parse_search([], Measure.INCHES) == parse_search("  ", Measure.INCHES) == Search()


def test_sizes_in_a_search_follow_the_measure() -> None:
    (inch,) = parse_search("size:10x10", Measure.INCHES).terms
    (centimetre,) = parse_search("size:10x10", Measure.CENTIMETRES).terms
    assert inch.size == inches(10, 10)
    assert centimetre.size != inch.size


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("", "Pieces on the shelf, every one."),
        ("ended:any", "Pieces: ended or not."),
        (
            'blue -tag:"deep sea" at:box value:light,dark size:10x10 washed:no',
            (
                "Pieces on the shelf: with “blue” in name, code, notes or tags; not tagged "
                "“deep sea”; at “box” or inside it; of light or dark value; at least 10x10; "
                "not washed."
            ),
        ),
        ("color:gray -washed:yes", "Pieces on the shelf: of grey colour; not washed."),
        ("ended:cut,lost", "Pieces: that ended as all cut or lost."),
    ],
)
def test_a_search_is_told_back_in_a_sentence(words: str, sentence: str) -> None:
    assert explain(parse_search(words, Measure.INCHES)) == sentence


def test_the_colours_of_searches_are_those_that_are_measured() -> None:
    assert set(COLOURS) == {family.value for family in ColourFamily}
    assert len(set(KEYS)) == len(KEYS)


def test_hostile_words_find_nothing_and_harm_nothing(shelf: Catalogue) -> None:
    for words in ("'; DROP TABLE piece; --", '"x\' OR 1=1 --"', "tag:%", "tag:_lue", "at:%", "\\"):
        try:
            assert codes(shelf, words) == []
        except NotFoundError:
            assert words == "at:%"
    assert len(codes(shelf)) == 5


def test_a_closed_stash_can_be_opened_again(url: str) -> None:
    open_catalogue(url, None).close()
    stash = open_catalogue(url, None)
    assert codes(stash) == []
    stash.close()
