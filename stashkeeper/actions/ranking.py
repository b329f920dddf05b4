"""The ranking: pieces from light to dark in three groups, with the contrast between them.

One answer for every face: `sort` and `contrast` tell it, the sheet and the page draw it.
"""

import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from stashkeeper.actions.listing import shortened
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.actions.verdict_words import held_words, verdict_words, wrong_way_round
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.choosing.cures import Cure, cures
from stashkeeper.cloth.reading import Doubt, Reading
from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import Contrast, Entry, Verdict, WeakPair, in_one_photo, judge
from stashkeeper.luminance.lineup import MOST
from stashkeeper.luminance.ranking import straddles

MOST_CURES = 3
"""How many ways out are offered at one boundary."""


@dataclass(frozen=True, slots=True)
class RankedPiece:
    """A piece with its place in the ranking.

    Attributes:
        lightness, uncertainty: L* and its 95 % uncertainty.
        flags: "provisional", "straddles", and doubts about its photo.
    """

    code: str
    name: str
    lightness: float
    uncertainty: float
    value: Value
    flags: tuple[str, ...]
    _row: PieceRow = field(repr=False)

    @property
    def row(self) -> PieceRow:
        """Its row of the shelf, with what pictures need."""
        return self._row

    @property
    def provisional(self) -> bool:
        """Whether only an unreferenced photo speaks for it."""
        return "provisional" in self.flags


@dataclass(frozen=True, slots=True)
class GroupView:
    """One group: how many pieces, their codes, and its lightest and darkest L* (None if empty)."""

    count: int
    pieces: tuple[str, ...]
    lightest: float | None
    darkest: float | None


