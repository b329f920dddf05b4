"""When cloth is short: what is missing, the largest size at which all fits, how to plan that."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.actions.command_line import command_line
from stashkeeper.actions.cut_words import TypedCut, cut_text, named
from stashkeeper.actions.plan_words import Table
from stashkeeper.actions.project_cuts import ProjectCuts
from stashkeeper.actions.stash import Stash
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.shortage import Shrunk, Sizing, most_that_fits, shrink_to_fit
from stashkeeper.errors import BadSizeError, NoPlanError, Smaller
from stashkeeper.lengths.format import RULER_MARK, format_exactly, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.quilts.quilt import finished_size

STEPS: Final = {
    Measure.INCHES: Length.from_inches("1/2"),
    Measure.CENTIMETRES: Length.from_millimetres(10),
}
"""The steps of a finished size that quilters use (½ in, common practice; 1 cm, ours)."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was to be planned, as it was asked for.

    Attributes:
        typed: the cuts that were typed, each with a name.
        own: the project planned too, if any.
        words: search words that narrow the shelf.
        spare: one spare for every so many; None where it was not said.
        seconds: how long to search; None where it was not said.
    """

    typed: tuple[TypedCut, ...]
    own: ProjectCuts | None
    words: tuple[str, ...]
    spare: int | None
    seconds: float | None

    @property
    def cuts(self) -> tuple[TypedCut, ...]:
        """All cuts, those of the project first."""
        return (*(self.own.cuts if self.own else ()), *self.typed)

    def command(self, cuts: Sequence[str]) -> str:
        """Return what is typed to plan the same, but for other cuts."""
        said = ["stashkeeper", "plan", *(word for word in self.words if word.strip())]
        said += ["--project", self.own.project] if self.own else []
        for cut in cuts:
            said += ["--cut", cut]
        said += [] if self.spare is None else ["--spare", str(self.spare)]
        said += [] if self.seconds is None else ["--seconds", f"{self.seconds:g}"]
        return command_line(said)


def told_short(
    stash: Stash, table: Table, wanted: Wanted, missing: Sequence[Cut], stop: Callable[[], bool]
) -> NoPlanError:
    """Return the error that tells what is missing and what would fit instead."""
    problem = f"The cloth is short: there is no room for {_listed(missing, stash.measure)}."
    if not table.cloths:
        return NoPlanError(problem, "Leave a search word away, or log the pieces first.")
    area = sum(cloth.size.area for cloth in table.cloths)
    found = None
    if sum(cut.size.area * cut.count for cut in table.cuts) < area * 10_000:
        smaller = _smaller_units if wanted.own else _smaller_cuts
        found = smaller(stash, table, wanted, stop)
    if found is None:
        return NoPlanError(
            problem, "Take other cloth in, ask for fewer, or let cuts turn where the print allows."
        )
    return NoPlanError(problem, *found)


def _smaller_cuts(
    stash: Stash, table: Table, wanted: Wanted, stop: Callable[[], bool]
) -> tuple[str, Smaller] | None:
    """Return the largest size at which all cuts fit, in a sentence and as it is asked for."""
    measure = stash.measure
    strips = frozenset(cut.name for cut in wanted.typed if cut.strip)
    sizing = Sizing(step=STEPS[measure], mark=RULER_MARK[measure], strips=strips)
    shrunk = shrink_to_fit(table.cloths, table.cuts, sizing=sizing, stop=stop)
    if shrunk is None:
        return None
    cuts = tuple(
        replace(typed, size=cut.size) for typed, cut in zip(wanted.typed, shrunk.cuts, strict=True)
    )
    texts = _texts(cuts, measure)
    size = format_length(shrunk.after, measure)
    return _told_cuts(shrunk, measure), Smaller(size, texts, "", (wanted.command(texts),))


def _told_cuts(shrunk: Shrunk, measure: Measure) -> str:
    changes = "; ".join(
        f"{change.name} {format_size(change.before, measure, Rounding.UP)} becomes "
        f"{format_size(change.after, measure, Rounding.UP)}"
        for change in shrunk.changes
        if change.before != change.after
    )
    before = format_length(shrunk.before, measure, Rounding.UP)
    after = format_length(shrunk.after, measure)
    return (
        f"Everything fits with the longest finished side {after} instead of {before}, cut with "
        f"its seams: {changes}."
    )


def _smaller_units(
    stash: Stash, table: Table, wanted: Wanted, stop: Callable[[], bool]
) -> tuple[str, Smaller] | None:
    """Return the largest unit at which a project fits, its other cuts as they were typed."""
    assert wanted.own is not None
    own, measure, step = wanted.own, stash.measure, STEPS[stash.measure]
    others = table.cuts[len(own.cuts) :]

    def cuts_at(number: int) -> tuple[Cut, ...] | None:
        try:
            return (*(_role_cut(cut) for cut in own.cuts_with(step * number)), *others)
        except BadSizeError:
            return None

    most = -(-own.quilt.unit.ticks // step.ticks) - 1
    found = most_that_fits(table.cloths, cuts_at, most, stop=stop)
    if found is None:
        return None
    unit = step * found.number
    smaller = replace(own.quilt, unit=unit)
    before = format_length(own.quilt.unit, measure, Rounding.UP)
    sizes = [format_size(finished_size(quilt), measure) for quilt in (smaller, own.quilt)]
    size = format_length(unit, measure)
    told = (
        f"Everything fits with units of {size} instead of {before}: the quilt finishes {sizes[0]} "
        f"instead of {sizes[1]}, and all its cuts change with the units."
    )
    typed = format_exactly(unit, measure)
    texts = _texts(wanted.typed, measure)
    change = command_line(["stashkeeper", "project", "change", own.project, "--unit", typed])
    return told, Smaller(size, texts, typed, (change, wanted.command(texts)))


def _role_cut(cut: TypedCut) -> Cut:
    return Cut(cut.name, cut.size, cut.count, cut.directional, role=cut.source)


def _texts(cuts: Sequence[TypedCut], measure: Measure) -> tuple[str, ...]:
    """Return cuts as a person types them, those without a name that letters would not give."""
    bare = [replace(cut, name="") for cut in cuts]
    if [cut.name for cut in named(bare)] == [cut.name for cut in cuts]:
        return tuple(cut_text(cut, measure) for cut in bare)
    return tuple(cut_text(cut, measure) for cut in cuts)


def _listed(missing: Sequence[Cut], measure: Measure) -> str:
    return " and ".join(
        f"{cut.count:,} × {cut.name} ({format_size(cut.size, measure, Rounding.UP)})"
        for cut in missing
    )
