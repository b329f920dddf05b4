"""A piece as its page shows it: all that is known, its cloth, its place on the value rule."""

from dataclasses import dataclass
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.history import DeedView, history
from stashkeeper.actions.piece_view import PhotoView, PieceView, bands_of, piece_view
from stashkeeper.actions.reading_view import ReadingView, doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import look_of
from stashkeeper.catalogue.columns import Corners, End
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.pieces import piece_by_code
from stashkeeper.catalogue.places import list_places
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.pictures.value_rule import Mark
from stashkeeper.pictures.web_rule import css_grey

ENDS: Final = tuple(str(how) for how in End)
"""The ways a piece ends, to choose from."""


@dataclass(frozen=True, slots=True)
class Box:
    """The part of a photo that is measured: its edges in percent of the upright photo."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Alike:
    """Another piece of the same fabric still on the shelf."""

    code: str
    size: str
    place: str


@dataclass(frozen=True, slots=True)
class PiecePage:
    """What the page of a piece shows.

    Attributes:
        piece: all that is known of it.
        look: the mark of its swatch; None where it has no photo.
        deeds: what happened to it, newest first.
        alike: the other pieces of its fabric.
        places: the paths of all places, to choose from.
        limits: where dark ends and where light begins, in L*.
    """

    piece: PieceView
    look: str | None
    deeds: tuple[DeedView, ...]
    alike: tuple[Alike, ...]
    places: tuple[str, ...]
    limits: tuple[float, float]

    @property
    def greys(self) -> tuple[str, ...]:
        """The greys of the value rule, every ten L* from black to white."""
        return tuple(css_grey(lightness) for lightness in range(0, 101, 10))

    @property
    def last(self) -> DeedView | None:
        """The newest deed that can be taken back or done again."""
        return next((deed for deed in self.deeds if not deed.undone), None)

    @property
    def repeat(self) -> str:
        """The repeat of the print, as it is typed."""
        length = self.piece.repeat
        return format_length(length, self.piece.measure) if length else ""

    @property
    def size(self) -> str:
        """The size alone, as it is typed."""
        return format_size(self.piece.size, self.piece.measure) if self.piece.size else ""


def piece_page(stash: Stash, code: str) -> PiecePage:
    """Return what the page of a piece shows.

    Raises:
        NotFoundError: no piece has the code.
    """
    with stash.reading() as session:
        piece = piece_view(stash, session, piece_by_code(session, code))
        rows = {row.code: row for row in _rows(session, (piece.code, *piece.alike))}
        places = tuple(row.path for row in list_places(session))
        bands = bands_of(session)
    own = rows.get(piece.code)
    return PiecePage(
        piece,
        look_of(own) if own and own.checksum else None,
        tuple(reversed(history(stash, code).deeds)),
        tuple(_alike(rows[one], stash) for one in piece.alike if one in rows),
        places,
        (bands.dark_below, bands.light_from),
    )


def mark_of(reading: ReadingView) -> Mark:
    """Return how a reading is marked."""
    if doubt_sentences(reading.doubts):
        return Mark.DOUBTFUL
    return Mark.PROVISIONAL if reading.provisional else Mark.SURE


def box_of(photo: PhotoView) -> Box:
    """Return the upright rectangle around the corners of a region, in percent."""
    return _box(photo.corners)


def _box(corners: Corners) -> Box:
    across, down = [x * 100 for x, _ in corners], [y * 100 for _, y in corners]
    return Box(min(across), min(down), max(across), max(down))


def _rows(session: Session, codes: tuple[str, ...]) -> list[PieceRow]:
    search = Search((Term("code", codes), Term("ended", ("any",))))
    return select_pieces(session, search, Thresholds())


def _alike(row: PieceRow, stash: Stash) -> Alike:
    return Alike(row.code, format_size(row.size, stash.measure) if row.size else "", row.place)
