"""What a person types about a piece, read into what the catalogue keeps."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from stashkeeper.catalogue.fabrics import FabricChanges
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.names import separate_tags
from stashkeeper.catalogue.pieces import PieceDetails
from stashkeeper.catalogue.places import place_at
from stashkeeper.catalogue.tables import Fabric
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import BadLightnessError, BadRequestError, BadSizeError, quoted
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_length, parse_piece_size
from stashkeeper.lengths.size import TypedSize
from stashkeeper.luminance.readings import reflectance_reading, typed_reading

_COST = r"[^\d.,−–-]{0,3}(\d{1,7})(?:[.,](\d{1,2}))?[^\d.,−–-]{0,3}"
"""Whole and hundredths, with the sign or word of some money on either side; never below zero."""

_WORDS_OF_A_NAME = 12
"""So many words of a name are looked at for the rest of a size."""

DIRECTIONS = ("along", "across", "both ways", "none")
"""How a print runs, relative to the selvedge."""


@dataclass(frozen=True, slots=True)
class PieceWords:
    """Words typed about a piece and its fabric; None or empty is nothing said.

    Attributes:
        name: of the fabric.
        size: such as `18 x 21` or `fat quarter`.
        about, nominal, measured: how it is known; one of them at most.
        at: the place, outer names first, `/` between; empty text takes it off its place.
        tags, untag: words to add to the fabric's tags, and to take off them.
        cost: such as `12.50`.
        selvedges: how many edges are selvedge, 0 to 2.
    """

    name: str | None = None
    size: str | None = None
    at: str | None = None
    tags: Sequence[str] | None = None
    untag: Sequence[str] | None = None
    about: bool = False
    nominal: bool = False
    measured: bool = False
    squared: bool | None = None
    washed: bool | None = None
    selvedges: int | None = None
    fibre: str | None = None
    source: str | None = None
    cost: str | None = None
    direction: str | None = None
    repeat: str | None = None
    note: str | None = None

    @property
    def about_the_fabric(self) -> bool:
        """Whether anything is said that belongs to the fabric and not to one piece of it."""
        # An empty text is said too: it takes off what was written down.
        said = (self.name, self.fibre, self.source, self.cost, self.direction, self.repeat)
        return bool(self.tags or self.untag) or any(text is not None for text in said)


def piece_details(words: PieceWords, measure: Measure) -> PieceDetails:
    """Return what the words say of the piece itself, its place left out.

    Raises:
        BadSizeError: the size cannot be read.
        BadRequestError: words that do not go together.
    """
    details: PieceDetails = {}
    basis = _basis(words)
    if words.size is not None:
        typed = _typed_size(words.size, words.name or "", measure)
        details["size"] = typed.size
        details["basis"] = basis or typed.basis or Basis.MEASURED
        if typed.selvedges:
            details["selvedges"] = typed.selvedges
    elif basis:
        details["basis"] = basis
    if words.selvedges is not None:
        details["selvedges"] = _selvedges(words.selvedges)
    if words.squared is not None:
        details["squared"] = words.squared
    if words.washed is not None:
        details["washed"] = words.washed
    if words.note is not None:
        details["notes"] = words.note
    return details


def _typed_size(size: str, name: str, measure: Measure) -> TypedSize:
    """Return the size typed; where a command line cut it short, say how to keep it whole."""
    try:
        return parse_piece_size(size, measure)
    except BadSizeError as refused:
        whole = _size_cut_short(size, name.split()[:_WORDS_OF_A_NAME], measure)
        if whole is None:
            raise
        raise BadSizeError(
            refused.problem,
            f'Put quotation marks around a size of several words, as in --size "{whole}".',
            on_page=refused.remedy,
        ) from None


def _size_cut_short(size: str, others: Sequence[str], measure: Measure) -> str | None:
    """Return the longest size that begins with `size` and goes on with words taken for a name."""
    ends = combinations(range(len(others) + 1), 2)
    for start, end in sorted(ends, key=lambda span: span[0] - span[1]):
        whole = " ".join((size, *others[start:end]))
        try:
            parse_piece_size(whole, measure)
        except BadSizeError:
            continue
        return whole
    return None


def _basis(words: PieceWords) -> Basis | None:
    said = [
        basis
        for basis, meant in (
            (Basis.ABOUT, words.about),
            (Basis.NOMINAL, words.nominal),
            (Basis.MEASURED, words.measured),
        )
        if meant
    ]
    if len(said) > 1:
        raise BadRequestError(
            "A size is either a guess or as bought or measured, not two of them.",
            "Give one of --about, --nominal and --measured.",
            on_page="Choose one of them.",
        )
    return said[0] if said else None


def with_place(deed: Deed, words: PieceWords, details: PieceDetails) -> PieceDetails:
    """Return details with the place typed, added where it is new."""
    if words.at is None:
        return details
    return {**details, "place": place_at(deed, words.at) if words.at.strip() else None}


def fabric_changes(
    words: PieceWords, measure: Measure, fabric: Fabric | None = None
) -> FabricChanges:
    """Return what the words say of the fabric; tags are added to those it has.

    Raises:
        BadSizeError, BadRequestError: a repeat, cost or direction cannot be read.
    """
    changes: FabricChanges = {}
    if words.name is not None:
        changes["name"] = words.name
    if words.tags or words.untag:
        changes["tags"] = _tags(words, fabric)
    if words.fibre is not None:
        changes["fibre"] = words.fibre
        changes["flannel"] = "flannel" in words.fibre.casefold()
    if words.source is not None:
        changes["source"] = words.source
    if words.cost is not None:
        changes["cost"] = _cost(words.cost)
    if words.direction is not None:
        changes["print_direction"] = _direction(words.direction)
    if words.repeat is not None:
        typed = words.repeat.strip()
        changes["repeat"] = parse_length(typed, measure) if typed else None
    return changes


def read_lightness(text: str) -> float:
    """Read a lightness L* as typed: 54, 54.3 or 54,3.

    Raises:
        BadLightnessError: it is not a number from 0 to 100.
    """
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        raise BadLightnessError(
            f"{quoted(text)} is not a lightness.", "Give a number from 0 (black) to 100 (white)."
        ) from None
    return typed_reading(number, "").lightness


def read_known(text: str, own_key: str) -> Reading:
    """Read what somebody knows of a fabric: a lightness L*, or a reflectance as "LRV 42".

    Raises:
        BadLightnessError: it is neither, or not from 0 to 100.
    """
    found = re.fullmatch(r"\s*(?:lrv\s*[:=]?\s*(\S+?)|(\S+)\s*lrv)\s*%?\s*", text, re.IGNORECASE)
    if found is None:
        return typed_reading(read_lightness(text), own_key)
    number = (found[1] or found[2]).removesuffix("%").replace(",", ".")
    try:
        return reflectance_reading(float(number), own_key)
    except ValueError:
        raise BadLightnessError(
            f"{quoted(text)} is not a light reflectance value.",
            "Give the LRV from 0 (black) to 100 (white), as in LRV 42.",
        ) from None


def _selvedges(count: int) -> frozenset[Edge]:
    if not 0 <= count <= 2:
        raise BadRequestError(
            f"A piece cannot have {count} selvedges.",
            "A fabric has one on each side: give 0, 1 or 2.",
        )
    return frozenset(list(Edge)[:count])


def _tags(words: PieceWords, fabric: Fabric | None) -> list[str]:
    off = {tag.casefold() for tag in separate_tags(words.untag or ())}
    kept = [tag for tag in (fabric.tags if fabric else ()) if tag.casefold() not in off]
    return [*kept, *(words.tags or ())]


def _cost(text: str) -> int | None:
    if not text.strip():
        return None
    match = re.fullmatch(_COST, text.strip(), re.ASCII)
    if not match:
        raise BadRequestError(f"{quoted(text)} is not a cost.", "Give it as 12.50 or 8.")
    return int(match[1]) * 100 + int((match[2] or "0").ljust(2, "0"))


def _direction(text: str) -> str | None:
    word = " ".join(text.casefold().split()) or "none"
    if word not in DIRECTIONS:
        raise BadRequestError(
            f"{quoted(text)} is no direction of a print.", f"Give {', '.join(DIRECTIONS)}."
        )
    return None if word == "none" else word
