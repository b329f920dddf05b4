"""What the shelf offers for some needs, as faces show it: choices, what is left out or lacks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from stashkeeper.actions.choice_view import ChoiceView, ChosenFabric, GivenCut
from stashkeeper.actions.listing import shortened
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.actions.verdict_words import verdict_words
from stashkeeper.choosing.missing import Missing
from stashkeeper.choosing.reasons import Reason
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.contrast import Contrast

MOST_PAIRS = 3
"""So many weak pairs are named between two groups."""


@dataclass(frozen=True, slots=True)
class LeftOutView:
    """A tempting fabric that was left out, and why."""

    codes: tuple[str, ...]
    name: str
    reason: Reason
    role: str | None
    told: str


@dataclass(frozen=True, slots=True)
class MissingView:
    """The one fabric, not on the shelf, that would help most.

    Attributes:
        role: what it would be for.
        darkest, lightest: between which lightnesses it should lie, L*.
        family: the colour family it should have; None where any goes.
        cuts: what it must give.
        gap: what the gap aimed at would become.
        gained: by how much that is more.
    """

    role: str
    value: Value
    darkest: float
    lightest: float
    family: str | None
    cuts: tuple[tuple[int, Size], ...]
    gap: float
    gained: float
    told: str


@dataclass(frozen=True, slots=True)
class ChoiceAnswer:
    """What the shelf offers for some needs.

    Attributes:
        project: what it is for; empty for none.
        best: the widest gap, then scraps first, harmony, certainty.
        others: a few that differ.
        left_out: tempting fabrics, and why they are not in the best choice.
        missing: the one fabric that would help most; None where none would.
        kept: the number of the choice that was kept in the project; None for none.
    """

    project: str
    best: ChoiceView
    others: tuple[ChoiceView, ...]
    left_out: tuple[LeftOutView, ...]
    missing: MissingView | None
    kept: int | None
    _remarks: tuple[str, ...]
    _measure: Measure = field(repr=False)

    @property
    def choices(self) -> tuple[ChoiceView, ...]:
        """Return every choice, the best first."""
        return (self.best, *self.others)

    @property
    def remarks(self) -> tuple[str, ...]:
        """How sure it is, and what took no part, a sentence each."""
        return self._remarks

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, a line each."""
        return tuple(self._lines())

    def told_fabric(self, one: ChosenFabric) -> str:
        """Return a fabric of a choice in a line."""
        where = f" ({one.place})" if one.place else ""
        light = f"L* {shown_lightness(one.lightness, one.provisional)} ±{one.uncertainty:.0f}"
        words = [f"{'+'.join(one.codes)} “{shortened(one.name)}”{where}, {light}"]
        words += [one.family] if one.family else []
        words += [told_gives(one.gives, self._measure)] if one.gives else []
        words += [f"reserved by {' and '.join(one.elsewhere)} too"] if one.elsewhere else []
        return ", ".join(words)

    def _lines(self) -> Iterator[str]:
        yield f"1  {self.best.headline}"
        role = ""
        for one in self.best.chosen:
            if one.role != role:
                role = one.role
                yield f"  {role}{f': {one.value}' if one.value and one.value != role else ''}"
            yield f"    {self.told_fabric(one)}"
            yield f"      {one.why}"
        if self.best.inside is None:
            for contrast in self.best.contrast:
                yield from (f"  {line}" for line in told_contrast(contrast))
        if self.others:
            yield "Or, putting something else first:"
            yield from (f"{one.number}  {one.short}" for one in self.others)
        if self.left_out:
            yield "Tempting, but left out:"
        for left in self.left_out:
            yield f"  {'+'.join(left.codes)} “{shortened(left.name)}”: {left.told}"
        if self.missing:
            yield self.missing.told
        yield from self._remarks


def told_gives(gives: Sequence[GivenCut], measure: Measure) -> str:
    """Return what a fabric gives, in words; of several sizes, how many if only that were cut."""
    told = [
        f"{cut.gives:,} cuts {format_size(cut.size, measure, Rounding.UP)} ({cut.wanted:,} needed)"
        for cut in gives
    ]
    return f"gives {told[0]}" if len(told) == 1 else f"gives {' or '.join(told)}"


def told_contrast(contrast: Contrast) -> tuple[str, ...]:
    """Return the judgement between two groups in a sentence, then its weak pairs."""
    lighter, darker = contrast.between
    between = f"{lighter.capitalize()} to {darker}"
    if contrast.gap is None:
        return (f"{between}: no pieces to compare.",)
    words = verdict_words(contrast.verdict, contrast.gap, contrast.uncertainty or 0.0)
    uncertain = f"gap {contrast.gap:.1f} ±{contrast.uncertainty:.0f}"
    pairs = (
        f"  {pair.lighter} and {pair.darker} are {pair.gap:.1f} apart"
        f"{', weak in grey, held by colour' if pair.held_by_colour else ''}."
        for pair in contrast.pairs[:MOST_PAIRS]
    )
    return (f"{between}: {uncertain}, {contrast.verdict}{words}.", *pairs)


def in_sizes(told: str, cuts: Sequence[tuple[int, object]], measure: Measure) -> str:
    """Return what is told of a missing fabric, with the sizes of the cuts that it must give."""
    sized = [(count, size) for count, size in cuts if isinstance(size, Size)]
    plain = " and ".join(str(count) for count, _ in sized)
    sizes = " and ".join(
        f"{count:,} cut{'' if count == 1 else 's'} {format_size(size, measure, Rounding.UP)}"
        for count, size in sized
    )
    return told.replace(f" that gives {plain} cuts", f", large enough for {sizes},")


def missing_view(missing: Missing | None, measure: Measure) -> MissingView | None:
    """Return the missing fabric as faces show it, what it must give in sizes."""
    if missing is None:
        return None
    cuts = tuple((cut.count, cut.key) for cut in missing.cuts if isinstance(cut.key, Size))
    told = in_sizes(missing.told, cuts, measure)
    return MissingView(
        missing.role,
        missing.value,
        missing.darkest,
        missing.lightest,
        missing.family,
        cuts,
        missing.gap,
        missing.gained,
        told,
    )
