"""The cloth chosen for a quilt: what it gives of each part, and the proof of all of them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.cloths import cloth_of
from stashkeeper.actions.preview_words import PreviewWords, read_casts
from stashkeeper.actions.quilt_subject import Subject
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.planner import MOST_CUTS, Progress, attempt_cuts
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.errors import BadCutError, BadRequestError
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.ranking import Bands
from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.quilt import Part, Quilt, parts

SECONDS: Final = 1.0
"""So long a plan is looked for that proves a unit (ours)."""


@dataclass(frozen=True, slots=True)
class ChosenCloth:
    """The cloth of every role, by its name with its set."""

    by_role: dict[str, tuple[Cloth, ...]]

    def can_have(self, role: Role, size: Size) -> int:
        """Return how many cuts of a size the cloth of a role gives, of that size alone."""
        cloths = self.by_role.get(role_name(role), ())
        try:
            return int(counts(Shelf.of(cloths), size).sum()) if cloths else 0
        except BadCutError:
            return 0

    def is_enough(self, quilt: Quilt) -> bool:
        """Tell whether there is as much area of cloth as all parts take; no more than that."""
        cloths = {one.code: one for some in self.by_role.values() for one in some}
        there = sum(cloth.size.area for cloth in cloths.values())
        return sum(part.cut.size.area * part.cut.count for part in parts(quilt)) <= there

    def proven(self, quilt: Quilt, stop: Callable[[], bool] = lambda: False) -> bool | None:
        """Tell whether a cutting plan gives every part; None where none is looked for to the end.

        That is where there are too many parts to plan, or `stop` says that it is enough.
        """
        cuts = [replace(part.cut, role=role_name(part.role)) for part in parts(quilt)]
        if sum(cut.count for cut in cuts) > MOST_CUTS:
            return None
        roles: dict[str, set[str]] = {}
        cloths: dict[str, Cloth] = {}
        for role, some in self.by_role.items():
            for cloth in some:
                cloths[cloth.code] = cloth
                roles.setdefault(cloth.code, set()).add(role)
        offered = [replace(one, roles=frozenset(roles[code])) for code, one in cloths.items()]
        found: list[Progress] = []
        attempt = attempt_cuts(
            offered, cuts, seconds=SECONDS, stop=lambda: bool(found) or stop(),
            progress=found.append,
        )  # fmt: skip
        return None if attempt.plans is None and stop() else attempt.plans is not None

    def told_short(self, short: Sequence[tuple[Part, int]], unit: str, measure: Measure) -> str:
        """Return what stops the next larger unit, in a sentence."""
        told = [
            f"{part.role} gives {have:,} of {part.cut.count:,} {part.use} "
            f"({format_size(part.cut.size, measure, Rounding.UP)})"
            for part, have in short[:2]
        ]
        return f"Units of {unit} do not come out: {' and '.join(told)}."

    def doubts(self) -> list[str]:
        """Return which pieces ought to be measured before anything is cut."""
        codes = sorted({c.code for some in self.by_role.values() for c in some if not c.certain})
        told = f"{', '.join(codes)} {_was(codes)} not measured yet, so it is only probable."
        return [told] if codes else []


def chosen_cloth(
    stash: Stash, session: Session, subject: Subject, words: PreviewWords
) -> ChosenCloth:
    """Return the cloth of every role of a quilt.

    Raises:
        BadRequestError: a role has no piece, or one that nothing can be cut from.
        NotFoundError: no piece has a code that was typed.
    """
    cast = read_casts(replace(words, instead=()), subject.roles, subject.cast)[0][1]
    without = [role for role in subject.roles if not cast.get(role)]
    if without:
        raise BadRequestError(
            f"No piece was chosen for {', '.join(without)}.",
            "Choose fabrics for the project first, or name pieces with --fabric star=A7.",
            on_page=f"Choose fabrics for the project first, or type pieces: {without[0]}=A7.",
        )
    codes = tuple(dict.fromkeys(code for some in cast.values() for code in some))
    pieces_by_codes(session, codes)
    limits = thresholds(session)
    bands = Bands(limits.dark_below, limits.light_from)
    rows = select_pieces(session, Search((Term("code", codes),)), limits)
    allowances = stash.settings.allowances
    offered = {row.code: cloth_of(row, allowances, bands) for row in rows}
    return ChosenCloth(
        {
            role: tuple(cloth for code in some if (cloth := offered.get(code)) is not None)
            for role, some in cast.items()
            if role in subject.roles
        }
    )


def _was(codes: Sequence[str]) -> str:
    return "was" if len(codes) == 1 else "were"
