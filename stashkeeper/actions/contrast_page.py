"""The contrast of a few, as its page shows it: the choice, its judgement, cures to be taken."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.actions.ranking import ContrastView, Ranking
from stashkeeper.actions.shelf_tiles import Found, Tile, found_of
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.values import contrast, members
from stashkeeper.choosing.cures import Cure
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError
from stashkeeper.luminance.contrast import Verdict


@dataclass(frozen=True, slots=True)
class Choice:
    """The codes that are chosen for each value, in the order they were chosen."""

    codes: Mapping[Value, tuple[str, ...]]

    def put(self, code: str, value: Value | None) -> "Choice":
        """Return the choice with a piece in a group, and in no other; None takes it out."""
        if value is not None and code in self.codes[value]:
            return self
        without = {
            one: tuple(each for each in codes if each != code) for one, codes in self.codes.items()
        }
        if value is not None:
            without[value] = (*without[value], code)
        return Choice(without)

    def cured(self, cure: Cure) -> "Choice":
        """Return the choice after a cure."""
        changed = self
        for code in cure.leave_out:
            changed = changed.put(code, None)
        return changed.put(cure.instead, cure.group) if cure.instead else changed

    def value_of(self, code: str) -> Value | None:
        """Return the group a piece is in; None where it is not chosen."""
        return next((value for value, codes in self.codes.items() if code in codes), None)

    @property
    def texts(self) -> Mapping[str, str]:
        """The codes of each group with commas between, as they are typed for `contrast`."""
        return {str(value): ",".join(self.codes[value]) for value in Value}

    @property
    def count(self) -> int:
        """How many pieces are chosen."""
        return sum(map(len, self.codes.values()))


@dataclass(frozen=True, slots=True)
class CureLink:
    """What would widen a gap, and the choice after it."""

    sentence: str
    choice: Choice


@dataclass(frozen=True, slots=True)
class Boundary:
    """The judgement between two groups.

    Attributes:
        between: the lighter and the darker group.
        gap: as it is written, with its uncertainty; empty where a group is empty.
        verdict: the word for it.
        sentence: all of it.
        pairs: the pairs that come too near, a sentence each.
        cures: what would widen it, best first.
    """

    between: tuple[Value, Value]
    gap: str
    verdict: Verdict
    sentence: str
    pairs: tuple[str, ...]
    cures: tuple[CureLink, ...]

    @property
    def weak(self) -> bool:
        """Whether the two groups run together."""
        return self.verdict is Verdict.WEAK


@dataclass(frozen=True, slots=True)
class ContrastPage:
    """What the page of a choice shows.

    Attributes:
        choice: the codes of each group.
        found: its tiles, groups and value rule.
        boundaries: light to medium, medium to dark.
        remarks: what the marks mean.
    """

    choice: Choice
    found: Found
    boundaries: tuple[Boundary, ...]
    remarks: tuple[str, ...]

    def tiles_of(self, value: Value | None) -> tuple[Tile, ...]:
        """Return the tiles of a group, from light to dark; of None those that are not measured."""
        return tuple(tile for tile in self.found.tiles if tile.value is value)


MOST = 240
"""Pieces that a page shows of a choice."""

NOTHING = Choice(dict.fromkeys(Value, ()))
"""The choice before anything is chosen."""


def choose(
    stash: Stash, texts: Mapping[str, str], puts: Mapping[str, Value | None] | None = None
) -> Choice:
    """Return a choice: what texts name for each group, then piece by piece what is put elsewhere.

    Args:
        stash: the open stash.
        texts: codes or search words for `light`, `medium` and `dark`.
        puts: the group of each of these pieces; None takes it out.

    Raises:
        BadRequestError: a piece is in two groups.
        StashkeeperError: words that cannot be read, unknown codes.
    """
    with stash.reading() as session:
        named = {
            value: [row.code for row in members(stash, session, [texts[value]])]
            for value in Value
            if texts.get(value, "").strip()
        }
        known = members(stash, session, [",".join(puts)]) if puts else []
    choice = Choice({value: tuple(named.get(value, ())) for value in Value})
    for row in known:
        choice = choice.put(row.code, (puts or {})[row.code])
    return choice


def contrast_page(stash: Stash, choice: Choice) -> ContrastPage | None:
    """Judge a choice as `contrast` does; None where nothing is chosen yet.

    Raises:
        BadRequestError: a piece is in two groups, or there are too many.
        NotFoundError: no piece has one of the codes.
    """
    if not choice.count:
        return None
    if choice.count > MOST:
        raise BadRequestError(
            f"{choice.count:,} pieces are no longer a few: this page judges up to {MOST}.",
            "Name fewer, or look at the shelf, which judges them all.",
        )
    ranking = contrast(stash, list(choice.texts.values()))
    return ContrastPage(
        choice,
        found_of(ranking, ""),
        tuple(_boundary(ranking, one, choice) for one in ranking.contrast),
        ranking.remarks,
    )


def _boundary(ranking: Ranking, judged: ContrastView, choice: Choice) -> Boundary:
    sentence, *advice = (line.strip() for line in ranking.judged(judged))
    gap = "" if judged.gap is None else f"{judged.gap:.1f} ±{judged.uncertainty:.0f}"
    cures = judged.cures if judged.verdict in {Verdict.WEAK, Verdict.CANNOT_TELL} else ()
    return Boundary(
        judged.between,
        gap,
        judged.verdict,
        sentence,
        tuple(advice[: len(advice) - len(cures)]),
        tuple(_cure(ranking, cure, choice) for cure in cures),
    )


def _cure(ranking: Ranking, cure: Cure, choice: Choice) -> CureLink:
    return CureLink(ranking.told_cure(cure).strip().removeprefix("→ "), choice.cured(cure))
