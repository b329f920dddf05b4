"""When cloth is short: what is missing, and the largest size at which everything fits."""

from collections.abc import Callable, Sequence

from stashkeeper.actions.plan_words import Table
from stashkeeper.actions.stash import Stash
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.shortage import Shrunk, Sizing, shrink_to_fit
from stashkeeper.errors import NoPlanError
from stashkeeper.lengths.format import RULER_MARK, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding

STEPS = {
    Measure.INCHES: Length.from_inches("1/2"),
    Measure.CENTIMETRES: Length.from_millimetres(10),
}
"""The steps of a finished size that quilters use (½ in, common practice; 1 cm, ours)."""


def told_short(
    stash: Stash, table: Table, missing: Sequence[Cut], stop: Callable[[], bool]
) -> NoPlanError:
    """Return the error that tells what is missing and what would fit instead."""
    measure = stash.measure
    problem = f"The cloth is short: there is no room for {_listed(missing, measure)}."
    if not table.cloths:
        return NoPlanError(problem, "Leave a search word away, or log the pieces first.")
    sizing = Sizing(step=STEPS[measure], mark=RULER_MARK[measure])
    area = sum(cloth.size.area for cloth in table.cloths)
    wanted = sum(cut.size.area * cut.count for cut in table.cuts)
    shrunk = None
    if wanted < area * 10_000:
        shrunk = shrink_to_fit(table.cloths, table.cuts, sizing=sizing, stop=stop)
    if shrunk is None:
        return NoPlanError(
            problem, "Take other cloth in, ask for fewer, or let cuts turn where the print allows."
        )
    return NoPlanError(problem, _smaller(shrunk, measure))


def _smaller(shrunk: Shrunk, measure: Measure) -> str:
    before = format_length(shrunk.before, measure, Rounding.UP)
    after = format_length(shrunk.after, measure)
    changes = "; ".join(
        f"{change.name} {format_size(change.before, measure, Rounding.UP)} becomes "
        f"{format_size(change.after, measure, Rounding.UP)}"
        for change in shrunk.changes
        if change.before != change.after
    )
    return (
        f"Everything fits with the longest finished side {after} instead of {before}, cut with "
        f"its seams: {changes}."
    )


def _listed(missing: Sequence[Cut], measure: Measure) -> str:
    return " and ".join(
        f"{cut.count:,} × {cut.name} ({format_size(cut.size, measure, Rounding.UP)})"
        for cut in missing
    )
