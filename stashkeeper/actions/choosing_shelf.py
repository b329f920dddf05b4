"""The shelf as a choice needs it: what each piece gives, and the cutting room's word for it."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import TracebackType
from typing import Self

import numpy as np
from sqlmodel import Session

from stashkeeper.actions.cloths import cloth_of
from stashkeeper.actions.offered import Offered
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.bulk import many_objects
from stashkeeper.catalogue.cloth_columns import ClothColumns, select_cloth
from stashkeeper.catalogue.codes import order_of
from stashkeeper.catalogue.columns import PieceKind
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.pieces import codes_of, pieces_by_codes
from stashkeeper.catalogue.plans import spoken_for
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.readings import readings_by_key
from stashkeeper.catalogue.shelf import PieceRow, rows_of
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.shelf import Candidate, Gives
from stashkeeper.cloth.cut import Cut
from stashkeeper.cloth.reading import Reading
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.planner import Progress, attempt_cuts
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands

SECONDS = 0.5
"""So long a plan is looked for to prove what a role takes (ours)."""


@dataclass(frozen=True, slots=True)
class ChoosingShelf:
    """The pieces to choose from.

    Attributes:
        candidates: those with a lightness and something usable.
        offered: their columns and usable sizes, in the same order.
        elsewhere: for each code, the projects under way that reserve the piece.
        unmeasured: codes of pieces without a lightness.
        bags: codes of bags of scraps, from which nothing is chosen.
        spoken: pieces a plan already begun needs, with its number.
    """

    candidates: tuple[Candidate, ...]
    offered: Offered
    elsewhere: dict[str, tuple[str, ...]]
    unmeasured: tuple[str, ...]
    bags: tuple[str, ...]
    spoken: dict[str, int]
    bands: Bands

    def gives(self, needs: Sequence[Need]) -> Gives:
        """Return how many cuts of every size in the needs each candidate gives."""
        sizes = {cut.key for need in needs for cut in need.cuts}
        return {
            size: counts(self.offered.numbers, size).tolist()
            for size in sizes
            if isinstance(size, Size)
        }

    def names(self) -> dict[str, str]:
        """Return the name of the fabric of every candidate by its code."""
        cloth = self.offered.cloth
        return dict(zip(cloth.codes, cloth.names, strict=True))


def choosing_shelf(
    stash: Stash,
    session: Session,
    search: Search,
    project: str = "",
    free: bool = False,
    keep: Sequence[str] = (),
) -> ChoosingShelf:
    """Return the pieces to choose from.

    Args:
        stash: the open stash.
        session: to read in.
        search: narrows the shelf.
        project: the project it is for; what others reserve is told, or left out where `free`.
        free: whether to leave out what other projects reserve.
        keep: codes of pieces that are in it whatever the search says.

    Raises:
        NotFoundError: a kept code is unknown, or the search names a place that is not there.
        BadRequestError: nothing can be chosen from a kept piece; it says why.
    """
    limits = thresholds(session)
    kept = [piece.code for piece in pieces_by_codes(session, keep)]
    cloth = select_cloth(session, search, limits, kept)
    fabrics = cloth.fabrics()
    readings = readings_by_key(session, {*fabrics, *(str(row.fabric_id) for row in cloth.bags)})
    taken, elsewhere = _taken(session), _elsewhere(session, project)
    gone = {*taken, *(elsewhere.keys() - set(kept) if free else ())}
    wanted = [
        at
        for at, (code, fabric) in enumerate(zip(cloth.codes, fabrics, strict=True))
        if fabric in readings and code not in gone
    ]
    offered = _usable(Offered.of(cloth, stash.settings.allowances), wanted)
    _must_serve(keep, rows_of(session, kept), cloth, offered, readings)
    return ChoosingShelf(
        _candidates(offered, readings),
        offered,
        elsewhere,
        _unmeasured(cloth, fabrics, readings),
        tuple(row.code for row in cloth.bags if row.kind is PieceKind.SCRAPS),
        {code: taken[code] for code in _codes(cloth) if code in taken},
        Bands(limits.dark_below, limits.light_from),
    )


@dataclass(slots=True)
class CuttingRoom:
    """Proves by cutting plans that pieces give all that a role takes; a context manager.

    Attributes:
        used: for every need and its pieces that were proven, the pieces its plan opens.
    """

    stash: Stash
    shelf: ChoosingShelf
    used: dict[tuple[str, tuple[str, ...]], frozenset[str]] = field(default_factory=dict)
    _engine: Engine | None = None
    _found: list[Progress] = field(default_factory=list)
    _rows: dict[str, PieceRow] = field(default_factory=dict)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._engine is not None:
            self._engine.close()

    def prove(self, need: Need, codes: tuple[str, ...]) -> bool:
        """Tell whether a plan takes everything a need asks for out of these pieces."""
        cuts = [
            Cut(f"cut {number}", cut.key, cut.count)
            for number, cut in enumerate(need.cuts)
            if isinstance(cut.key, Size)
        ]
        allowances = self.stash.settings.allowances
        offered = (cloth_of(row, allowances, self.shelf.bands) for row in self._rows_of(codes))
        cloths = [cloth for cloth in offered if cloth is not None]
        if sum(cloth.size.area for cloth in cloths) < sum(
            one.size.area * one.count for one in cuts
        ):
            return False
        self._found.clear()
        if self._engine is None:
            self._engine = Engine(self._done)
        attempt = attempt_cuts(
            cloths, cuts, seconds=SECONDS, stop=self._done, progress=self._found.append,
            engine=self._engine,
        )  # fmt: skip
        if attempt.plans is None:
            return False
        opened = frozenset(piece.cloth.code for piece in attempt.plans.scraps_first.pieces)
        self.used[need.name, codes] = opened
        return True

    def _rows_of(self, codes: Collection[str]) -> list[PieceRow]:
        """Return the rows of pieces; each is fetched once."""
        missing = [code for code in codes if code not in self._rows]
        if missing:
            with self.stash.reading() as session:
                self._rows |= rows_of(session, missing)
        return [self._rows[code] for code in codes]

    def _done(self) -> bool:
        """Tell whether a plan is found: the first is proof enough."""
        return bool(self._found)

    def needed(self, need: str, codes: Collection[str]) -> tuple[str, ...]:
        """Return those pieces of one fabric that are needed, if a plan has told; else all."""
        for (name, among), opened in reversed(self.used.items()):
            if name == need and set(codes) <= set(among):
                kept = tuple(code for code in codes if code in opened)
                return kept or tuple(codes)[:1]
        return tuple(codes)


def _taken(session: Session) -> dict[str, int]:
    """Return the codes of the pieces that plans already begun need, with the plan's number."""
    taken = spoken_for(session)
    return {code: taken[piece_id] for piece_id, code in codes_of(session, taken).items()}


