"""What the shelf page shows of a ranking: a tile for each fabric, the gaps, the value rule."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from stashkeeper.actions.listing import found_words
from stashkeeper.actions.ranking import ContrastView, RankedPiece, Ranking, weak_codes
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import look_of
from stashkeeper.actions.values import sort
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import Verdict
from stashkeeper.pictures.value_rule import Bead, Bracket, Mark, Stretch
from stashkeeper.pictures.web_rule import WebRule, css_grey, place_value_rule


@dataclass(frozen=True, slots=True)
class Tile:
    """A fabric on the shelf page.

    Attributes:
        code: of the piece it is shown by.
        name: its name.
        lightness: L*; None where it is not measured yet.
        uncertainty: 95 %, ± L*.
        value: its group; None where it is not measured yet.
        mark: how its reading is marked.
        flags: words to be said of it: that it straddles two groups, doubts about its photo.
        weak: whether it is one of a pair that keeps two groups from standing apart.
        more: how many further pieces of the same fabric there are.
        ended: how the piece ended, if it did.
        look: the mark of its swatch; None where it has no photo.
    """

    code: str
    name: str
    lightness: float | None
    uncertainty: float | None
    value: Value | None
    mark: Mark
    flags: tuple[str, ...]
    weak: bool
    more: int
    ended: End | None
    look: str | None

    @property
    def shown_lightness(self) -> str:
        """Its lightness in whole L*; a provisional one bears a tilde."""
        if self.lightness is None:
            return ""
        return shown_lightness(self.lightness, self.mark is not Mark.SURE)

    @property
    def grey(self) -> str:
        """The grey of its lightness, for a tile without a photo."""
        return "" if self.lightness is None else css_grey(self.lightness)


@dataclass(frozen=True, slots=True)
class Gap:
    """The judgement on the boundary below a group: the verdict's word, and all of it in words."""

    verdict: Verdict
    weak: bool
    sentence: str
    advice: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found, ready to be shown page by page."""

    sentence: str
    tiles: tuple[Tile, ...]
    gaps: tuple[Gap, ...]
    groups: tuple[tuple[Value | None, int, int], ...]
    rule: WebRule
    remarks: tuple[str, ...]


def find(stash: Stash, words: str, by: str) -> Found:
    """Search, rank, and make ready to be shown.

    Raises:
        BadSearchError, BadSizeError, NotFoundError, BadRequestError: as `sort`.
    """
    search = parse_search(words, stash.measure)
    ranking = sort(stash, words, by=by)
    count = len(ranking.pieces) + len(ranking.unmeasured)
    return found_of(ranking, found_words(count, explain(search)))


def found_of(ranking: Ranking, sentence: str) -> Found:
    """Return a ranking, ready to be shown, under a sentence that says what it is."""
    tiles = (*_measured(ranking), *_unmeasured(ranking.unmeasured_rows))
    return Found(
        sentence,
        tiles,
        tuple(_gap(ranking, one) for one in ranking.contrast),
        tuple(_groups(ranking, tiles)),
        _rule(ranking, tiles),
        ranking.remarks,
    )


def _measured(ranking: Ranking) -> Iterator[Tile]:
    """Yield one tile for each fabric of each group, from light to dark."""
    weak = weak_codes(ranking)
    alike: dict[tuple[object, object], list[RankedPiece]] = {}
    for piece in ranking.pieces:
        alike.setdefault((piece.value, piece.row.fabric_id), []).append(piece)
    ordered = sorted(alike.values(), key=lambda pieces: list(Value).index(pieces[0].value))
    for pieces in ordered:
        yield _tile(pieces, weak)


def _tile(pieces: Sequence[RankedPiece], weak: frozenset[str]) -> Tile:
    first = pieces[0]
    doubts = [flag for flag in first.flags if flag not in {"provisional", "straddles"}]
    mark = Mark.DOUBTFUL if doubts else Mark.PROVISIONAL if first.provisional else Mark.SURE
    return Tile(
        code=first.code,
        name=first.name,
        lightness=first.lightness,
        uncertainty=first.uncertainty,
        value=first.value,
        mark=mark,
        flags=tuple(flag for flag in first.flags if flag != "provisional"),
        weak=any(piece.code in weak for piece in pieces),
        more=len(pieces) - 1,
        ended=first.row.ended,
        look=None if first.row.checksum is None else look_of(first.row),
    )


def _unmeasured(rows: Sequence[PieceRow]) -> Iterator[Tile]:
    for _fabric, alike in groupby(
        sorted(rows, key=lambda row: str(row.fabric_id)), key=lambda row: row.fabric_id
    ):
        row, *more = alike
        look = None if row.checksum is None else look_of(row)
        yield Tile(
            row.code,
            row.name,
            None,
            None,
            None,
            Mark.SURE,
            (),
            False,
            len(more),
            row.ended,
            look,
        )


def _groups(ranking: Ranking, tiles: Sequence[Tile]) -> Iterator[tuple[Value | None, int, int]]:
    """Yield each group with how many fabrics and pieces it has; the unmeasured last, if any."""
    for value in Value:
        fabrics = sum(tile.value is value for tile in tiles)
        yield value, fabrics, ranking.groups[value].count
    if ranking.unmeasured:
        yield None, sum(tile.value is None for tile in tiles), len(ranking.unmeasured)


def _gap(ranking: Ranking, contrast: ContrastView) -> Gap:
    sentence, *advice = ranking.judged(contrast)
    weak = contrast.verdict is Verdict.WEAK
    return Gap(contrast.verdict, weak, sentence, tuple(line.strip() for line in advice))


def _rule(ranking: Ranking, tiles: Sequence[Tile]) -> WebRule:
    beads = [Bead(tile.lightness, tile.mark) for tile in tiles if tile.lightness is not None]
    groups = [ranking.groups[value] for value in Value]
    stretches = [
        Stretch(group.darkest, group.lightest)
        for group in groups
        if group.darkest is not None and group.lightest is not None
    ]
    brackets = [_bracket(ranking, one) for one in ranking.contrast if one.gap is not None]
    return place_value_rule(beads, stretches, brackets)


def _bracket(ranking: Ranking, contrast: ContrastView) -> Bracket:
    lighter, darker = (ranking.groups[value] for value in contrast.between)
    assert lighter.darkest is not None and darker.lightest is not None
    return Bracket(
        lighter.darkest,
        darker.lightest,
        f"{contrast.gap:.1f}",
        f"±{contrast.uncertainty:.0f}",
        (str(contrast.verdict), " · ".join(ranking.pair_at(contrast.between) or ())),
        contrast.verdict is Verdict.WEAK,
    )
