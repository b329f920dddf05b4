"""A plan with all that its page shows: what each piece gives, how it came out, what undoes it."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.actions.plan_pictures import diagram_size
from stashkeeper.actions.plan_view import PlanPieceView, PlanView, Standing
from stashkeeper.actions.plans import LoadedPlan, load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.plans import deeds_of_cuts, plan_numbered
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Rounding


@dataclass(frozen=True, slots=True)
class CameOutView:
    """How a piece came out.

    Attributes:
        gave, missing: how many of each cut, in words; empty for none.
        off_cuts: the codes of what went back on the shelf.
        deed: the number of the deed that confirmed it, to take it back.
    """

    gave: str
    missing: str
    off_cuts: tuple[str, ...]
    deed: int | None

    @property
    def search(self) -> str:
        """The search words that find its off-cuts."""
        return f"code:{','.join(self.off_cuts)}"


@dataclass(frozen=True, slots=True)
class PlanPagePiece:
    """A piece of a plan on its page.

    Attributes:
        view: as everywhere.
        usable, gives: in words.
        keeps: the off-cuts that go back, in words.
        whole: the size it must have at least, selvedges and raw edges included, in words.
        on_record: the size written down of it, in words.
        to_wash: whether it was measured, and may still shrink in the wash.
        drawn: width and height of its diagram, in px.
        came_out: how it came out; None while it is to be cut.
    """

    view: PlanPieceView
    usable: str
    gives: str
    keeps: tuple[str, ...]
    whole: str
    on_record: str
    to_wash: bool
    drawn: tuple[int, int]
    came_out: CameOutView | None

    @property
    def to_measure(self) -> bool:
        """Whether it must be measured before it is cut."""
        return self.view.standing is Standing.MEASURE

    @property
    def stale(self) -> bool:
        """Whether the plan does not hold for it any more."""
        return self.view.standing in {Standing.CHANGED, Standing.GONE}

    @property
    def ready(self) -> bool:
        """Whether it can be cut."""
        return self.view.standing is Standing.READY


@dataclass(frozen=True, slots=True)
class PlanPage:
    """A plan on its page.

    Attributes:
        view: as everywhere.
        cuts: name, count and size of each cut, in words.
        pieces: in the order they are cut.
        stacks: the codes of the pieces that are cut together.
    """

    view: PlanView
    cuts: tuple[tuple[str, str], ...]
    pieces: tuple[PlanPagePiece, ...]
    stacks: tuple[tuple[str, ...], ...]

    @property
    def as_cuts(self) -> str:
        """What was asked for as cuts to be planned again, one on each line."""
        parts = self.view.asked.removesuffix(" from each piece").split(" and ")
        return "\n".join(part for part in parts if not part.startswith("project “"))

    @property
    def left(self) -> int:
        """How many pieces are still to be cut."""
        return sum(one.came_out is None for one in self.pieces)

    @property
    def begun(self) -> bool:
        """Whether a piece was cut by it."""
        return self.left < len(self.pieces)

    def piece(self, code: str) -> PlanPagePiece:
        """Return a piece of it by its code."""
        return next(one for one in self.pieces if one.view.code == code)


def plan_page(stash: Stash, number: int) -> PlanPage:
    """Return what the page of a plan shows.

    Raises:
        NotFoundError: there is none with this number.
        UnprovenPlanError: as `load_plan`.
    """
    with stash.reading() as session:
        loaded = load_plan(stash, session, number)
        deeds = deeds_of_cuts(session, plan_numbered(session, number))
        by_code = {code: deeds.get(planned.piece.id) for code, planned in loaded.planned.items()}
    cuts = tuple(
        (
            cut.name,
            f"{cut.count:,} × {format_size(cut.size, stash.measure, Rounding.UP)}"
            + (", length along the selvedge" if cut.directional else ""),
        )
        for cut in loaded.plan.cuts
    )
    pieces = tuple(_piece(stash, loaded, one, by_code[one.code]) for one in loaded.view.pieces)
    return PlanPage(loaded.view, cuts, pieces, loaded.stacks)


def _piece(
    stash: Stash, loaded: LoadedPlan, view: PlanPieceView, deed: int | None
) -> PlanPagePiece:
    outcome = loaded.planned[view.code].outcome
    row = loaded.rows[view.code]
    return PlanPagePiece(
        view,
        ("" if view.certain else "probably ") + format_size(view.usable, stash.measure),
        _counted(view.gives),
        tuple(format_size(size, stash.measure) for size in view.keeps),
        format_size(loaded.piece(view.code).cloth.whole, stash.measure, Rounding.UP),
        format_size(row.size, stash.measure) if row.size else "",
        loaded.to_wash(view.code),
        diagram_size(loaded.piece(view.code)),
        None
        if outcome is None
        else CameOutView(
            _counted(outcome["gave"]),
            _counted(outcome["missing"]),
            tuple(outcome["off_cuts"]),
            deed,
        ),
    )


def _counted(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{count} × {name}" for name, count in counts.items() if count)
