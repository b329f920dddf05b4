"""A piece as faces show it."""

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from stashkeeper.actions.bag_words import bag_words
from stashkeeper.actions.reading_view import ReadingView, doubt_sentences, reading_view
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import Corners, End, PieceKind, Side
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.photos import RegionRow, regions_of
from stashkeeper.catalogue.pieces import pieces_of
from stashkeeper.catalogue.places import path_of
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.readings import PastReading, all_readings_of
from stashkeeper.catalogue.tables import Fabric, Piece
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.cloth.reading import Reading
from stashkeeper.cloth.usable import Usable, usable
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A photo of a piece's fabric, and the region that is cloth.

    Attributes:
        file_name: what it was called.
        checksum, format: of its file.
        width, height: upright, in pixels.
        region: the key of the region.
        corners: of the region, in fractions of the upright photo.
        side: which the photo shows.
    """

    file_name: str
    checksum: str
    format: str
    width: int
    height: int
    region: uuid.UUID
    corners: Corners
    side: Side


@dataclass(frozen=True, slots=True)
class PastReadingView:
    """A reading on record, and whether it is the one that counts."""

    reading: ReadingView
    read_at: datetime
    counts: bool


@dataclass(frozen=True, slots=True)
class PieceView:
    """One piece with all that is known of it.

    Attributes:
        code, name: of the piece, and of its fabric.
        size: as typed; None for a bag of scraps.
        usable, certain: what can be cut from it by the settings' allowances; *probably* where the
            size was never measured.
        reading: the one that counts; None before its first photo or typed lightness.
        alike: the codes of the other pieces of its fabric still on the shelf.
        reserved: the projects under way that chose it.
        version: of the piece and of its fabric, for pages that change them.
    """

    code: str
    name: str
    size: Size | None
    basis: Basis
    selvedges: tuple[Edge, ...]
    squared: bool
    washed: bool
    usable: Size | None
    certain: bool
    place: str
    tags: tuple[str, ...]
    fibre: str | None
    source: str | None
    cost: float | None
    direction: str | None
    repeat: Length | None
    note: str
    ended: End | None
    reading: ReadingView | None
    readings: tuple[PastReadingView, ...]
    photos: tuple[PhotoView, ...]
    alike: tuple[str, ...]
    reserved: tuple[str, ...]
    version: tuple[int, int]
    _losses: tuple[str, ...]
    _measure: Measure
    _holds: str = ""

    @property
    def measure(self) -> Measure:
        """Inches or centimetres, as its person thinks."""
        return self._measure

    @property
    def taken_off(self) -> tuple[str, ...]:
        """Why less is usable than the size says, a sentence each."""
        return self._losses

    @property
    def title(self) -> str:
        """Code and name, as in every sentence about it."""
        return titled(self.code, self.name)

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, a line each."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[str]:
        yield f"{self.code}  {self.name}" + (f"  (ended: {self.ended})" if self.ended else "")
        for label, text in self._facts():
            if text:
                yield f"  {label:<10}{text}"

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "size", self.shown_size
        yield "holds", self._holds
        yield "usable", self.shown_usable
        yield from (("", loss) for loss in self._losses)
        yield "place", self.place
        yield "lightness", self.reading.sentence if self.reading else "not measured yet"
        for sentence in doubt_sentences(self.reading.doubts if self.reading else ()):
            yield "", sentence
        yield "tags", ", ".join(self.tags)
        yield "fibre", self.fibre or ""
        yield "from", self.source or ""
        yield "cost", f"{self.cost:.2f}" if self.cost is not None else ""
        yield "direction", self.direction or ""
        yield "repeat", format_length(self.repeat, self._measure) if self.repeat else ""
        yield "note", self.note
        yield "photos", ", ".join(photo.file_name for photo in self.photos)
        yield "alike", ", ".join(self.alike)
        yield "reserved", f"by {' and '.join(self.reserved)}" if self.reserved else ""

    @property
    def shown_size(self) -> str:
        """The size with how it is known, and what is known of its edges."""
        if self.size is None:
            return ""
        words = [format_size(self.size, self._measure)]
        words += [str(self.basis)] if self.basis is not Basis.MEASURED else []
        words += ["squared up"] if self.squared else []
        words += ["washed"] if self.washed else []
        words += [f"{len(self.selvedges)} selvedge edges"] if len(self.selvedges) == 2 else []
        words += ["a selvedge edge"] if len(self.selvedges) == 1 else []
        return ", ".join(words)

    @property
    def shown_usable(self) -> str:
        """What can be cut from it; nothing for a bag of scraps."""
        if self.usable is None:
            return ""
        probably = "" if self.certain else "probably "
        return probably + format_size(self.usable, self._measure)


def titled(code: str, name: str) -> str:
    """Return a piece's code and name as they stand in a sentence."""
    return f"{code} “{name}”"


