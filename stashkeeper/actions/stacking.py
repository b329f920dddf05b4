"""Stacks: the same cuts from each of several pieces, laid on one squared corner."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from stashkeeper.actions.cut_words import TypedCut, read_cuts
from stashkeeper.actions.cutting import keep_plan, keeping_of
from stashkeeper.actions.plan_view import PlanView
from stashkeeper.actions.plan_words import lay_out_table
from stashkeeper.actions.stash import Stash
from stashkeeper.cloth.cut import Cut, check_cuts
from stashkeeper.cutting.check import prove
from stashkeeper.cutting.plan import Goal, Plan
from stashkeeper.cutting.stacks import Most, Stacks, stack_cuts
from stashkeeper.errors import BadRequestError, NoPlanError


@dataclass(frozen=True, slots=True)
class Stacked:
    """A plan whose pieces are cut in stacks.

    Attributes:
        cuts: what each piece gives.
        stacks: the codes of the pieces that are cut together.
        left_out: the codes of the pieces too small for it.
        plan: the plan, as it is kept.
    """

    cuts: tuple[TypedCut, ...]
    stacks: tuple[tuple[str, ...], ...]
    left_out: tuple[str, ...]
    plan: PlanView

    @property
    def sentences(self) -> tuple[str, ...]:
        """The stacks in words, and what is to be known."""
        told = [f"{self.plan.title}."]
        for number, codes in enumerate(self.stacks, start=1):
            told.append(f"  Stack {number}: {', '.join(codes)}")
        if self.left_out:
            told.append(f"Left out, too small: {', '.join(self.left_out)}.")
        return (*told, *self.plan.remarks)


def plan_stacks(
    stash: Stash,
    words: Sequence[str] = (),
    *,
    cuts: Sequence[str] = (),
    stop: Callable[[], bool] = lambda: False,
) -> Stacked:
    """Plan the same cuts from every piece that answers, in stacks, and keep the plan.

    Args:
        stash: the open stash.
        words: search words for the pieces.
        cuts: what each of them gives, such as `4 x 5 in square`.
        stop: asked many times a second.

    Raises:
        BadRequestError: no cut, or one that names the cloth it comes from.
        NoPlanError: no piece is large enough, or the search was stopped.
        StashkeeperError: a cut or search word cannot be read.
    """
    typed = read_cuts(cuts, stash.measure, stash.settings.allowances.usable_width)
    if any(one.source for one in typed):
        raise BadRequestError(
            "In stacks every piece gives every cut, so a cut names no cloth.",
            "Leave “from …” away and choose the pieces with search words.",
        )
    table = lay_out_table(stash, typed, words)
    check_cuts(table.cuts)
    habits = stash.settings.habits
    most = Most(habits.layers, habits.flannel_layers)
    found = stack_cuts(table.cloths, table.cuts, most=most, keeping=keeping_of(stash), stop=stop)
    plan = _whole(found, table.cuts)
    prove(plan, table.cloths, plan.cuts)
    stacks = tuple(tuple(one.cloth.code for one in stack.layers) for stack in found.stacks)
    asked = " and ".join(one.sentence(stash.measure) for one in typed) + " from each piece"
    with stash.deed("plan") as deed:
        kept = keep_plan(stash, deed, plan, asked, table, stacks)
        deed.summary = f"Made plan {kept.number} for {asked}."
    return Stacked(typed, stacks, found.left_out, kept)


def _whole(found: Stacks, cuts: Sequence[Cut]) -> Plan:
    """Return all layers of all stacks as one plan."""
    layers = [layer for stack in found.stacks for layer in stack.layers]
    if not layers:
        raise NoPlanError(
            "No piece gives all of these cuts.",
            "Choose other pieces, or ask each of them for less.",
        )
    times = len(layers)
    all_cuts = tuple(replace(cut, count=cut.count * times) for cut in cuts)
    return Plan(Goal.LEAST_CLOTH, all_cuts, tuple(layers))
