"""Value: lightness typed, the shared bands, sort, contrast."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from stashkeeper.actions.piece_view import bands_of, titled
from stashkeeper.actions.piece_words import read_known
from stashkeeper.actions.pieces import Done, show
from stashkeeper.actions.ranking import Ranking, rank
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.codes import normalise_code
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.filters import Search, parse_search
from stashkeeper.catalogue.pieces import piece_by_code, pieces_by_codes
from stashkeeper.catalogue.readings import add_reading, readings_of
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import Thresholds, set_thresholds, thresholds
from stashkeeper.cloth.reading import Method
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError
from stashkeeper.luminance.ranking import (
    Bands,
    split_boundaries,
    split_three,
    value_by_bands,
)


@dataclass(frozen=True, slots=True)
class BandsView:
    """The limits of light, medium and dark, in L*."""

    dark_below: float
    light_from: float

    @property
    def sentences(self) -> tuple[str, ...]:
        """The limits in a sentence."""
        ends = f"Dark is below {self.dark_below:g}, light from {self.light_from:g}"
        return (f"{ends}, medium what lies between (L*, 0 to 100).",)


def lightness(stash: Stash, code: str, typed: str | None, *, lrv: str | None = None) -> Done:
    """Put a typed lightness on record for a piece's fabric; it is taken as it is.

    Args:
        stash: the open stash.
        code: of the piece.
        typed: L*, or a light reflectance value as "LRV 42".
        lrv: that value by itself, in percent, in place of a lightness.

    Raises:
        BadLightnessError: it is not a number from 0 to 100.
        BadRequestError: there is neither, or both.
        NotFoundError: no piece has the code.
    """
    if (typed is None) is (lrv is None):
        raise BadRequestError(
            "Give either a lightness or a light reflectance value.",
            f"As in `lightness {code} 54` or `lightness {code} --lrv 22`.",
        )
    known = typed if typed is not None else f"LRV {lrv}"
    with stash.deed("lightness") as deed:
        piece = piece_by_code(deed.session, code)
        fabric = fabric_by_id(deed.session, piece.fabric_id)
        reading = read_known(known, f"typed:{fabric.id}")
        add_reading(deed, fabric, reading)
        rounded = f"{reading.lightness:g}"
        if reading.method is Method.REFLECTANCE:
            rounded = f"{reading.lightness:.1f}, by its light reflectance value"
        deed.summary = sentence = f"{titled(piece.code, fabric.name)} has lightness {rounded}."
    return Done(show(stash, code), (sentence,))


def bands(
    stash: Stash, *, dark_below: float | None = None, light_from: float | None = None
) -> BandsView:
    """Return the limits everyone sharing the stash uses; set those given first.

    Raises:
        BadSettingError: they do not part 0 to 100 in three.
    """
    with stash.reading() as session:
        limits = thresholds(session)
    if dark_below is not None or light_from is not None:
        limits = Thresholds(
            limits.dark_below if dark_below is None else dark_below,
            limits.light_from if light_from is None else light_from,
        )
        with stash.deed("bands") as deed:
            set_thresholds(deed, limits)
            deed.summary = f"Dark is below {limits.dark_below:g}, light from {limits.light_from:g}."
    return BandsView(limits.dark_below, limits.light_from)


def sort(stash: Stash, words: Sequence[str], *, by: str = "bands") -> Ranking:
    """Rank the pieces that answer to search words: by fixed bands, or by their own best split.

    Raises:
        BadSearchError, BadSizeError, NotFoundError: a word cannot be read or names no place.
    """
    search = parse_search(words, stash.measure)
    with stash.reading() as session:
        limits = thresholds(session)
        rows = select_pieces(session, search, limits)
        shelf = select_pieces(session, Search(), limits) if search.terms else rows
        readings = readings_of(session, {row.fabric_id for row in (*rows, *shelf)})
        shared = bands_of(session)
    measured = [row for row in rows if row.fabric_id in readings]
    numbers = [readings[row.fabric_id].lightness for row in measured]
    values, boundaries = _grouped(numbers, shared, by)
    groups = {row.piece_id: value for row, value in zip(measured, values, strict=True)}
    return rank(rows, readings, groups, boundaries, shelf)


def contrast(
    stash: Stash,
    groups: Sequence[str],
    *,
    light: Sequence[str] = (),
    medium: Sequence[str] = (),
    dark: Sequence[str] = (),
) -> Ranking:
    """Judge three groups of a person's own choice.

    Args:
        stash: the open stash.
        groups: light, medium and dark in this order, each codes (`A1,A2`) or search words.
        light: more for the light group, in the same form.
        medium: the same for the medium one.
        dark: the same for the dark one.

    Raises:
        BadRequestError: no group at all, more than three, or a piece in two of them.
        BadSearchError, BadSizeError, NotFoundError: words that cannot be read, unknown codes.
    """
    wanted = _wanted(groups, {Value.LIGHT: light, Value.MEDIUM: medium, Value.DARK: dark})
    with stash.reading() as session:
        chosen = {value: members(stash, session, texts) for value, texts in wanted.items()}
        _refuse_twice(chosen)
        rows = [row for value in Value for row in chosen[value]]
        shelf = select_pieces(session, Search(), thresholds(session))
        readings = readings_of(session, {row.fabric_id for row in (*rows, *shelf)})
    roles = {row.piece_id: value for value in Value for row in chosen[value]}
    measured = [row for row in rows if row.fabric_id in readings]
    numbers = [readings[row.fabric_id].lightness for row in measured]
    boundaries = split_boundaries(numbers, [roles[row.piece_id] for row in measured])
    return rank(rows, readings, roles, boundaries, shelf)


def _wanted(groups: Sequence[str], more: Mapping[Value, Sequence[str]]) -> dict[Value, list[str]]:
    """Return what was typed for each group; a group typed empty is empty."""
    if len(groups) > len(Value):
        raise BadRequestError(
            f"{len(groups)} groups were given; there are three: light, medium, dark.",
            'Put quotes around each group, or commas between its codes: A1,A2 "B1 B2" C1.',
        )
    by_place = [*groups, "", "", ""]
    wanted = {
        value: [text for text in (typed, *more[value]) if text.strip()]
        for value, typed in zip(Value, by_place, strict=False)
    }
    if not any(wanted.values()):
        raise BadRequestError(
            "No group was given.", 'Give three: stashkeeper contrast A1,A2 "B1 B2" tag:navy'
        )
    return wanted


def _grouped(
    numbers: Sequence[float], shared: Bands, by: str
) -> tuple[list[Value], tuple[float, ...]]:
    """Return the value of each lightness, and where the groups meet."""
    if by == "split":
        values = split_three(numbers) if numbers else []
        return values, split_boundaries(numbers, values)
    if by != "bands":
        raise BadRequestError(f"“{by}” is no way to make groups.", "Give bands or split.")
    return [value_by_bands(number, shared) for number in numbers], shared.boundaries


def members(stash: Stash, session: Session, texts: Sequence[str]) -> list[PieceRow]:
    """Return the pieces that texts name: codes, or search words.

    Raises:
        BadSearchError, BadSizeError, NotFoundError: words that cannot be read, unknown codes.
    """
    found: dict[str, PieceRow] = {}
    for text in texts:
        codes = [normalise_code(part) for part in re.split(r"[,;\s]+", text) if part]
        if codes and all(re.fullmatch(r"[A-Z]{1,3}[0-9]{1,2}", code) for code in codes):
            pieces_by_codes(session, codes)
            search = parse_search(f"code:{','.join(codes)} ended:any", stash.measure)
        else:
            search = parse_search(text, stash.measure)
        for row in select_pieces(session, search, thresholds(session)):
            found.setdefault(row.code, row)
    return list(found.values())


def _refuse_twice(chosen: Mapping[Value, Sequence[PieceRow]]) -> None:
    seen: dict[str, Value] = {}
    for value, rows in chosen.items():
        for row in rows:
            if row.code in seen:
                raise BadRequestError(
                    f"{row.code} is in two groups, {seen[row.code]} and {value}.",
                    "A piece plays one value at a time: take it out of one of them.",
                )
            seen[row.code] = value
