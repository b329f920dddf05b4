"""Adding pieces: of a new fabric or of one on record, one by one or one for each photo."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.actions.measuring import (
    MeasuredPhoto,
    measure_photos,
    put_on_record,
    refuse_known,
)
from stashkeeper.actions.piece_view import PieceView, piece_view, titled
from stashkeeper.actions.piece_words import (
    PieceWords,
    fabric_changes,
    piece_details,
    read_known,
    with_place,
)
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.fabrics import FabricChanges, add_fabric, fabric_by_id
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.pieces import PieceDetails, add_pieces, piece_by_code
from stashkeeper.catalogue.readings import add_reading
from stashkeeper.catalogue.tables import Fabric, Piece
from stashkeeper.errors import BadRequestError, NotFoundError
from stashkeeper.luminance.naming import propose_name


@dataclass(frozen=True, slots=True)
class Added:
    """What was added: the first piece of each fabric as it is now, and what to tell."""

    pieces: tuple[PieceView, ...]
    sentences: tuple[str, ...]

    @property
    def piece(self) -> PieceView:
        """The first of them."""
        return self.pieces[0]


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is to be added for each group of photos."""

    words: PieceWords
    details: PieceDetails
    changes: FabricChanges
    count: int
    fabric: str | None
    lightness: str | None


@dataclass(frozen=True, slots=True)
class _Group:
    """The pieces that were added of one fabric."""

    pieces: Sequence[Piece]
    fabric: Fabric

    @property
    def sentence(self) -> str:
        first, last = self.pieces[0], self.pieces[-1]
        codes = first.code if len(self.pieces) == 1 else f"{first.code} to {last.code}"
        return f"Added {titled(codes, self.fabric.name)}."


def add(
    stash: Stash,
    words: PieceWords,
    *,
    photos: Sequence[Path] = (),
    each: bool = False,
    crop: str | None = None,
    count: int = 1,
    fabric: str | None = None,
    lightness: str | None = None,
) -> Added:
    """Add a piece, or `count` pieces alike, of a new fabric or of that of the piece `fabric`.

    Photos are measured first; then all of it is one deed. They all show the one fabric, unless
    `each` of them shows another: then as many are added as there are photos.

    Raises:
        StashkeeperError: a word cannot be read, a photo is bad or on record already, the piece
            named is unknown, or the stash cannot be written; then nothing was added.
    """
    _must_go_together(words, photos, crop)
    if lightness is not None:
        read_known(lightness, "")  # what cannot be read is told before any photo is opened
    wanted = _Wanted(
        words,
        piece_details(words, stash.measure),
        fabric_changes(words, stash.measure),
        count,
        fabric,
        lightness,
    )
    measured = measure_photos(photos, crop)
    shown = [[one] for one in measured] if each and measured else [measured]
    with stash.deed("add") as deed:
        refuse_known(deed, measured)
        groups = [_add_group(stash, deed, wanted, group) for group in shown]
        deed.summary = _summary(groups)
    return _shown(stash, groups)


def _shown(stash: Stash, groups: Sequence[_Group]) -> Added:
    """Return what was added, as it stands now."""
    with stash.reading() as session:
        pieces = [
            piece_view(stash, session, piece_by_code(session, group.pieces[0].code))
            for group in groups
        ]
    sentences = [
        sentence
        for group, piece in zip(groups, pieces, strict=True)
        for sentence in (group.sentence, *_told(piece))
    ]
    sentences.insert(1, f"Size {pieces[0].shown_size}; usable: {pieces[0].shown_usable}.")
    return Added(tuple(pieces), tuple(sentences))


def _must_go_together(words: PieceWords, photos: Sequence[Path], crop: str | None) -> None:
    if not words.size or not words.size.strip():
        raise BadRequestError(
            "A piece needs a size.",
            'Give one, as in --size "18 x 21" or --size "fat quarter".',
            on_page="Choose one, or type it: 18 x 21.",
        )
    if crop is not None and not photos:
        raise BadRequestError(
            "A crop is part of a photo, and none was given.",
            "Add --photo FILE.",
            on_page="Take a photo, or choose one.",
        )


def _add_group(
    stash: Stash, deed: Deed, wanted: _Wanted, photos: Sequence[MeasuredPhoto]
) -> _Group:
    """Add what is wanted of the fabric that some photos show."""
    if wanted.fabric is None:
        changes: FabricChanges = {**wanted.changes}
        changes["name"] = wanted.words.name or _proposed(photos)
        fabric = add_fabric(deed, **changes)
    else:
        fabric = _fabric_of(deed, wanted.fabric, wanted.words)
    details = with_place(deed, wanted.words, wanted.details)
    pieces = add_pieces(deed, fabric, wanted.count, **details)
    put_on_record(stash, deed, photos, fabric)
    if wanted.lightness is not None:
        deed.session.flush()
        add_reading(deed, fabric, read_known(wanted.lightness, f"typed:{fabric.id}"))
    return _Group(pieces, fabric)


def _proposed(measured: Sequence[MeasuredPhoto]) -> str:
    if not measured:
        raise BadRequestError(
            "A fabric without a photo needs a name.",
            "Type one, or add --photo FILE.",
            on_page="Take a photo, or type a name.",
        )
    return propose_name(measured[0].reading)


def _fabric_of(deed: Deed, code: str, words: PieceWords) -> Fabric:
    try:
        piece = piece_by_code(deed.session, code)
    except NotFoundError as unknown:
        raise NotFoundError(
            unknown.problem,
            f"--fabric takes the code of a piece of it. {unknown.remedy}",
            on_page=unknown.on_page,
        ) from None
    if words.about_the_fabric:
        raise BadRequestError(
            f"Name and tags belong to the fabric, and that of {piece.code} is on record already.",
            f"Leave them away here, and use `stashkeeper change {piece.code}` to change them.",
            on_page=f"Leave them away here, and change them where {piece.code} is shown.",
        )
    return fabric_by_id(deed.session, piece.fabric_id)


def _summary(groups: Sequence[_Group]) -> str:
    """Return what the record says of the deed."""
    if len(groups) == 1:
        return groups[0].sentence
    first, last = groups[0].pieces[0], groups[-1].pieces[-1]
    return f"Added {first.code} to {last.code}, from {len(groups)} photos."


def _told(piece: PieceView) -> Iterator[str]:
    """Yield how a piece reads, and what its photo makes less sure."""
    reading = piece.reading
    if reading is None:
        yield "Its lightness is not measured yet: add a photo, or type it."
        return
    yield f"Lightness {reading.sentence}."
    yield from (f"The photo: {one}." for one in doubt_sentences(reading.doubts))
