"""Bags of scraps: strips by width, squares by size, crumbs by weight, counted in and out."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.bag_words import whole_grams
from stashkeeper.actions.cloths import bag_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import PieceKind
from stashkeeper.catalogue.fabrics import add_fabric, fabric_by_id
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.pieces import add_pieces, change_piece, piece_by_code
from stashkeeper.catalogue.places import place_at
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.tables import Piece
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.cutting.bag_record import bag_from_plain, bag_to_plain
from stashkeeper.cutting.scraps import Bag, ScrapKind
from stashkeeper.errors import BadCutError, BadRequestError, BadSizeError, quoted
from stashkeeper.lengths.format import format_exactly, format_length
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.parse import parse_size

_COUNTED: Final = re.compile(
    r"\s*(?P<count>[0-9]{1,7})\s*(?:[x×*]\s*|\s+(?![0-9]+\s*[/⁄]|[¼½¾⅐-⅞]))(?P<size>.+)", re.DOTALL
)
_GRAMS: Final = re.compile(
    r"([0-9]{1,6}(?:[.,][0-9]{1,3})?)\s*(g|grams?|kg|oz|ounces?|lb|)", re.IGNORECASE
)
_GRAMS_IN: Final = {"k": 1000.0, "o": 28.349523125, "l": 453.59237}
"""Grams in a kilogram, an ounce and a pound (avoirdupois, International Agreement of 1959)."""


@dataclass(frozen=True, slots=True)
class Scraps:
    """So many scraps of one kind and size: the width of strips, the side of squares."""

    kind: ScrapKind
    side: Length
    count: int


@dataclass(frozen=True, slots=True)
class BagView:
    """A bag of scraps as faces show it.

    Attributes:
        code, name, place: of the bag.
        scraps: what can be found in it, strips first, the narrowest first.
        crumbs: grams of the rest, which nobody looks for.
        strip_length: how long each strip is at least.
    """

    code: str
    name: str
    place: str
    scraps: tuple[Scraps, ...]
    crumbs: float
    strip_length: Length
    _measure: Measure

    @property
    def sentences(self) -> tuple[str, ...]:
        """The bag and what is in it, a line each."""
        return tuple(self._lines())

    @property
    def items(self) -> tuple[tuple[int, str, str], ...]:
        """What can be found in it: how many, of what in words, and what to type for one of it."""
        return tuple(
            (
                one.count,
                self._words(one),
                f"1 x {format_exactly(one.side, self._measure)} {one.kind}",
            )
            for one in self.scraps
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What else is to be known of it."""
        told = []
        if any(one.kind is ScrapKind.STRIP for one in self.scraps):
            length = format_length(self.strip_length, self._measure)
            told.append(f"every strip at least {length} long")
        if self.crumbs:
            told.append(f"{whole_grams(self.crumbs)} of crumbs")
        return tuple(told) if told or self.scraps else ("It is empty.",)

    def _words(self, one: Scraps) -> str:
        kind = one.kind if one.count == 1 else f"{one.kind}s"
        return f"{format_length(one.side, self._measure)} {kind}"

    def _lines(self) -> Iterator[str]:
        yield f"{self.code}  {self.name}" + (f", {self.place}" if self.place else "")
        for one in self.scraps:
            yield f"  {one.count:>4} × {self._words(one)}"
        for note in self.notes:
            yield f"        {note}" if note.startswith("every") else f"  {note}"