@dataclass(frozen=True, slots=True)
class ContrastView:
    """The judgement on one boundary, with what would cure it, best first."""

    between: tuple[Value, Value]
    gap: float | None
    uncertainty: float | None
    verdict: Verdict
    pairs: tuple[WeakPair, ...]
    cures: tuple[Cure, ...]
    unsure: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ranking:
    """Pieces from light to dark, their groups, and the contrast at the two boundaries.

    Attributes:
        pieces: from light to dark.
        groups: light, medium, dark.
        contrast: light to medium, then medium to dark; always both.
        unmeasured: codes of pieces without a lightness, which take no part.
    """

    pieces: tuple[RankedPiece, ...]
    groups: Mapping[Value, GroupView]
    contrast: tuple[ContrastView, ...]
    unmeasured: tuple[str, ...]
    _names: Mapping[str, str] = field(repr=False)
    _left_out: tuple[PieceRow, ...] = field(repr=False)

    @property
    def unmeasured_rows(self) -> tuple[PieceRow, ...]:
        """The rows of the pieces without a lightness."""
        return self._left_out

    def pair_at(self, between: tuple[Value, Value]) -> tuple[str, str] | None:
        """Return the two pieces that set the gap at a boundary, lighter first; None if empty."""
        lighter, darker = (self.groups[value].pieces for value in between)
        return (lighter[-1], darker[0]) if lighter and darker else None

    @property
    def sentences(self) -> tuple[str, ...]:
        """The whole ranking in words, a line each."""
        return tuple(self._lines())

    @property
    def advice(self) -> tuple[str, ...]:
        """Every boundary's verdict, its weak pairs and its cures, in sentences."""
        return tuple(line for one in self.contrast for line in self.judged(one))

    def judged(self, contrast: ContrastView) -> tuple[str, ...]:
        """One boundary's verdict, then its weak pairs and its cures, in sentences."""
        return tuple(self._judged(contrast))

    @property
    def remarks(self) -> tuple[str, ...]:
        """What the marks mean that pieces of it bear, and which pieces take no part."""
        return tuple(self._remarks())

    def name_of(self, code: str) -> str:
        """Return code and name as they stand in a sentence."""
        return f"{code} “{shortened(self._names.get(code, ''))}”"

    def _lines(self) -> Iterator[str]:
        if not self.pieces:
            yield "No piece with a known lightness answers, so there is nothing to rank."
            yield "Add a photo of a piece, or leave a search word away."
            yield from self._remarks()
            return
        for value in Value:
            group = self.groups[value]
            yield f"{value.upper()}  {_count(group.count)}{_reach(group)}"
            for piece in self.pieces:
                if piece.value is value:
                    yield _line(piece)
            yield " "
        yield from self.advice
        yield from self._remarks()

    def _judged(self, contrast: ContrastView) -> Iterator[str]:
        lighter, darker = contrast.between
        between = f"{lighter.capitalize()} to {darker}"
        if contrast.gap is None:
            yield f"{between}: no pieces to compare."
            return
        gap = f"gap {contrast.gap:.1f} ±{contrast.uncertainty:.0f}"
        words = verdict_words(contrast.verdict, contrast.gap, contrast.uncertainty or 0.0)
        if wrong_way_round(self.groups[lighter].lightest, self.groups[darker].darkest):
            words = f": the {lighter} group is the darker of the two, from end to end"
        yield f"{between}: {gap}, {contrast.verdict}{words}."
        yield from self._one_photo_more(contrast)
        yield from (self.told_pair(pair) for pair in contrast.pairs[:MOST_CURES])
        if len(contrast.pairs) > MOST_CURES:
            yield f"    … and {len(contrast.pairs) - MOST_CURES} more pairs as close."
        if contrast.verdict in {Verdict.WEAK, Verdict.CANNOT_TELL}:
            yield from (self.told_cure(cure) for cure in contrast.cures)

    def _one_photo_more(self, contrast: ContrastView) -> Iterator[str]:
        """Yield what one photo more would settle: only where it would."""
        if contrast.gap is None or contrast.uncertainty is None:
            return
        then = in_one_photo(contrast.gap, contrast.uncertainty)
        if then is not None and 2 <= len(contrast.unsure) <= MOST:
            *most, last = map(self.name_of, contrast.unsure)
            names = f"{', '.join(most)} and {last}"
            yield (
                f"    → One line-up photo of {names} side by side should tell: "
                f"in one photo ±{then:.0f} instead of ±{contrast.uncertainty:.0f}."
            )

    def told_pair(self, pair: WeakPair) -> str:
        """Return how near two pieces of neighbouring groups come, in a sentence."""
        names = f"{self.name_of(pair.lighter)} and {self.name_of(pair.darker)}"
        apart = f"overlap by {-pair.gap:.1f}" if pair.gap < 0 else f"are {pair.gap:.1f} apart"
        return f"    {names} {apart}{held_words(pair)}."

    def told_cure(self, cure: Cure) -> str:
        """Return what would widen a gap, and what it becomes, in a sentence."""
        out = " and ".join(self.name_of(code) for code in cure.leave_out[:2])
        if len(cure.leave_out) > 2:
            out += f" and {len(cure.leave_out) - 2} more of it"
        deed = (
            f"Take {self.name_of(cure.instead)} instead of {out}"
            if cure.instead
            else (f"Leave {out} out")
        )
        return (
            f"    → {deed}: the gap becomes {cure.gap:.1f} ±{cure.uncertainty:.0f}, {cure.verdict}."
        )

    def _remarks(self) -> Iterator[str]:
        if any(piece.provisional for piece in self.pieces):
            yield (
                "~ is provisional: a photo with nothing of known lightness in it is good to ±25; "
                "inside one photo differences are good to ±9."
            )
        if any("straddles" in piece.flags for piece in self.pieces):
            yield "“straddles” marks a busy print that is light and dark enough for two groups."
        if self.unmeasured:
            codes = ", ".join(self.unmeasured[:12]) + (" …" if len(self.unmeasured) > 12 else "")
            yield f"Not measured yet, so left out ({len(self.unmeasured)}): {codes}."


