"""The shelf as a choice sees it, against sorting and adding up in plain Python."""

from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.choosing.shelf import Candidate, Shelf
from stashkeeper.cloth.reading import Factor, Method, Reading
from tests.choosing.shelves import SQUARES

READINGS = [
    Reading(lightness, None, None, Method.TYPED, (Factor("own", weight),))
    for lightness in (20.0, 50.0, 50.000_001)
    for weight in (2.0, 3.0)
]
PIECES = st.lists(
    st.tuples(
        st.integers(1, 99).map("A{}".format),
        st.sampled_from("FGHJ"),
        st.sampled_from(READINGS),
        st.sampled_from([0, 10, 20]),
        st.integers(0, 5),
    ),
    max_size=12,
    unique_by=lambda piece: piece[0],
)


@given(PIECES)
@settings(deadline=None, max_examples=200)
def test_fabrics_lie_from_dark_to_light_and_their_pieces_from_small_to_large(
    pieces: list[tuple[str, str, Reading, int, int]],
) -> None:
    speaks = {
        fabric: min(
            (read.uncertainty, read.lightness, code, number)
            for number, (code, its, read, _, _) in enumerate(pieces)
            if its == fabric
        )
        for _, fabric, *_ in pieces
    }
    fabrics = sorted(speaks, key=lambda fabric: (speaks[fabric][1], fabric))
    shelf = Shelf.of(
        [Candidate(code, fabric, read, area) for code, fabric, read, area, _ in pieces],
        {SQUARES: [gives for *_, gives in pieces]},
    )
    assert shelf.keys == tuple(fabrics)
    assert [id(read) for read in shelf.readings] == [
        id(pieces[speaks[fabric][3]][2]) for fabric in fabrics
    ]
    for at, fabric in enumerate(fabrics):
        own = sorted((area, code, gives) for code, its, _, area, gives in pieces if its == fabric)
        assert shelf.codes_of(at) == tuple(code for _, code, _ in own)
        assert int(shelf.areas[at]) == sum(area for area, _, _ in own)
        assert int(shelf.gives[SQUARES][at]) == sum(gives for *_, gives in own)
        assert [int(shelf.piece_gives[SQUARES][piece]) for piece in shelf.pieces(at)] == [
            gives for *_, gives in own
        ]