@dataclass(frozen=True, slots=True)
class Bags:
    """All bags of scraps, or the one that was changed; and what to tell."""

    bags: tuple[BagView, ...]
    _told: str = ""

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done, then each bag."""
        if not self.bags:
            return ("There is no bag of scraps yet: name one with --new.",)
        return (self._told, *(line for bag in self.bags for line in bag.sentences))


def list_bags(stash: Stash) -> Bags:
    """Return every bag of scraps on the shelf."""
    with stash.reading() as session:
        rows = select_pieces(session, Search(), Thresholds())
    return Bags(tuple(_view(stash, row) for row in rows if row.kind is PieceKind.SCRAPS))


def scraps(
    stash: Stash,
    code: str | None = None,
    *,
    new: str | None = None,
    put: Sequence[str] = (),
    take: Sequence[str] = (),
    crumbs: str | None = None,
    at: str | None = None,
) -> Bags:
    """Count scraps into a bag and out of it, or begin a new one; said nothing, show it, or all.

    Args:
        stash: the open stash.
        code: of the bag.
        new: the name of a new bag, instead of a code.
        put: scraps counted in, each such as `3 x 2 1/2 in strip`, `12 x 3 in square` or, for an
            irregular one, the largest rectangle in it.
        take: scraps counted out, in the same words.
        crumbs: what the rest weighs now, such as `150 g`.
        at: where the bag lies.

    Raises:
        BadRequestError: words that do not go together, or a piece that is no bag.
        BadSizeError, BadCutError: a size cannot be read, or more is taken out than is in it.
        NotFoundError: nothing has the code.
    """
    said = bool(put or take or crumbs is not None or at is not None)
    if code is None and new is None and not said:
        return list_bags(stash)
    _must_name_one(code, new)
    if new is None and not said:
        with stash.reading() as session:
            return _shown(stash, _bag(session, code or "").code)
    changes = _changes(stash, put, take, crumbs)
    with stash.deed("scraps") as deed:
        piece = _new_bag(deed, new) if new is not None else _bag(deed.session, code or "")
        bag = bag_from_plain(piece.scraps or {})
        for change in changes:
            bag = change(bag)
        _keep(deed, piece, bag, at)
        name = fabric_by_id(deed.session, piece.fabric_id).name
        deed.summary = told = f"{'Began' if new else 'Counted'} the bag {piece.code} “{name}”."
        called = piece.code
    return _shown(stash, called, told)


def _shown(stash: Stash, code: str, told: str = "") -> Bags:
    """Return one bag, and what was done with it."""
    with stash.reading() as session:
        rows = select_pieces(session, Search((Term("code", (code,)),)), Thresholds())
    return Bags(tuple(_view(stash, row) for row in rows), told)


def _must_name_one(code: str | None, new: str | None) -> None:
    """Refuse words that name no bag, or two."""
    if code is None and new is None:
        raise BadRequestError(
            "Which bag is meant was not said.",
            "Give its code, or --new with a name for a new one.",
            on_page="Choose a bag, or name a new one.",
        )
    if code is not None and new is not None:
        raise BadRequestError("A bag is either new or has a code.", "Leave one of them away.")


def _changes(
    stash: Stash, put: Sequence[str], take: Sequence[str], crumbs: str | None
) -> list[Callable[[Bag], Bag]]:
    """Return what is to be done with a bag; every word is read before anything is done."""
    changes: list[Callable[[Bag], Bag]] = []
    for texts, coming in ((put, True), (take, False)):
        for text in texts:
            one = read_scraps(text, stash.measure)
            changes.append(_put(one) if coming else _take(one))
    if crumbs is not None:
        grams = read_grams(crumbs)
        changes.append(lambda bag: bag.weigh(grams))
    return changes


def _put(one: Scraps) -> Callable[[Bag], Bag]:
    return lambda bag: bag.put_in(one.kind, one.side, one.count)


def _take(one: Scraps) -> Callable[[Bag], Bag]:
    return lambda bag: bag.take_out(one.kind, one.side, one.count)


def read_scraps(text: str, measure: Measure) -> Scraps:
    """Read so many scraps: `3 x 2 1/2 in strip`, `12 x 3 in square`, `4 x 7 in`.

    A rectangle at least as long as a strip counts as a strip of its width, a shorter one as a
    square of its shorter side.

    Raises:
        BadSizeError: the size cannot be read.
        BadCutError: a count below 1.
    """
    count, words = 1, text
    if (match := _COUNTED.fullmatch(text)) is not None:
        try:
            parse_size(match["size"], measure)
        except BadSizeError:
            pass
        else:
            count, words = int(match["count"]), match["size"]
    if count < 1:
        raise BadCutError(f"{quoted(text)} is no scrap at all.", "Count at least one.")
    typed = parse_size(words, measure)
    short, long = sorted((typed.size.width, typed.size.length))
    if len(typed.selvedges) == 2:
        return Scraps(ScrapKind.STRIP, typed.size.length, count)
    is_strip = short != long and long >= Bag().strip_length
    return Scraps(ScrapKind.STRIP if is_strip else ScrapKind.SQUARE, short, count)


def read_grams(text: str) -> float:
    """Read a weight in grams: `150`, `150 g`, `1.2 kg`, `5 oz`.

    Raises:
        BadRequestError: it is no weight.
    """
    if (match := _GRAMS.fullmatch(text.strip())) is None:
        raise BadRequestError(f"{quoted(text)} is not a weight.", "Give one such as 150 g or 5 oz.")
    factor = _GRAMS_IN.get(match[2][:1].casefold(), 1.0)
    return round(float(match[1].replace(",", ".")) * factor, 3)


def _new_bag(deed: Deed, name: str) -> Piece:
    (piece,) = add_pieces(deed, add_fabric(deed, name), kind=PieceKind.SCRAPS, count=0)
    return piece


def _bag(session: Session, code: str) -> Piece:
    piece = piece_by_code(session, code)
    if piece.kind is not PieceKind.SCRAPS or piece.ended_how is not None:
        raise BadRequestError(
            f"{piece.code} is no bag of scraps on the shelf.",
            "Give the code of a bag, or begin one with --new.",
            on_page="Choose a bag, or name a new one.",
        )
    return piece


def _keep(deed: Deed, piece: Piece, bag: Bag, at: str | None) -> None:
    count = sum(bag.strips.values()) + sum(bag.squares.values())
    change_piece(
        deed, piece, scraps=bag_to_plain(bag), count=count, weight_grams=bag.crumbs or None
    )
    if at is not None:
        change_piece(deed, piece, place=place_at(deed, at) if at.strip() else None)


def _view(stash: Stash, row: PieceRow) -> BagView:
    bag = bag_of(row) or Bag()
    strips = [Scraps(ScrapKind.STRIP, side, count) for side, count in bag.strips.items()]
    squares = [Scraps(ScrapKind.SQUARE, side, count) for side, count in bag.squares.items()]
    return BagView(
        row.code,
        row.name,
        row.place,
        tuple(sorted(strips, key=_side) + sorted(squares, key=_side)),
        bag.crumbs,
        bag.strip_length,
        stash.measure,
    )


def _side(one: Scraps) -> Length:
    return one.side
