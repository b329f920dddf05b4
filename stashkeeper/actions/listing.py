"""A list of pieces, as faces show it."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import EVERY_ONE
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cloth.reading import Method
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands, value_by_bands


@dataclass(frozen=True, slots=True)
class ListedPiece:
    """A piece in a list; the columns of its reading are None where there is none.

    `reserved` names the projects under way that chose it.
    """

    code: str
    name: str
    size: Size | None
    basis: Basis
    place: str
    tags: tuple[str, ...]
    washed: bool
    squared: bool
    lightness: float | None
    uncertainty: float | None
    method: str | None
    value: Value | None
    colour_family: str | None
    ended: End | None
    reserved: tuple[str, ...] = ()

    @property
    def provisional(self) -> bool:
        """Whether only an unreferenced photo speaks for its value."""
        return self.method == Method.PHOTO


@dataclass(frozen=True, slots=True)
class Listing:
    """The pieces a search found, and a sentence on what was searched and how many there are."""

    pieces: tuple[ListedPiece, ...]
    sentence: str
    _measure: Measure

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("code", "name", "size", "lightness", "value", "place")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each piece; lengths rounded down, provisional values with ~."""
        return [
            (
                piece.code,
                shortened(piece.name),
                _size_words(piece, self._measure),
                _lightness_words(piece),
                str(piece.value or ""),
                _where(piece),
            )
            for piece in self.pieces
        ]


def listing(
    rows: Sequence[PieceRow],
    limits: Thresholds,
    searched: str,
    measure: Measure,
    taken: Mapping[uuid.UUID, tuple[str, ...]],
) -> Listing:
    """Return the pieces of a search as a list; `taken` names the projects that reserve each."""
    bands = Bands(limits.dark_below, limits.light_from)
    told = found_words(len(rows), searched)
    listed = tuple(_listed(row, bands, taken.get(row.piece_id, ())) for row in rows)
    return Listing(listed, told, measure)


def found_words(count: int, searched: str) -> str:
    """Return how many pieces a search found, and what was searched."""
    if not count and searched == EVERY_ONE:
        return "No piece is on the shelf. Add one: its size, and a photo if you have one."
    pieces = f"{count} piece{'' if count == 1 else 's'}" if count else "No piece"
    return f"{pieces}. {searched}"


def shortened(name: str, longest: int = 32) -> str:
    """Return a name that fits a column."""
    return name if len(name) <= longest else f"{name[: longest - 1]}…"


def _where(piece: ListedPiece) -> str:
    """Return how a piece ended, or where it lies and what reserves it."""
    if piece.ended:
        return f"ended: {piece.ended}"
    kept = f"reserved: {', '.join(piece.reserved)}" if piece.reserved else ""
    return ", ".join(filter(None, (piece.place, kept)))


def _listed(row: PieceRow, bands: Bands, reserved: tuple[str, ...]) -> ListedPiece:
    return ListedPiece(
        code=row.code,
        name=row.name,
        size=row.size,
        basis=row.basis,
        place=row.place,
        tags=row.tags,
        washed=row.washed,
        squared=row.squared,
        lightness=row.lightness,
        uncertainty=row.uncertainty,
        method=row.method,
        value=None if row.lightness is None else value_by_bands(row.lightness, bands),
        colour_family=row.colour_family,
        ended=row.ended,
        reserved=reserved,
    )


def _size_words(piece: ListedPiece, measure: Measure) -> str:
    if piece.size is None:
        return ""
    words = _shown_size(piece.size, measure)
    return words if piece.basis is Basis.MEASURED else f"{words}, {piece.basis}"


# Shelves hold the same few sizes over and over, and their fractions take a while.
_shown_size = lru_cache(maxsize=4_096)(format_size)


def _lightness_words(piece: ListedPiece) -> str:
    if piece.lightness is None:
        return ""
    return shown_lightness(piece.lightness, piece.provisional)
