"""The shelf as a choice needs it: what each piece gives, and the cutting room's word for it."""

import uuid
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import TracebackType
from typing import Self

from sqlmodel import Session

from stashkeeper.actions.cloths import cloth_of
from stashkeeper.actions.offered import Offered
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import PieceKind
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.plans import spoken_for
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import Thresholds, thresholds
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
        offered: their rows and usable sizes, in the same order.
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

    def rows(self) -> dict[str, PieceRow]:
        """Return the row of every candidate by its code."""
        return {row.code: row for row in self.offered.rows}


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
    rows = _rows(session, search, limits, keep)
    readings = readings_of(session, {row.fabric_id for row in rows})
    taken, elsewhere = spoken_for(session), _elsewhere(session, rows, project)
    wanted = [
        row
        for row in rows
        if row.fabric_id in readings
        and row.piece_id not in taken
        and not (free and row.code in elsewhere and row.code not in keep)
    ]
    offered = _usable(Offered.of(wanted, stash.settings.allowances))
    _must_serve(keep, rows, {row.code for row in offered.rows}, set(readings))
    return ChoosingShelf(
        tuple(_candidates(offered, readings)),
        offered,
        elsewhere,
        tuple(row.code for row in rows if row.fabric_id not in readings),
        tuple(row.code for row in rows if row.kind is PieceKind.SCRAPS),
        {row.code: taken[row.piece_id] for row in rows if row.piece_id in taken},
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
        rows, allowances = self.shelf.rows(), self.stash.settings.allowances
        offered = (cloth_of(rows[code], allowances, self.shelf.bands) for code in codes)
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


def _rows(
    session: Session, search: Search, limits: Thresholds, keep: Sequence[str]
) -> list[PieceRow]:
    """Return what a search finds, and what is kept besides."""
    rows = select_pieces(session, search, limits)
    if keep:
        pieces_by_codes(session, keep)
        there = {row.code for row in rows}
        kept = select_pieces(session, Search((Term("code", tuple(keep)),)), limits)
        rows += [row for row in kept if row.code not in there]
    return rows


def _candidates(offered: Offered, readings: Mapping[uuid.UUID, Reading]) -> Iterator[Candidate]:
    areas = (offered.numbers.widths * offered.numbers.lengths).tolist()
    families: dict[uuid.UUID, str | None] = {}
    for row, area in zip(offered.rows, areas, strict=True):
        key, reading = row.fabric_id, readings[row.fabric_id]
        if key not in families:
            family = family_of(reading)
            families[key] = family and str(family)
        yield Candidate(row.code, str(key), reading, area, families[key])


def _must_serve(
    keep: Sequence[str], rows: Sequence[PieceRow], there: Collection[str], read: Collection[object]
) -> None:
    """Refuse a kept piece that cannot be chosen."""
    found = {row.code: row for row in rows}
    for code in keep:
        row = found.get(code)
        if code in there:
            continue
        if row is None:
            why, remedy = "is off the shelf", "Keep another piece, or none."
        elif row.kind is PieceKind.SCRAPS:
            why, remedy = "is a bag of scraps", "Keep a piece with a size of its own."
        elif row.fabric_id not in read:
            why, remedy = "has no known lightness yet", "Photograph it, or type its lightness."
        else:
            why, remedy = "is needed by a plan already begun, or too small", "Keep another piece."
        raise BadRequestError(f"{code} cannot be kept, for it {why}.", remedy)


def _usable(offered: Offered) -> Offered:
    """Return what is offered without the pieces of which nothing is left."""
    numbers = offered.numbers
    large = ((numbers.widths > 0) & (numbers.lengths > 0)).nonzero()[0]
    if len(large) == len(offered.rows):
        return offered
    places = large.tolist()
    return Offered(
        [offered.rows[at] for at in places],
        numbers.take(large),
        [offered.certain[at] for at in places],
    )


def _elsewhere(
    session: Session, rows: Sequence[PieceRow], project: str
) -> dict[str, tuple[str, ...]]:
    found = {}
    taken = reserved(session)
    for row in rows if taken else ():
        others = tuple(name for name in taken.get(row.piece_id, ()) if name != project)
        if others:
            found[row.code] = others
    return found