def _codes(cloth: ClothColumns) -> Iterator[str]:
    """Yield the code of every piece and bag that a search found."""
    yield from cloth.codes
    yield from (row.code for row in cloth.bags)


def _unmeasured(
    cloth: ClothColumns, fabrics: Sequence[str], readings: Collection[str]
) -> tuple[str, ...]:
    """Return the codes of pieces and bags without a lightness."""
    pieces = [
        code for code, fabric in zip(cloth.codes, fabrics, strict=True) if fabric not in readings
    ]
    bags = [row.code for row in cloth.bags if str(row.fabric_id) not in readings]
    return tuple(sorted((*pieces, *bags), key=order_of)) if bags else tuple(pieces)


def _candidates(offered: Offered, readings: Mapping[str, Reading]) -> tuple[Candidate, ...]:
    areas = (offered.numbers.widths * offered.numbers.lengths).tolist()
    codes, keys = offered.cloth.codes, offered.cloth.fabrics()
    with many_objects():
        families = {key: _family(readings[key]) for key in dict.fromkeys(keys)}
        return tuple(
            [
                Candidate(code, key, readings[key], area, families[key])
                for code, key, area in zip(codes, keys, areas, strict=True)
            ]
        )


def _family(reading: Reading) -> str | None:
    family = family_of(reading)
    return family and str(family)


def _must_serve(
    keep: Sequence[str],
    kept: Mapping[str, PieceRow],
    cloth: ClothColumns,
    offered: Offered,
    read: Collection[str],
) -> None:
    """Refuse a kept piece that cannot be chosen."""
    if not keep:
        return
    found, there = set(_codes(cloth)), set(offered.cloth.codes)
    for code in keep:
        row = kept.get(code) if code in found else None
        if code in there:
            continue
        if row is None:
            why, remedy = "is off the shelf", "Keep another piece, or none."
        elif row.kind is PieceKind.SCRAPS:
            why, remedy = "is a bag of scraps", "Keep a piece with a size of its own."
        elif str(row.fabric_id) not in read:
            why, remedy = "has no known lightness yet", "Photograph it, or type its lightness."
        else:
            why, remedy = "is needed by a plan already begun, or too small", "Keep another piece."
        raise BadRequestError(f"{code} cannot be kept, for it {why}.", remedy)


def _usable(offered: Offered, wanted: Sequence[int]) -> Offered:
    """Return what the pieces at these positions offer, those of which nothing is left aside."""
    numbers = offered.numbers
    large = (numbers.widths > 0) & (numbers.lengths > 0)
    places = np.array(wanted, dtype=np.int64)
    places = places[large[places]]
    return offered if len(places) == len(offered.cloth) else offered.take(places)


def _elsewhere(session: Session, project: str) -> dict[str, tuple[str, ...]]:
    """Return the other projects under way that reserve a piece, by its code."""
    taken = reserved(session)
    found = {}
    for piece_id, code in codes_of(session, taken).items():
        others = tuple(name for name in taken[piece_id] if name != project)
        if others:
            found[code] = others
    return found
