"""Cutting plans: made, proven, kept, listed, shown."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from stashkeeper.actions.cut_words import TypedCut, read_cut_file, read_cuts
from stashkeeper.actions.plan_view import (
    PlanPieceView,
    PlanView,
    piece_of_plan,
    plan_view,
)
from stashkeeper.actions.plan_words import Table, check_source, lay_out_table
from stashkeeper.actions.project_cuts import ProjectCuts, cuts_of_project
from stashkeeper.actions.shortage import Wanted, told_short
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.plans import add_plan
from stashkeeper.cloth.cut import Cut, check_cuts
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.plan import Plan
from stashkeeper.cutting.planner import Attempt, Progress, with_spares
from stashkeeper.cutting.record import plan_to_plain
from stashkeeper.cutting.scarce_first import plan_scarce_first
from stashkeeper.errors import BadRequestError, NoPlanError, NotFoundError, quoted

MOST_BYTES = 1_000_000
"""The largest file of cuts that is read (ours)."""

type Stop = Callable[[], bool]
type Report = Callable[[Progress], None]


@dataclass(frozen=True, slots=True)
class Planned:
    """The plans that were made: scraps first and least cloth, or one that is both.

    Attributes:
        cuts: what was asked for.
        spares: how many more of each are planned, by name; empty where there are none.
        plans: one or two.
        stopped: whether the search was stopped before it was done.
    """

    cuts: tuple[TypedCut, ...]
    spares: dict[str, int]
    plans: tuple[PlanView, ...]
    stopped: bool
    _told: tuple[str, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`: what each plan spares."""
        if len(self.plans) == 1:
            return ("", "both goals")
        return ("", *(plan.goal for plan in self.plans))

    def rows(self) -> list[tuple[str, ...]]:
        """Return the plans side by side, a row for each thing they are compared by."""
        facts = [plan.facts() for plan in self.plans]
        return [(row[0][0], *(words for _, words in row)) for row in zip(*facts, strict=True)]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is to be told beside the table."""
        return self._told


def plan_pieces(  # noqa: PLR0913 - each is one thing a person may say
    stash: Stash,
    words: Sequence[str] = (),
    *,
    cuts: Sequence[str] = (),
    file: Path | None = None,
    project: str = "",
    spare: int | None = None,
    seconds: float | None = None,
    stop: Stop = lambda: False,
    progress: Report = lambda _: None,
) -> Planned:
    """Plan how to cut what is needed, two ways, and keep both plans.

    Args:
        stash: the open stash.
        words: search words that narrow the shelf.
        cuts: each such as `12 x 4 1/2 in square from value:dark directional`.
        file: a text file with one cut a line, read after `cuts`.
        project: the project whose parts list is planned too, each role from its chosen pieces.
        spare: one spare for every so many, 0 for none; the setting where None.
        seconds: how long to search; as long as is useful where None.
        stop: asked many times a second; once it says yes, the best so far is kept.
        progress: told of every complete plan.

    Raises:
        BadFileError: the file holds mistakes; all are told with their line numbers.
        NoPlanError: the cloth is short; it tells what is missing and the size that would fit.
        StashkeeperError: a cut or search word cannot be read.
    """
    own = cuts_of_project(stash, project) if project else None
    roles = own.pieces if own else {}
    typed = _typed(stash, cuts, file, roles) if own is None or cuts or file else ()
    asked = Wanted(typed, own, tuple(words), spare, seconds)
    table = lay_out_table(stash, asked.cuts, words, own.pieces if own else None)
    check_cuts(table.cuts)
    one_in = stash.settings.habits.spare if spare is None else spare
    making = _Making(stash, table, stop, progress, seconds)
    wanted, attempt = making.attempt(one_in)
    found = _found(stash, table, asked, attempt, stop)
    kept = _keep(stash, found, _words(stash, asked), table)
    spares = _spares(wanted, table)
    told = _remarks(kept, table, spares, one_in, attempt.stopped)
    told = (*told, *_reserved(kept, table, own), *(own.told if own else ()))
    return Planned(asked.cuts, spares, kept, attempt.stopped, told)


def _words(stash: Stash, asked: Wanted) -> str:
    """Return what was asked for in words."""
    parts = [f"project “{asked.own.project}”"] if asked.own else []
    return " and ".join([*parts, *(one.sentence(stash.measure) for one in asked.typed)])


def _found(stash: Stash, table: Table, asked: Wanted, attempt: Attempt, stop: Stop) -> list[Plan]:
    """Return the plans found, the second only where it is another one."""
    if attempt.plans is None and attempt.stopped:
        raise NoPlanError(
            "The search was stopped before a plan was found, so there is none.",
            "Plan again and let it run a little longer.",
        )
    if attempt.plans is None:
        raise told_short(stash, table, asked, attempt.missing, stop)
    first, second = attempt.plans.scraps_first, attempt.plans.least_cloth
    return [first] if first.pieces == second.pieces else [first, second]


def _keep(stash: Stash, found: Sequence[Plan], asked: str, table: Table) -> tuple[PlanView, ...]:
    """Keep plans as one deed."""
    with stash.deed("plan") as deed:
        kept = tuple(keep_plan(stash, deed, one, asked, table) for one in found)
        names = " and ".join(f"plan {one.number}" for one in kept)
        deed.summary = f"Made {names} for {asked}."
    return kept


@dataclass(frozen=True, slots=True)
class _Making:
    """What a search for plans works on."""

    stash: Stash
    table: Table
    stop: Stop
    progress: Report
    seconds: float | None

    def attempt(self, one_in: int) -> tuple[tuple[Cut, ...], Attempt]:
        """Search with spares; where they do not fit, without."""
        wanted = with_spares(self.table.cuts, one_in)
        attempt = self._search(wanted)
        if attempt.plans is None and not attempt.stopped and wanted != self.table.cuts:
            wanted = self.table.cuts
            attempt = self._search(wanted)
        return wanted, attempt

    def _search(self, cuts: tuple[Cut, ...]) -> Attempt:
        room = sum(cloth.size.area for cloth in self.table.cloths)
        if not self.table.cloths or sum(cut.size.area * cut.count for cut in cuts) > room * 50:
            # So far beyond all cloth that a search could only waste time.
            return Attempt(None, cuts)
        return plan_scarce_first(
            self.table.cloths,
            cuts,
            seconds=self.seconds,
            keeping=keeping_of(self.stash),
            stop=self.stop,
            progress=self.progress,
        )


def keeping_of(stash: Stash) -> Keeping:
    """Return from what size on this person keeps an off-cut."""
    habits = stash.settings.habits
    return Keeping(habits.keep_patch, habits.keep_strip.width, habits.keep_strip.length)


def _typed(
    stash: Stash, cuts: Sequence[str], file: Path | None, roles: Collection[str]
) -> tuple[TypedCut, ...]:
    """Read what was typed and what stands in the file."""
    strip = stash.settings.allowances.usable_width
    own = read_cuts(cuts, stash.measure, strip) if cuts or file is None else ()
    if file is None:
        return own
    try:
        with file.open("rb") as opened:
            content = opened.read(MOST_BYTES + 1)
    except OSError as fault:
        raise NotFoundError(
            f"{quoted(str(file))} cannot be read ({fault.strerror}).",
            "Name a text file with one cut on each line.",
        ) from fault
    if len(content) > MOST_BYTES:
        raise BadRequestError(
            f"{quoted(file.name)} is far too large to be a list of cuts.",
            "Name a text file with one cut on each line.",
        )
    listed = read_cut_file(
        content, file.name, stash.measure, strip, lambda cut: check_source(stash, cut, roles)
    )
    taken = {one.name for one in own}
    return own + tuple(
        replace(one, name=f"{one.name}′") if one.name in taken else one for one in listed
    )


def keep_plan(
    stash: Stash,
    deed: Deed,
    plan: Plan,
    asked: str,
    table: Table,
    stacks: Sequence[Sequence[str]] = (),
) -> PlanView:
    """Put a plan on record; return it as faces show it.

    Args:
        stash: the open stash.
        deed: the deed it belongs to.
        plan: a proven plan.
        asked: what was asked for, in words.
        table: the cloths it was made on.
        stacks: the codes of the pieces that are cut together, if any are.
    """
    record: dict[str, Any] = plan_to_plain(plan)
    if stacks:
        record["stacks"] = [list(codes) for codes in stacks]
    pieces = record.pop("pieces")
    rows = [table.rows[piece.cloth.code] for piece in plan.pieces]
    there = {one.code: one for one in pieces_by_codes(deed.session, [row.code for row in rows])}
    row = add_plan(
        deed,
        plan.goal.value,
        asked,
        record,
        [(there[one.code], one.version, own) for one, own in zip(rows, pieces, strict=True)],
    )
    views: list[PlanPieceView] = [
        piece_of_plan(piece, one.name, one.place)
        for piece, one in zip(plan.pieces, rows, strict=True)
    ]
    return plan_view(row.number, asked, plan, views, stash.measure)


def _spares(wanted: Sequence[Cut], table: Table) -> dict[str, int]:
    """Return how many more of each cut are planned than were asked for, by name."""
    return {
        cut.name: cut.count - own.count
        for cut, own in zip(wanted, table.cuts, strict=True)
        if cut.count > own.count
    }


def _reserved(plans: Sequence[PlanView], table: Table, own: ProjectCuts | None) -> tuple[str, ...]:
    """Tell which pieces of the plans other projects reserve."""
    opened = dict.fromkeys(piece.code for plan in plans for piece in plan.pieces)
    mine = own.project if own else ""
    found = {
        code: [name for name in table.reserved[code] if name != mine]
        for code in opened
        if code in table.reserved
    }
    listed = ", ".join(f"{code} ({', '.join(names)})" for code, names in found.items() if names)
    return (f"Reserved by a project: {listed}.",) if listed else ()


def _remarks(
    plans: Sequence[PlanView],
    table: Table,
    spares: dict[str, int],
    one_in: int,
    stopped: bool,
) -> tuple[str, ...]:
    told = ["Stopped: these are the best plans so far."] if stopped else []
    if spares:
        listed = ", ".join(f"{count} × {name}" for name, count in spares.items())
        told.append(f"Spares are planned too, one for every {one_in} begun: {listed}.")
    elif one_in:
        told.append("There is no room for spares.")
    if table.spoken:
        listed = ", ".join(f"{code} (plan {number})" for code, number in table.spoken.items())
        told.append(f"Left out, for a plan already begun needs it: {listed}.")
    seen = dict.fromkeys(line for plan in plans for line in plan.remarks)
    return (*told, *seen)
