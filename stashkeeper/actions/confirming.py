"""Confirming that a piece of a plan was cut: it leaves the shelf, its off-cuts come back."""

from collections.abc import Sequence
from dataclasses import dataclass

from stashkeeper.actions.came_out import CameOut, came_out
from stashkeeper.actions.cutting import keeping_of
from stashkeeper.actions.plan_view import Standing
from stashkeeper.actions.plans import LoadedPlan, load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.pieces import add_pieces, end_piece
from stashkeeper.catalogue.plans import add_cut, plan_numbered
from stashkeeper.catalogue.tables import Piece, Place
from stashkeeper.cutting.plan import PiecePlan
from stashkeeper.errors import BadRequestError, ChangedMeanwhileError
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Rounding
from stashkeeper.lengths.size import Size


@dataclass(frozen=True, slots=True)
class KeptOffCut:
    """An off-cut that is a piece of its own now; its code goes on a label."""

    code: str
    size: Size


@dataclass(frozen=True, slots=True)
class Confirmed:
    """A piece that was cut.

    Attributes:
        plan, code, name: which piece of which plan.
        gave: how many of each cut came out, by name.
        missing: how many of each did not.
        off_cuts: what went back on the shelf.
        left: the codes of the pieces of the plan still to be cut.
        sentences: what to tell.
    """

    plan: int
    code: str
    name: str
    gave: dict[str, int]
    missing: dict[str, int]
    off_cuts: tuple[KeptOffCut, ...]
    left: tuple[str, ...]
    sentences: tuple[str, ...]


def cut(
    stash: Stash,
    number: int,
    code: str,
    *,
    as_planned: bool = False,
    only: str | None = None,
    off_cuts: Sequence[str] = (),
) -> Confirmed:
    """Confirm that a piece was cut by a plan, as planned or as it really came out.

    Args:
        stash: the open stash.
        number: of the plan.
        code: of the piece.
        as_planned: says that it came out as planned, which also holds where nothing is said.
        only: `2` for only the first two cuts, `3 x A, B` for what came out.
        off_cuts: sizes of what was really left over and kept; `none` for nothing.

    Raises:
        NotFoundError: no such plan, or it does not cut such a piece.
        AlreadyThereError: it was confirmed before.
        ChangedMeanwhileError: the piece is not as it was planned, so the plan does not hold.
        BadRequestError: it was never measured, or could not come out that way.
        BadSizeError: a size cannot be read.
    """
    if as_planned and (only is not None or off_cuts):
        raise BadRequestError(
            "It came out as planned or otherwise, not both.",
            "Leave --as-planned away, or what came out otherwise.",
            on_page="Choose one of the two.",
        )
    with stash.deed("cut") as deed:
        loaded = load_plan(stash, deed.session, number)
        piece = loaded.piece(code)
        row = loaded.planned[piece.cloth.code].piece
        how = _as_it_came(stash, loaded, piece, only, off_cuts)
        kept = _put_back(deed, row, how)
        add_cut(deed, plan_numbered(deed.session, number), row, _outcome(how, kept))
        end_piece(deed, row, End.ALL_CUT)
        told = _told(stash, loaded, piece, how, kept)
        deed.summary = told[0]
    return _confirmed(loaded, piece, how, kept, told)


def _confirmed(
    loaded: LoadedPlan,
    piece: PiecePlan,
    how: CameOut,
    kept: tuple[KeptOffCut, ...],
    told: tuple[str, ...],
) -> Confirmed:
    number, code = loaded.number, piece.cloth.code
    left = tuple(
        one.code
        for one in loaded.view.pieces
        if one.code != code and one.standing is not Standing.CUT
    )
    listed = ", ".join(left)
    done = f"Still to be cut by plan {number}: {listed}." if left else f"Plan {number} is done."
    name = loaded.rows[code].name
    return Confirmed(number, code, name, how.gave, how.missing, kept, left, (*told, done))


def _as_it_came(
    stash: Stash, loaded: LoadedPlan, piece: PiecePlan, only: str | None, off_cuts: Sequence[str]
) -> CameOut:
    """Return how it came out, if the piece stands as it must."""
    _must_be_ready(stash, loaded, piece)
    now = loaded.now[piece.cloth.code] or piece.cloth
    return came_out(piece, now, keeping_of(stash), stash.measure, only=only, off_cuts=off_cuts)


def _must_be_ready(stash: Stash, loaded: LoadedPlan, piece: PiecePlan) -> None:
    code = piece.cloth.code
    standing = loaded.view_of(code).standing
    if standing in {Standing.CHANGED, Standing.GONE}:
        why = "is off the shelf" if standing is Standing.GONE else "was changed"
        raise ChangedMeanwhileError(
            f"{code} {why} since plan {loaded.number} was made, so the plan does not hold for it.",
            "Plan again with the cloth there is now; nothing was changed.",
        )
    if standing is Standing.MEASURE:
        needed = format_size(piece.cloth.whole, stash.measure, Rounding.UP)
        if loaded.to_wash(code):
            raise BadRequestError(
                f"{code} was not washed yet, and plan {loaded.number} counts on {needed} after it.",
                f"Wash it, then measure it and say so: stashkeeper change {code} --washed --size …",
                on_page="Wash it, then measure it, and say so at the piece.",
            )
        raise BadRequestError(
            f"{code} was never measured, and plan {loaded.number} counts on {needed}.",
            f"Measure it first, then type it in: stashkeeper change {code} --size …, or "
            "--measured where the size on record is right.",
            on_page="Measure it first, and type its size in.",
        )


def _put_back(deed: Deed, parent: Piece, how: CameOut) -> tuple[KeptOffCut, ...]:
    """Add the off-cuts as pieces of their own: same fabric, same place, same grain."""
    fabric = fabric_by_id(deed.session, parent.fabric_id)
    place = deed.session.get(Place, parent.place_id) if parent.place_id else None
    kept = []
    for remnant in how.remnants:
        (row,) = add_pieces(
            deed,
            fabric,
            size=remnant.size,
            basis=Basis.MEASURED,
            selvedges=remnant.selvedges,
            squared=remnant.squared,
            washed=parent.washed,
            place=place,
            parent=parent,
        )
        kept.append(KeptOffCut(row.code, remnant.size))
    return tuple(kept)


def _outcome(how: CameOut, kept: Sequence[KeptOffCut]) -> dict[str, object]:
    return {
        "gave": how.gave,
        "missing": how.missing,
        "off_cuts": [one.code for one in kept],
    }


def _told(
    stash: Stash,
    loaded: LoadedPlan,
    piece: PiecePlan,
    how: CameOut,
    kept: Sequence[KeptOffCut],
) -> tuple[str, ...]:
    code = piece.cloth.code
    gave = _counted(how.gave) or "nothing that was wanted"
    told = [f"Cut {code} “{loaded.rows[code].name}” by plan {loaded.number}: {gave}."]
    if kept:
        listed = ", ".join(f"{one.code} ({format_size(one.size, stash.measure)})" for one in kept)
        told.append(f"Back on the shelf, write the code on each: {listed}.")
    if how.missing:
        told.append(f"Still missing: {_counted(how.missing)}; plan again for them.")
    return tuple(told)


def _counted(counts: dict[str, int]) -> str:
    return ", ".join(f"{count} × {name}" for name, count in counts.items() if count)
