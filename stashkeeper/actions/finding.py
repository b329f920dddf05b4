"""Find: which pieces are big enough, and what to do where none is."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from stashkeeper.actions.cloths import Allowance, bags_of, cloth_of, read_allowance
from stashkeeper.actions.cut_words import TypedCut, cut_size, read_cut, read_cuts, read_set
from stashkeeper.actions.found import Answer, FoundPiece, Miss
from stashkeeper.actions.offered import Hits, Offered
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.cloth_columns import ClothColumns, select_cloth
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.catalogue.pieces import codes_of
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.shelf import PieceRow, rows_of
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.cloth.cut import Cut, check_cuts
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.find_set import find_set
from stashkeeper.cutting.fit import check_wanted, counts, find
from stashkeeper.cutting.near_miss import largest_that_fits, nearest_miss, together
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.errors import BadRequestError, BadSizeError, StashkeeperError
from stashkeeper.lengths.format import RULER_MARK
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands

MOST_WITH_A_SET: Final = 20
"""Pieces that hold a whole set of sizes are looked for until there are so many."""

PORTION: Final = 500
"""So many pieces are made ready for the search of a set at once."""


def find_pieces(
    stash: Stash,
    size: str,
    words: Sequence[str] = (),
    *,
    count: int | None = None,
    allowance: str | None = None,
    directional: bool = False,
    cuts: Sequence[str] = (),
) -> Answer:
    """Find the pieces that hold what is wanted, the smallest first.

    Args:
        stash: the open stash.
        size: of the cut, such as `4 1/2 in square`; or a set in words, such as `three 6½ in
            squares and five 1½ in strips`; empty where `cuts` say all.
        words: search words that narrow the shelf.
        count: how many of it; 1 where None.
        allowance: what is taken off every piece: the usual where None, `0` for nothing at all, or
            a length off each direction.
        directional: whether the length of the cut must run along the selvedge.
        cuts: more cuts of the set, each such as `3 x 6 1/2 in square`.

    Raises:
        BadSizeError, BadCutError, BadSearchError, BadRequestError, NotFoundError: a word cannot be
            read, or does not go with the others.
    """
    try:
        asked = _Asked.read(stash, size, count, directional, cuts)
    except BadSizeError as refused:
        raise _unquoted(refused, stash, size, words) from None
    taken = read_allowance(allowance, stash.settings.allowances, stash.measure)
    search = parse_search(words, stash.measure)
    with stash.reading() as session:
        limits = thresholds(session)
        cloth = select_cloth(session, search, limits)
        kept = reserved(session)
        codes = codes_of(session, kept)
    if asked.single is None:
        bands = Bands(limits.dark_below, limits.light_from)
        answer = _find_set(stash, asked, cloth, taken, bands)
    else:
        answer = _find_one(stash, asked.cuts[0], cloth, taken, explain(search))
    known = {code: kept[piece_id] for piece_id, code in codes.items()}
    return replace(answer, reserved=_reserved(answer, known)) if known else answer


def _reserved(answer: Answer, known: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """Return the projects that reserve a piece found, by its code."""
    pieces = answer.pieces
    among = pieces.those_among(known) if isinstance(pieces, Hits) else pieces
    return {one.code: known[one.code] for one in among if one.code in known}


def _unquoted(refused: BadSizeError, stash: Stash, size: str, words: Sequence[str]) -> BadSizeError:
    """Return what to tell of a bad size: that a command line cut it short, where it did."""
    for end in range(len(words), 0, -1):
        whole = " ".join((size, *words[:end]))
        with suppress(StashkeeperError):
            _Asked.read(stash, whole, None, False, ())
            return BadSizeError(
                refused.problem,
                f'Put quotation marks around a size of several words, as in find "{whole}".',
                on_page=refused.remedy,
            )
    return refused


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was asked for: one cut, or a set of several."""

    cuts: tuple[TypedCut, ...]

    @property
    def single(self) -> TypedCut | None:
        return self.cuts[0] if len(self.cuts) == 1 else None

    @classmethod
    def read(
        cls, stash: Stash, size: str, count: int | None, directional: bool, more: Sequence[str]
    ) -> "_Asked":
        """Read one size, a set in words, or cuts; they are read one way only."""
        measure, strip = stash.measure, stash.settings.allowances.usable_width
        typed = [read_cut(text, measure, strip) for text in more]
        if size.strip():
            try:
                first = [_read_single(size, stash)]
            except BadSizeError:
                first = list(_read_several(size, stash))
            typed = first + typed
        if not typed:
            return cls(read_cuts([], measure, strip))
        if count is not None and (len(typed) > 1 or typed[0].count > 1):
            raise BadRequestError(
                "A count goes with one size, and counts were typed with the sizes.",
                'Say it one way: --count 12, or --cut "12 x 4 1/2 in square".',
                on_page="Say the count once.",
            )
        if count is not None:
            check_wanted(typed[0].size, count)
        return cls(
            tuple(
                TypedCut(
                    one.name or f"{number}",
                    one.size,
                    one.count if count is None else count,
                    one.directional or directional,
                    one.source,
                    one.strip,
                )
                for number, one in enumerate(typed, start=1)
            )
        )


def _read_single(text: str, stash: Stash) -> TypedCut:
    """Read one size without a count: `18 x 21` is a size, never eighteen of something."""
    size, strip = cut_size(text, stash.measure, stash.settings.allowances.usable_width)
    return TypedCut("", size, 1, strip=strip)


