"""The seams of a project as faces show them: how well each holds, and what would cure it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from stashkeeper.actions.listing import shortened
from stashkeeper.choosing.cures import Clearing
from stashkeeper.choosing.seam_contrast import Holds, SeamContrast
from stashkeeper.choosing.seam_cures import SeamCure
from stashkeeper.lengths.length import Measure
from stashkeeper.luminance.contrast import Verdict

SHOWN = 40
"""So many seams are listed; all of them are in JSON."""

HOLDS_WORDS = {
    Holds.VALUE: "holds",
    Holds.UNSURE: "cannot tell",
    Holds.COLOUR: "weak in grey, held by colour",
    Holds.NOTHING: "weak",
    Holds.NO_PIECES: "no pieces",
}


@dataclass(frozen=True, slots=True)
class SeamView:
    """Where two roles meet.

    Attributes:
        one, other: the roles, sets included.
        length: the finished length of all their seams, in inches; `count` of them.
        lighter, darker: the codes of the two fabrics that come closest; empty for none.
        lighter_role: the role of the lighter one.
        gap, uncertainty: how far these lie apart in L*, and its 95 % uncertainty.
        verdict: on the gap.
        holds: what keeps the roles apart.
        whole, saturation, hue: how the colours differ (CIEDE2000; ΔC*ab; ΔH*ab); None where a
            colour is not known, or nobody asked.
        mixing: by how much the prints overlap in lightness, in L*; None where not known.
        busy: whether prints mix although their mean lightness may not.
        alike: whether both roles are wished to have the same value, so that it may be weak.
        cures: exchanges of one fabric that would help, best first.
        clearing: where roles have several fabrics and the rest gives enough cloth, the fewest to
            leave out.
    """

    one: str
    other: str
    length: float
    count: int
    lighter: str
    darker: str
    lighter_role: str
    gap: float | None
    uncertainty: float | None
    verdict: Verdict
    holds: Holds
    whole: float | None
    saturation: float | None
    hue: float | None
    mixing: float | None
    busy: bool
    alike: bool
    cures: tuple[SeamCure, ...]
    clearing: Clearing | None = None

    @property
    def weak(self) -> bool:
        """Whether it is weak in grey."""
        return self.verdict is Verdict.WEAK

    @property
    def words(self) -> str:
        """What holds it, in words."""
        words = HOLDS_WORDS[self.holds]
        if self.holds is Holds.VALUE:
            words = str(self.verdict)
        close = self.weak or self.holds is Holds.UNSURE
        words += ", both meant alike" if self.alike and close else ""
        return words + (", the prints mix" if self.busy and not self.weak else "")


@dataclass(frozen=True, slots=True)
class SeamsAnswer:
    """Every seam between different roles of a project, the worst first.

    Attributes:
        project: its name.
        seams: the worst first, longer ones before shorter.
        unmeasured: codes of chosen pieces without a lightness, which take no part.
    """

    project: str
    seams: tuple[SeamView, ...]
    unmeasured: tuple[str, ...]
    _names: Mapping[str, str] = field(repr=False)
    _measure: Measure = field(repr=False)

    @property
    def weak(self) -> tuple[SeamView, ...]:
        """The seams that are weak in grey and not meant to be."""
        return tuple(one for one in self.seams if one.weak and not one.alike)

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("seam", "length", "closest", "gap", "verdict")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each of the worst seams; weak ones are marked."""
        return [self._row(one) for one in self.seams[:SHOWN]]

    @property
    def sentences(self) -> tuple[str, ...]:
        """How the seams hold, and the cures of those that do not, a sentence each."""
        return tuple(self._lines())

    def name_of(self, code: str) -> str:
        """Return code and name as they stand in a sentence."""
        return f"{code} “{shortened(self._names.get(code, ''))}”"

    def told_cure(self, cure: SeamCure) -> str:
        """Return an exchange and what it brings, in a sentence."""
        return (
            f"Take {self.name_of(cure.instead)} instead of {self.name_of(cure.leave_out)} for "
            f"{cure.role}: its narrowest gap becomes {cure.gap:.1f} ±{cure.uncertainty:.0f}, "
            f"{cure.verdict}."
        )

    def told_clearing(self, clearing: Clearing) -> str:
        """Return which fabrics to leave out and what it brings, in a sentence."""
        out = " and ".join(self.name_of(code) for code in clearing.leave_out)
        return (
            f"Leave out {out}: the gap becomes {clearing.gap:.1f} ±{clearing.uncertainty:.0f}, "
            f"{clearing.verdict}, and the rest gives enough cloth."
        )

    def _row(self, one: SeamView) -> tuple[str, ...]:
        metric = self._measure is Measure.CENTIMETRES
        length = f"{one.length * 2.54:,.0f} cm" if metric else f"{one.length:,.0f} in"
        pair = f"{one.lighter} / {one.darker}" if one.lighter else ""
        gap = "" if one.gap is None else f"{one.gap:.1f} ±{one.uncertainty:.0f}"
        mark = "! " if one.weak and not one.alike else ""
        return f"{mark}{one.one} / {one.other}", length, pair, gap, one.words

    def _lines(self) -> Iterator[str]:
        weak = self.weak
        if not self.seams:
            yield "No two roles meet in this quilt."
        elif all(one.gap is None for one in self.seams):
            yield "No fabric is chosen yet: choose some first."
        elif weak:
            many = "1 seam is" if len(weak) == 1 else f"{len(weak)} seams are"
            held = sum(one.holds is Holds.COLOUR for one in weak)
            colour = f", {held} of them held by colour" if held else ""
            yield f"{many} weak in grey{colour} (marked !)."
        else:
            unsure = sum(one.holds is Holds.UNSURE and not one.alike for one in self.seams)
            none = sum(one.gap is None for one in self.seams)
            yield "No seam is weak in grey" + (
                f"; of {unsure} it cannot be told: photograph the fabrics side by side."
                if unsure
                else f"; {none} have no fabric on one side yet."
                if none
                else "."
            )
        for one in self.seams:
            if one.whole is not None and one.weak and not one.alike:
                yield (
                    f"{one.one} / {one.other}: colours differ by {one.whole:.0f} (CIEDE2000), "
                    f"saturation {one.saturation or 0:.0f}, hue {one.hue or 0:.0f}."
                )
        cures = dict.fromkeys(cure for one in self.seams for cure in one.cures)
        yield from (f"  → {self.told_cure(cure)}" for cure in cures)
        cleared = dict.fromkeys(one.clearing for one in self.seams if one.clearing)
        yield from (f"  → {self.told_clearing(clearing)}" for clearing in cleared)
        if len(self.seams) > SHOWN:
            yield f"The worst {SHOWN} of {len(self.seams)} are shown; --json has all."
        if self.unmeasured:
            yield f"Not measured yet, so left out: {', '.join(self.unmeasured)}."