def bands_of(session: Session) -> Bands:
    """Return the bands of value that everyone sharing the stash uses."""
    shared = thresholds(session)
    return Bands(shared.dark_below, shared.light_from)


def usable_of(stash: Stash, piece: Piece, fabric: Fabric) -> Usable | None:
    """Return what can be cut from a piece; None for a bag of scraps."""
    if piece.width is None or piece.length is None:
        return None
    return usable(
        Size(piece.width, piece.length),
        piece.basis,
        piece.selvedges,
        piece.squared,
        piece.washed,
        fabric.flannel,
        stash.settings.allowances,
    )


def piece_view(stash: Stash, session: Session, piece: Piece) -> PieceView:
    """Return a piece with all that is known of it."""
    fabric = fabric_by_id(session, piece.fabric_id)
    bands = bands_of(session)
    past = all_readings_of(session, fabric)
    offered = usable_of(stash, piece, fabric)
    return PieceView(
        code=piece.code,
        name=fabric.name,
        size=_size_of(piece),
        basis=piece.basis,
        selvedges=tuple(edge for edge in Edge if edge in piece.selvedges),
        squared=piece.squared,
        washed=piece.washed,
        usable=offered.size if offered else None,
        certain=bool(offered and offered.certain),
        place=path_of(session, piece.place_id),
        tags=fabric.tags,
        fibre=fabric.fibre,
        source=fabric.source,
        cost=None if fabric.cost is None else fabric.cost / 100,
        direction=fabric.print_direction,
        repeat=fabric.repeat,
        note=piece.notes,
        ended=piece.ended_how,
        reading=reading_view(_counting(past), bands),
        readings=tuple(_past(one, bands) for one in past),
        photos=tuple(_photo(row) for row in regions_of(session, fabric.id)),
        alike=_alike(session, piece),
        reserved=reserved(session).get(piece.id, ()),
        version=(piece.version, fabric.version),
        _losses=offered.taken_off(stash.measure) if offered else (),
        _measure=stash.measure,
        _holds=bag_words(piece.scraps, stash.measure) if piece.kind is PieceKind.SCRAPS else "",
    )


def _size_of(piece: Piece) -> Size | None:
    if piece.width is None or piece.length is None:
        return None
    return Size(piece.width, piece.length)


def _counting(past: list[PastReading]) -> Reading | None:
    return next((one.reading for one in past if one.counts), None)


def _past(one: PastReading, bands: Bands) -> PastReadingView:
    view = reading_view(one.reading, bands)
    assert view is not None
    return PastReadingView(view, one.created_at, one.counts)


def _photo(row: RegionRow) -> PhotoView:
    return PhotoView(
        row.file_name,
        row.checksum,
        row.format,
        row.width,
        row.height,
        row.id,
        row.corners,
        row.side,
    )


def _alike(session: Session, piece: Piece) -> tuple[str, ...]:
    others = pieces_of(session, piece.fabric_id)
    return tuple(one.code for one in others if one.id != piece.id and one.ended_how is None)