def rank(
    rows: Sequence[PieceRow],
    readings: Mapping[uuid.UUID, Reading],
    groups: Mapping[uuid.UUID, Value],
    boundaries: Sequence[float],
    shelf: Sequence[PieceRow],
) -> Ranking:
    """Return the ranking of pieces whose groups are settled.

    Args:
        rows: the pieces to rank.
        readings: of every fabric, also of the shelf's.
        groups: the value of each piece with a reading, by piece.
        boundaries: the lightnesses where groups meet, for prints that straddle them.
        shelf: the pieces that may serve instead.
    """
    measured = [row for row in rows if row.fabric_id in readings]
    left_out = tuple(row for row in rows if row.fabric_id not in readings)
    measured.sort(key=lambda row: -readings[row.fabric_id].lightness)
    pieces = tuple(
        _ranked(row, readings[row.fabric_id], groups[row.piece_id], boundaries) for row in measured
    )
    fabrics = {fabric_id: str(fabric_id) for fabric_id in readings}
    entry_of = {
        row.piece_id: Entry(row.code, readings[row.fabric_id], fabrics[row.fabric_id])
        for row in (*measured, *(row for row in shelf if row.fabric_id in readings))
    }
    entries = {
        value: [entry_of[one.row.piece_id] for one in pieces if one.value is value]
        for value in Value
    }
    spare = [entry_of[row.piece_id] for row in shelf if row.fabric_id in readings]
    return Ranking(
        pieces=pieces,
        groups={value: _group(pieces, value) for value in Value},
        contrast=tuple(_contrast(entries, between, spare) for between in BOUNDARIES),
        unmeasured=tuple(row.code for row in left_out),
        _names={row.code: row.name for row in (*rows, *shelf)},
        _left_out=left_out,
    )


def weak_codes(ranking: Ranking) -> frozenset[str]:
    """Return the codes of all pieces of weak pairs."""
    pairs = [pair for contrast in ranking.contrast for pair in contrast.pairs]
    return frozenset(code for pair in pairs for code in (pair.lighter, pair.darker))


def _ranked(
    row: PieceRow, reading: Reading, value: Value, boundaries: Sequence[float]
) -> RankedPiece:
    flags = ["provisional"] if reading.provisional else []
    flags += ["straddles"] if straddles(reading, boundaries) else []
    flags += [str(doubt) for doubt in reading.doubts if doubt is not Doubt.NO_REFERENCE]
    return RankedPiece(
        row.code, row.name, reading.lightness, reading.uncertainty, value, tuple(flags), row
    )


def _group(pieces: Iterable[RankedPiece], value: Value) -> GroupView:
    members = [piece for piece in pieces if piece.value is value]
    ends = [piece.lightness for piece in (members[0], members[-1])] if members else [None, None]
    return GroupView(len(members), tuple(piece.code for piece in members), *ends)


def _contrast(
    entries: Mapping[Value, Sequence[Entry]], between: tuple[Value, Value], spare: Sequence[Entry]
) -> ContrastView:
    judged: Contrast = judge(entries[between[0]], entries[between[1]], between)
    ways = tuple(
        cure for cure in cures(entries, judged, spare) if cure.verdict.rank > judged.verdict.rank
    )[:MOST_CURES]
    return ContrastView(
        between, judged.gap, judged.uncertainty, judged.verdict, judged.pairs, ways, judged.unsure
    )


def _count(count: int) -> str:
    return f"{count} piece{'' if count == 1 else 's'}"


def _reach(group: GroupView) -> str:
    if group.lightest is None or group.darkest is None:
        return ""
    lightest, darkest = f"{group.lightest:.0f}", f"{group.darkest:.0f}"
    return f", L* {lightest}" if lightest == darkest else f", L* {lightest} to {darkest}"


def _line(piece: RankedPiece) -> str:
    lightness = f"{shown_lightness(piece.lightness, piece.provisional):>4} ±{piece.uncertainty:.0f}"
    flags = ", ".join(flag for flag in piece.flags if flag != "provisional")
    return f"  {piece.code:<5} {shortened(piece.name):<32} {lightness:<8} {flags}".rstrip()
