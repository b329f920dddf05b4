"""What `find` found, as faces show it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from stashkeeper.actions.cut_words import TypedCut
from stashkeeper.actions.listing import shortened
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size

SHOWN = 25
"""So many pieces are listed; all of them are in JSON."""


@dataclass(frozen=True, slots=True)
class FoundPiece:
    """A piece that is big enough.

    Attributes:
        code, name, place: of the piece.
        holds: how many of the cut it holds, at most; of a whole set, 1.
        largest_left: the largest rectangle left over when just what is wanted is cut; None where
            nothing is left, and for a bag.
        certain: whether its size was measured; otherwise it holds so many *probably*.
        usable: its usable size; of a bag, the largest scrap in it.
        bag: whether it is a bag of scraps.
    """

    code: str
    name: str
    place: str
    holds: int
    largest_left: Size | None
    certain: bool
    usable: Size
    bag: bool = False

    @classmethod
    def of(
        cls,
        row: PieceRow,
        usable: Size,
        holds: int,
        left: Size | None,
        certain: bool,
        bag: bool = False,
    ) -> "FoundPiece":
        """Return the piece of a row."""
        return cls(row.code, row.name, row.place, holds, left, certain, usable, bag)


@dataclass(frozen=True, slots=True)
class Miss:
    """The piece that comes nearest where none is big enough.

    Attributes:
        certain: whether its size was measured.
        holds: how many of the cut it holds.
        short: how much of a side it lacks for one; None where it holds some.
        bag: whether it is a bag of scraps.
    """

    code: str
    name: str
    place: str
    usable: Size
    certain: bool
    holds: int
    short: Length | None
    bag: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found.

    Attributes:
        cut, count: what was wanted; for a set of sizes `cut` is None and `cuts` names them.
        pieces: those that are enough alone, the smallest first.
        together: where none is, as few pieces as hold it together.
        nearest: where none is, the piece that comes nearest.
        largest: where none is, the largest size of the same shape that one piece holds so often.
        reserved: the projects under way that chose a piece found, by its code.
    """

    cut: Size | None
    count: int
    cuts: tuple[TypedCut, ...]
    pieces: Sequence[FoundPiece]
    together: tuple[FoundPiece, ...]
    nearest: Miss | None
    largest: Size | None
    _asked: str
    _searched: str
    _measure: Measure
    reserved: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def with_misses(
        self,
        bags: Sequence[FoundPiece],
        together: tuple[FoundPiece, ...],
        nearest: Miss | None,
        largest: Size | None,
    ) -> "Answer":
        """Return the answer with what to do where nothing fits; a bag may come nearest."""
        bag = max(bags, key=lambda one: one.holds, default=None)
        if bag and bag.holds > (nearest.holds if nearest else 0):
            about = bag.code, bag.name, bag.place, bag.usable, bag.certain, bag.holds
            nearest = Miss(*about, short=None, bag=True)
        return replace(self, together=together, nearest=nearest, largest=largest)

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("code", "name", "usable", "holds", "left over", "place")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each of the smallest pieces; what we have rounds down."""
        return [self.row(piece) for piece in self.pieces[:SHOWN]]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was found in words, the table of `rows` left out."""
        return tuple(self._lines())

    def row(self, piece: FoundPiece) -> tuple[str, ...]:
        """Return a piece as words under the `headings`."""
        size = "bag" if piece.bag else format_size(piece.usable, self._measure)
        holds = f"{piece.holds:,}" if self.cut else "all of it"
        left = format_size(piece.largest_left, self._measure) if piece.largest_left else ""
        probably = "" if piece.certain else "probably "
        return piece.code, shortened(piece.name), size, probably + holds, left, piece.place

    @property
    def headline(self) -> str:
        """How many pieces are enough, in a sentence."""
        many = len(self.pieces)
        if not many:
            return f"No piece alone is enough for {self._asked}."
        return f"{many:,} piece{' is' if many == 1 else 's are'} enough for {self._asked}."

    @property
    def instead(self) -> tuple[str, ...]:
        """What to do where no piece is enough, a sentence each."""
        return () if self.pieces else tuple(self._instead())

    @property
    def as_cuts(self) -> str:
        """What was asked for as cuts to be planned, one on each line."""
        if self.cut is None:
            return "\n".join(one.sentence(self._measure) for one in self.cuts)
        return self._asked

    def _lines(self) -> Iterator[str]:
        yield self.headline
        if self.pieces:
            if len(self.pieces) > SHOWN:
                yield f"The smallest {SHOWN} are shown; --json has all."
            yield from self._by_place()
            yield from self.to_measure
            yield from self.spoken_for
        yield from self.instead

    def by_place(self) -> dict[str, list[str]]:
        """Return the codes of the smallest pieces by the place they lie in."""
        places: dict[str, list[str]] = {}
        for piece in self.pieces[:SHOWN]:
            places.setdefault(piece.place or "no place", []).append(piece.code)
        return places

    def _by_place(self) -> Iterator[str]:
        """Say which of the shown pieces lie together, if they lie in several places."""
        places = self.by_place()
        if len(places) > 1:
            yield from (f"  {place}: {', '.join(codes)}" for place, codes in places.items())

    @property
    def to_measure(self) -> tuple[str, ...]:
        """What *probably* means, where a piece shown was never measured or may shrink."""
        unsure = [piece.code for piece in self.pieces[:SHOWN] if not piece.certain]
        if not unsure:
            return ()
        codes = ", ".join(unsure[:8]) + (" …" if len(unsure) > 8 else "")
        return (f"“probably”: not measured, or not washed, yet; measure before you cut: {codes}.",)

    @property
    def spoken_for(self) -> tuple[str, ...]:
        """Which pieces shown are reserved by projects; told, not forbidden."""
        shown = [piece.code for piece in self.pieces[:SHOWN] if piece.code in self.reserved]
        listed = ", ".join(f"{code} ({', '.join(self.reserved[code])})" for code in shown)
        return (f"Reserved by a project: {listed}.",) if listed else ()

    def _instead(self) -> Iterator[str]:
        if self.together:
            parts = ", ".join(
                f"{piece.code} ({'' if piece.certain else 'probably '}{piece.holds:,})"
                for piece in self.together[:SHOWN]
            )
            more = f" and {len(self.together) - SHOWN} more" if len(self.together) > SHOWN else ""
            yield f"Together they are: {parts}{more}."
        if self.nearest:
            yield self._near(self.nearest)
        if self.largest:
            size = format_size(self.largest, self._measure)
            each = f" {self.count:,} times" if self.count > 1 else ""
            yield f"The largest that fits{each} on one piece is {size}."
        elif self.cuts:
            yield "Plan it, to see what several pieces give together."
        elif not self.nearest:
            yield "There is no cloth to cut from: leave a search word away, or log a piece first."

    def _near(self, near: Miss) -> str:
        where = f" ({near.place})" if near.place else ""
        usable = "a bag" if near.bag else f"{format_size(near.usable, self._measure)} usable"
        probably = "" if near.certain else "probably "
        start = f"Nearest: {near.code} “{shortened(near.name)}”{where}, {usable}"
        if near.short is None:
            return f"{start}, {probably}holds {near.holds:,}."
        short = format_length(near.short, self._measure, Rounding.UP)
        return f"{start}, {probably}is {short} short."
