"""A plan as faces show it: what it opens, uses and leaves, and how its pieces stand now."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from stashkeeper.actions.listing import shortened
from stashkeeper.cutting.plan import PiecePlan, Plan
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import TICKS_PER_INCH, TICKS_PER_MILLIMETRE, Measure
from stashkeeper.lengths.size import Size


class Standing(StrEnum):
    """How a piece of a plan stands now."""

    READY = "ready"
    MEASURE = "to measure"
    """Its size was never measured, so it must be before it is cut."""
    CHANGED = "changed"
    """It was changed since, in a way the plan cannot stand: plan again."""
    GONE = "gone"
    """It is off the shelf without having been cut by this plan."""
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class PlanPieceView:
    """A piece of a plan.

    Attributes:
        code, name, place: of the piece.
        usable: the usable size the plan counts on.
        certain: whether that was measured when it was planned.
        gives: how many of each cut it gives, by name.
        keeps: the off-cuts that go back on the shelf.
        cuts: how many times the cutter runs, trims not counted.
        standing: how it stands now.
        cut_at: when it was cut; None where it still is to be.
    """

    code: str
    name: str
    place: str
    usable: Size
    certain: bool
    gives: Mapping[str, int]
    keeps: tuple[Size, ...]
    cuts: int
    standing: Standing = Standing.READY
    cut_at: datetime | None = None

    def line(self, measure: Measure) -> str:
        """Return the piece in a line."""
        where = f" ({self.place})" if self.place else ""
        size = ("" if self.certain else "probably ") + format_size(self.usable, measure)
        standing = "" if self.standing is Standing.READY else f"  [{self.standing}]"
        name = shortened(self.name)
        return f"{self.code} “{name}”{where}, {size}: {self.yields(measure)}{standing}"

    def yields(self, measure: Measure) -> str:
        """Return what it gives and keeps: `12 × A; keeps 20½ × 4 in`."""
        gives = ", ".join(f"{count} × {name}" for name, count in self.gives.items())
        keeps = ", ".join(format_size(size, measure) for size in self.keeps)
        return f"{gives}; keeps {keeps}" if keeps else gives


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan.

    Attributes:
        number: what it is called by.
        goal: what it spares.
        opened: how many pieces are opened.
        cloth, waste, kept: areas in square inches: what is opened, what is lost, what goes back.
        ruler_settings: how often the ruler is set anew.
        cuts: how many times the cutter runs, trims not counted.
        stages: 2 for strips and cross-cuts, more where only that was enough.
        certain: whether every opened piece was measured.
        pieces: in the order they are cut.
    """

    number: int
    goal: str
    asked: str
    opened: int
    cloth: float
    waste: float
    kept: float
    ruler_settings: int
    cuts: int
    stages: int
    certain: bool
    pieces: tuple[PlanPieceView, ...]
    _measure: Measure
    _areas: tuple[int, int, int] = field(repr=False)

    def facts(self) -> tuple[tuple[str, str], ...]:
        """Return what two plans are compared by: heading and words."""
        used, waste, kept = self._areas
        remnants = sum(len(piece.keeps) for piece in self.pieces)
        back = area(kept, self._measure, up=False)
        return (
            ("pieces opened", f"{self.opened}: {_few([one.code for one in self.pieces])}"),
            ("cloth used", area(used, self._measure, up=True)),
            ("goes back", f"{back} in {remnants} off-cut{'' if remnants == 1 else 's'}"),
            ("waste", area(waste, self._measure, up=True)),
            ("ruler settings", f"{self.ruler_settings}"),
            ("cuts", f"{self.cuts}"),
            ("saved as", f"plan {self.number}"),
        )

    @property
    def title(self) -> str:
        """Its number, what it spares and what it is for."""
        return f"Plan {self.number}, {self.goal}: {self.asked}"

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be known before it is carried out."""
        return tuple(self._remarks())

    @property
    def sentences(self) -> tuple[str, ...]:
        """The plan in words: its pieces and what is to be known."""
        lines = (f"  {piece.line(self._measure)}" for piece in self.pieces)
        return (f"{self.title}.", *lines, *self.remarks)

    def _remarks(self) -> Iterator[str]:
        if self.stages > 2:
            yield "Strips and cross-cuts alone were not enough: some strips are cut further."
        unsure = [one.code for one in self.pieces if one.standing is Standing.MEASURE]
        if unsure:
            yield f"It holds probably: measure {_few(unsure)} before cutting, and type the size in."
        stale = [
            one.code for one in self.pieces if one.standing in {Standing.CHANGED, Standing.GONE}
        ]
        if stale:
            them = "it" if len(stale) == 1 else "them"
            yield f"{_few(stale)} changed since the plan was made, so plan again for {them}."


def piece_of_plan(piece: PiecePlan, name: str, place: str) -> PlanPieceView:
    """Return a piece of a plan as it was planned."""
    return PlanPieceView(
        piece.cloth.code,
        name,
        place,
        piece.cloth.size,
        piece.cloth.certain,
        Counter(placement.name for placement in piece.placements),
        tuple(off_cut.box.size for off_cut in piece.kept),
        len(piece.lines),
        Standing.READY if piece.cloth.certain else Standing.MEASURE,
    )


def plan_view(
    number: int, asked: str, plan: Plan, pieces: Sequence[PlanPieceView], measure: Measure
) -> PlanView:
    """Return a plan with its pieces as they stand."""
    return PlanView(
        number,
        plan.goal.value,
        asked,
        plan.opened,
        plan.cloth_area / TICKS_PER_INCH**2,
        plan.waste_area / TICKS_PER_INCH**2,
        plan.kept_area / TICKS_PER_INCH**2,
        plan.ruler_settings,
        plan.lines,
        plan.stages,
        plan.certain,
        tuple(pieces),
        measure,
        (plan.cloth_area, plan.waste_area, plan.kept_area),
    )


def area(square_ticks: int, measure: Measure, up: bool) -> str:
    """Return an area in whole square inches or square centimetres, rounded up or down."""
    metric = measure is Measure.CENTIMETRES
    unit = (TICKS_PER_MILLIMETRE * 10) ** 2 if metric else TICKS_PER_INCH**2
    number = -(-square_ticks // unit) if up else square_ticks // unit
    return f"{number:,} {'cm²' if metric else 'sq in'}"


def _few(codes: Sequence[str], most: int = 8) -> str:
    more = f" and {len(codes) - most} more" if len(codes) > most else ""
    return ", ".join(codes[:most]) + more
