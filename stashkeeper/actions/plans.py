"""Plans on record: the list of them, and one of them with its pieces as they stand now."""

from dataclasses import dataclass, replace
from datetime import datetime

from sqlmodel import Session

from stashkeeper.actions.cloths import cloth_of
from stashkeeper.actions.plan_view import (
    PlanPieceView,
    PlanView,
    Standing,
    piece_of_plan,
    plan_view,
)
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.plans import PlannedPiece, list_plans, pieces_of_plan, plan_numbered
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.plan import PiecePlan, Plan
from stashkeeper.cutting.record import plan_from_plain
from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.lengths.basis import Basis
from stashkeeper.luminance.ranking import Bands


@dataclass(frozen=True, slots=True)
class ListedPlan:
    """A plan in the list: pieces in all, and how many of them are cut."""

    number: int
    goal: str
    asked: str
    created_at: datetime
    pieces: int
    cut: int

    @property
    def standing(self) -> str:
        """How far it is."""
        if not self.cut:
            return "not begun"
        return "done" if self.cut == self.pieces else f"{self.cut} of {self.pieces} pieces cut"


@dataclass(frozen=True, slots=True)
class PlanList:
    """All plans, newest first."""

    plans: tuple[ListedPlan, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("plan", "goal", "pieces", "standing", "for")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each plan."""
        return [
            (f"{plan.number}", plan.goal, f"{plan.pieces}", plan.standing, plan.asked)
            for plan in self.plans
        ]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What to tell where there is none."""
        return () if self.plans else ("There is no plan yet.",)


@dataclass(frozen=True, slots=True)
class LoadedPlan:
    """A plan with all that is known of its pieces now.

    Attributes:
        plan: as it was proven, and proven again.
        view: as faces show it.
        rows: the row of each piece now, by code; ended pieces too.
        planned: each piece as the record has it, by code.
        now: what each piece offers now, by code; None where it offers nothing.
        stacks: the codes of the pieces that are cut together; none for a plan without stacks.
    """

    number: int
    asked: str
    plan: Plan
    view: PlanView
    rows: dict[str, PieceRow]
    planned: dict[str, PlannedPiece]
    now: dict[str, Cloth | None]
    stacks: tuple[tuple[str, ...], ...]

    def to_wash(self, code: str) -> bool:
        """Tell whether a piece was measured, and may still shrink in the wash."""
        return self.view_of(code).standing is Standing.MEASURE and (
            self.rows[code].basis is Basis.MEASURED
        )

    def piece(self, code: str) -> PiecePlan:
        """Return how a piece is cut.

        Raises:
            NotFoundError: the plan does not open such a piece.
        """
        wanted = "".join(code.split()).upper()
        for piece in self.plan.pieces:
            if piece.cloth.code == wanted:
                return piece
        codes = ", ".join(piece.cloth.code for piece in self.plan.pieces)
        raise NotFoundError(f"Plan {self.number} does not cut {quoted(code)}.", f"It cuts {codes}.")

    def view_of(self, code: str) -> PlanPieceView:
        """Return a piece of the plan as faces show it."""
        return next(one for one in self.view.pieces if one.code == code)


def list_all(stash: Stash) -> PlanList:
    """Return every plan, newest first."""
    with stash.reading() as session:
        return PlanList(
            tuple(
                ListedPlan(row.number, row.goal, row.asked, row.created_at, row.pieces, row.cut)
                for row in list_plans(session)
            )
        )


def show_plan(stash: Stash, number: int) -> PlanView:
    """Return a plan with its pieces as they stand now.

    Raises:
        NotFoundError: there is none with this number.
    """
    with stash.reading() as session:
        return load_plan(stash, session, number).view


@dataclass(frozen=True, slots=True)
class Dropped:
    """A plan that was dropped, and what to tell."""

    number: int
    sentences: tuple[str, ...]


def drop(stash: Stash, number: int) -> Dropped:
    """Drop a plan that was not begun; nothing on the shelf changes.

    Raises:
        NotFoundError: there is none with this number.
        BadRequestError: a piece was cut by it.
    """
    with stash.deed("drop-plan") as deed:
        row = plan_numbered(deed.session, number)
        begun = [one.piece.code for one in pieces_of_plan(deed.session, row) if one.cut_at]
        if begun:
            raise BadRequestError(
                f"Plan {number} is begun: {', '.join(begun)} was cut by it.",
                "Take that back first, or leave the plan as it is.",
            )
        deed.change(row, voided=True)
        deed.summary = told = f"Dropped plan {number}, {row.goal}: {row.asked}."
    return Dropped(number, (told,))


def load_plan(stash: Stash, session: Session, number: int) -> LoadedPlan:
    """Return a plan, proven once more, with its pieces as they stand now.

    Raises:
        NotFoundError: there is none with this number.
        UnprovenPlanError: what is on record is no proven plan; it is not shown.
    """
    row = plan_numbered(session, number)
    planned = pieces_of_plan(session, row)
    plan = plan_from_plain({**row.record, "pieces": [one.record for one in planned]})
    prove(plan, [piece.cloth for piece in plan.pieces], plan.cuts)
    codes = tuple(one.piece.code for one in planned)
    search = Search((Term("code", codes), Term("ended", ("any", End.MISTAKE.value))))
    limits = thresholds(session)
    rows = {one.code: one for one in select_pieces(session, search, limits)}
    bands = Bands(limits.dark_below, limits.light_from)
    now = {code: cloth_of(one, stash.settings.allowances, bands) for code, one in rows.items()}
    by_code = {one.piece.code: one for one in planned}
    views = [
        _view(piece, rows[piece.cloth.code], by_code[piece.cloth.code], now[piece.cloth.code])
        for piece in plan.pieces
    ]
    view = plan_view(number, row.asked, plan, views, stash.measure)
    stacks = tuple(tuple(codes) for codes in row.record.get("stacks", ()))
    return LoadedPlan(number, row.asked, plan, view, rows, by_code, now, stacks)


def standing_of(piece: PiecePlan, planned: PlannedPiece, now: Cloth | None) -> Standing:
    """Return how a piece of a plan stands now.

    What was only moved or written about is as it was. A piece that was not measured when it was
    planned, and now is, may be larger than planned, but not smaller.
    """
    if planned.cut_at is not None:
        return Standing.CUT
    if planned.piece.ended_how is not None:
        return Standing.GONE
    cloth = piece.cloth
    if planned.piece.version == planned.version:
        return Standing.READY if cloth.certain else Standing.MEASURE
    if now is None or not _still_holds(piece, now):
        return Standing.CHANGED
    return Standing.READY if now.certain else Standing.MEASURE


def _still_holds(piece: PiecePlan, now: Cloth) -> bool:
    """Tell whether a piece as it is now gives what was planned."""
    cloth = piece.cloth
    if now.fabric != cloth.fabric:
        return False
    if now.directional and any(placement.turned for placement in piece.placements):
        return False
    if not cloth.certain and now.certain:
        return now.size.holds(cloth.size, turning=False)
    return (now.size, now.trims, now.selvedges) == (cloth.size, cloth.trims, cloth.selvedges)


def _view(
    piece: PiecePlan, row: PieceRow, planned: PlannedPiece, now: Cloth | None
) -> PlanPieceView:
    return replace(
        piece_of_plan(piece, row.name, row.place),
        standing=standing_of(piece, planned, now),
        cut_at=planned.cut_at,
    )