@dataclass(frozen=True, slots=True)
class SeamChangeView:
    """A seam before and after a fabric is replaced."""

    before: SeamView
    after: SeamView
    better: bool

    @property
    def sentence(self) -> str:
        """The change in words."""
        narrower = (self.after.gap or 0.0) < (self.before.gap or 0.0)
        words = "better" if self.better else "worse" if narrower else "no better"
        return (
            f"{self.after.one} / {self.after.other}: {_gap(self.before)}, {self.before.words} → "
            f"{_gap(self.after)}, {self.after.words} ({words})"
        )


def seam_view(
    judged: SeamContrast,
    count: int,
    alike: bool,
    cures: Sequence[SeamCure] = (),
    clearing: Clearing | None = None,
) -> SeamView:
    """Return the judgement on a seam as faces show it."""
    colour = judged.colour
    return SeamView(
        judged.seam.one,
        judged.seam.other,
        judged.seam.length,
        count,
        judged.lighter,
        judged.darker,
        judged.lighter_role,
        judged.gap,
        judged.uncertainty,
        judged.verdict,
        judged.holds,
        colour.whole if colour else None,
        colour.saturation if colour else None,
        colour.hue if colour else None,
        judged.mixing,
        judged.busy,
        alike,
        tuple(cures),
        clearing,
    )


def _gap(one: SeamView) -> str:
    return "no gap" if one.gap is None else f"gap {one.gap:.1f} ±{one.uncertainty:.0f}"