def _read_several(text: str, stash: Stash) -> tuple[TypedCut, ...]:
    """Read a set; where that fails too, the first reading tells what is wrong."""
    try:
        return read_set(text, stash.measure, stash.settings.allowances.usable_width)
    except StashkeeperError:
        _read_single(text, stash)
        raise


def _find_one(
    stash: Stash, cut: TypedCut, cloth: ClothColumns, taken: Allowance, searched: str
) -> Answer:
    """Find the pieces that hold one cut so many times."""
    shelf = Offered.of(cloth, taken)
    turning = not cut.directional
    found = find(shelf.numbers, cut.size, cut.count, turning)
    bags = _bags(cloth.bags, cut)
    pieces = shelf.found(found, [bag for bag in bags if bag.holds >= cut.count])
    answer = Answer(
        cut=cut.size,
        count=cut.count,
        cuts=(),
        pieces=pieces,
        together=(),
        nearest=None,
        largest=None,
        _asked=cut.sentence(stash.measure),
        _searched=searched,
        _measure=stash.measure,
    )
    return answer if pieces else answer.with_misses(bags, *_misses(stash, cut, shelf, turning))


def _misses(
    stash: Stash, cut: TypedCut, shelf: Offered, turning: bool
) -> tuple[tuple[FoundPiece, ...], Miss | None, Size | None]:
    """Return what to do instead: several pieces, the nearest miss, the largest size that fits."""
    several = tuple(
        shelf.piece(held.position, held.holds, None)
        for held in together(shelf.numbers, cut.size, cut.count, turning)
    )
    mark = RULER_MARK[stash.measure]
    largest = largest_that_fits(shelf.numbers, cut.size, cut.count, mark, turning)
    return several, _nearest(cut, shelf, turning), largest


def _nearest(cut: TypedCut, shelf: Offered, turning: bool) -> Miss | None:
    """Return the piece that comes nearest: it holds most, or lacks least of one cut."""
    near = nearest_miss(shelf.numbers, cut.size, turning)
    if near is not None:
        return _miss(shelf, near.position, near.holds, None)
    lacking = shelf.lacking(cut.size, turning)
    return None if lacking is None else _miss(shelf, lacking[0], 0, lacking[1])


def _miss(shelf: Offered, position: int, holds: int, short: Length | None) -> Miss:
    near = shelf.piece(position, holds, None)
    return Miss(near.code, near.name, near.place, near.usable, near.certain, holds, short)


def _bags(rows: Sequence[PieceRow], cut: TypedCut) -> list[FoundPiece]:
    """Return every bag that holds one at least, with how many all its scraps give together."""
    found = []
    for row, bag in bags_of(rows):
        offers = [
            (cloth, number)
            for cloth, number in bag.cloths(row.code, str(row.fabric_id))
            if not cut.directional
        ]
        if not offers:
            continue
        held = counts(Shelf.of([cloth for cloth, _ in offers]), cut.size).tolist()
        total = sum(each * number for each, (_, number) in zip(held, offers, strict=True))
        if total:
            largest = max((cloth.size for cloth, _ in offers), key=lambda size: size.area)
            found.append(FoundPiece.of(row, largest, total, None, certain=False, bag=True))
    return found


def _find_set(
    stash: Stash, asked: _Asked, cloth: ClothColumns, taken: Allowance, bands: Bands
) -> Answer:
    """Find the pieces that alone give a whole set of cuts."""
    cuts = [Cut(one.name, one.size, one.count, one.directional) for one in asked.cuts]
    check_cuts(cuts)
    for cut in cuts:
        check_wanted(cut.size, cut.count)
    pieces = tuple(_holding(stash, Offered.of(cloth, taken), cuts, taken, bands))
    told = " and ".join(one.sentence(stash.measure) for one in asked.cuts)
    return Answer(
        cut=None,
        count=1,
        cuts=asked.cuts,
        pieces=pieces,
        together=(),
        nearest=None,
        largest=None,
        _asked=told,
        _searched="",
        _measure=stash.measure,
    )


def _holding(
    stash: Stash, offered: Offered, cuts: Sequence[Cut], taken: Allowance, bands: Bands
) -> Iterator[FoundPiece]:
    """Yield pieces that hold a whole set, the smallest first, and no more than are shown.

    The pieces are looked at in portions: the smallest that have room for each size come first,
    and mostly they are enough.
    """
    numbers = offered.numbers
    areas = numbers.widths * numbers.lengths
    wanted_area = sum(cut.size.area * cut.count for cut in cuts)
    roomy = areas >= min(wanted_area, np.iinfo(np.int64).max)
    for cut in cuts:
        roomy &= counts(numbers, cut.size, turning=not cut.directional) >= cut.count
    places = np.flatnonzero(roomy)
    order = places[np.argsort(areas[places], kind="stable")].tolist()
    wanted = MOST_WITH_A_SET
    with closing(Engine()) as engine:
        for start in range(0, len(order), PORTION):
            codes = [offered.cloth.codes[at] for at in order[start : start + PORTION]]
            with stash.reading() as session:
                rows = rows_of(session, codes)
            made = ((rows[code], cloth_of(rows[code], taken, bands)) for code in codes)
            cloths = [(row, cloth) for row, cloth in made if cloth is not None]
            for held in find_set([one for _, one in cloths], cuts, most=wanted, engine=engine):
                wanted -= 1
                row, cloth = cloths[held.position]
                left = held.largest_left if held.largest_left.area else None
                yield FoundPiece.of(row, cloth.size, 1, left, cloth.certain)
            if not wanted:
                return
