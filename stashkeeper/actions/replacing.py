"""Replacing one fabric of a project: what it changes at every seam, then kept or not."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from stashkeeper.actions.choosing_shelf import ChoosingShelf, choosing_shelf
from stashkeeper.actions.listing import shortened
from stashkeeper.actions.need_words import read_codes
from stashkeeper.actions.project_needs import needs_of_project
from stashkeeper.actions.projects import LoadedProject
from stashkeeper.actions.seam_view import SeamChangeView
from stashkeeper.actions.seams import Joined, Spare, joined_seams
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.projects import choose_pieces, pieces_of_project, project_named
from stashkeeper.catalogue.tables import Piece
from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.seam_contrast import Cast, replaced, seam_changes
from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.contrast import Entry


@dataclass(frozen=True, slots=True)
class Replaced:
    """What a replacement changes.

    Attributes:
        project: its name.
        out, instead: the codes that go and that come.
        roles: the roles in which the fabric is replaced.
        headline: what comes instead of what.
        changes: the seams that change, the worst first.
        warnings: what speaks against it, a sentence each.
        kept: what was done, in a sentence; None where it was only looked at.
    """

    project: str
    out: tuple[str, ...]
    instead: tuple[str, ...]
    roles: tuple[str, ...]
    headline: str
    changes: tuple[SeamChangeView, ...]
    warnings: tuple[str, ...]
    kept: str | None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What it changes, and what was done, a sentence each."""
        changes = tuple(f"  {one.sentence}" for one in self.changes) or ("  No seam changes.",)
        kept = self.kept or "Nothing is kept yet: --yes does it."
        return (self.headline, *changes, *self.warnings, kept)


def replace_fabric(
    stash: Stash, name: str, old: str, new: str, *, role: str = "", keep: bool = False
) -> Replaced:
    """Show what changes where one fabric of a project is replaced, and do it where wished.

    Args:
        stash: the open stash.
        name: of the project.
        old: the code of any piece of the fabric that goes.
        new: the piece that comes, or several of one fabric, `B2,B3`.
        role: the role in which it is replaced; every role the fabric plays where empty.
        keep: whether to do it.

    Raises:
        NotFoundError: there is no such project or piece.
        BadRequestError: the fabric plays no such role, or what comes has no known lightness.
    """
    (out,), coming = _one_code(old), read_codes([new])
    with stash.reading() as session:
        joined = joined_seams(stash, session, name)
        pieces_by_codes(session, [out, *coming])
        called = joined.project.name
        shelf = choosing_shelf(stash, session, Search(), called, keep=coming)
    entries = {one.code: Entry(one.code, one.reading, one.fabric) for one in shelf.candidates}
    instead = [entries[code] for code in coming]
    if len({entry.fabric for entry in instead}) != 1:
        raise BadRequestError(
            f"{quoted(new)} does not name pieces of one fabric.", "Replace one fabric at a time."
        )
    going = _roles_of(joined.project, out, role)
    _refuse_the_same(going, coming, new)
    cast = joined.cast
    for each, codes in going.items():
        cast = _with(cast, each, codes, instead)
    changes = tuple(
        SeamChangeView(joined.view(one.before), joined.view(one.after), one.better)
        for one in seam_changes(joined.judged(), joined.judged(cast))
    )
    head = _head(joined, out, instead, going, shelf.names()[coming[0]])
    warnings = tuple(_warnings(stash, joined.project, shelf, going, instead))
    kept = _do(stash, called, going, coming) if keep else None
    gone = tuple(dict.fromkeys(code for codes in going.values() for code in codes))
    return Replaced(called, gone, coming, tuple(going), head, changes, warnings, kept)


def _warnings(
    stash: Stash,
    project: LoadedProject,
    shelf: ChoosingShelf,
    going: dict[str, tuple[str, ...]],
    instead: Sequence[Entry],
) -> list[str]:
    """Tell what speaks against the replacement, a sentence each."""
    spare = Spare(project, needs_of_project(project), shelf)
    coming = [entry.code for entry in instead]
    reserved = [
        f"{code} is reserved by {' and '.join(shelf.elsewhere[code])} too."
        for code in coming
        if code in shelf.elsewhere
    ]
    return [
        *_short(stash, project, spare, going, coming),
        *reserved,
        *_elsewhere_here(project, instead, going),
    ]


def _one_code(old: str) -> tuple[str]:
    codes = read_codes([old])
    if len(codes) != 1:
        raise BadRequestError(
            f"{quoted(old)} does not name one piece.", "Name one piece of the fabric that goes."
        )
    return (codes[0],)


def _roles_of(project: LoadedProject, out: str, role: str) -> dict[str, tuple[str, ...]]:
    """Return the roles that a fabric plays, and the codes of its pieces in each."""
    fabrics = {one.row.fabric_id for one in project.chosen if one.row.code == out}
    found: dict[str, list[str]] = {}
    for one in project.chosen:
        wanted = not role or role.casefold() in {one.role, one.role.partition(" (set ")[0]}
        if one.row.fabric_id in fabrics and wanted:
            found.setdefault(one.role, []).append(one.row.code)
    if found:
        return {each: tuple(codes) for each, codes in found.items()}
    raise _not_chosen(project, out, role, fabrics)


def _refuse_the_same(going: dict[str, tuple[str, ...]], coming: Collection[str], new: str) -> None:
    if all(set(codes) == set(coming) for codes in going.values()):
        raise BadRequestError(
            f"{quoted(new)} is what is chosen for {' and '.join(going)} already.",
            "Name another fabric.",
        )


def _not_chosen(
    project: LoadedProject, out: str, role: str, fabrics: Collection[object]
) -> NotFoundError:
    """Return the error for a fabric that does not play the role, or none; it tells what does."""
    if not project.chosen:
        return NotFoundError(
            f"Project “{project.name}” has no fabrics yet, so there is none to replace.",
            f'Choose them first: `stashkeeper choose --project "{project.name}"`.',
            on_page="Choose its fabrics first.",
        )
    plays = dict.fromkeys(one.role for one in project.chosen if one.row.fabric_id in fabrics)
    codes = dict.fromkeys(one.row.code for one in project.chosen)
    where = f" for {quoted(role)}" if role else ""
    known = f"It is chosen for {' and '.join(plays)}" if plays else f"Chosen: {', '.join(codes)}"
    return NotFoundError(f"{out} is not chosen{where} in project “{project.name}”.", f"{known}.")


def _with(cast: Cast, role: str, going: Sequence[str], instead: Sequence[Entry]) -> Cast:
    """Return the cast with a fabric replaced; a fabric without a lightness was not in it."""
    here = {entry.code for entry in cast.get(role, ())}
    known = [code for code in going if code in here]
    if not known:
        return {**cast, role: (*cast.get(role, ()), instead[0])}
    return replaced(cast, role, known[0], instead[0])


def _head(
    joined: Joined, out: str, instead: Sequence[Entry], going: dict[str, tuple[str, ...]], name: str
) -> str:
    old = next(one.row for one in joined.project.chosen if one.row.code == out)
    codes = "+".join(entry.code for entry in instead)
    return (
        f"{codes} “{shortened(name)}” instead of {out} “{shortened(old.name)}” for "
        f"{' and '.join(going)}:"
    )


def _short(
    stash: Stash,
    project: LoadedProject,
    spare: Spare,
    going: dict[str, tuple[str, ...]],
    coming: Sequence[str],
) -> list[str]:
    """Tell where a role would no longer have enough cloth."""
    told = []
    for role, codes in going.items():
        stay = [row.code for row in project.cast()[role] if row.code not in codes]
        for size, has, wants in spare.lacking(role, [*stay, *coming]):
            if isinstance(size, Size):
                shown = format_size(size, stash.measure, Rounding.UP)
                told.append(f"Not enough cloth for {role}: {has:,} of {wants:,} cuts {shown}.")
    return told


def _elsewhere_here(
    project: LoadedProject, instead: Sequence[Entry], going: dict[str, tuple[str, ...]]
) -> list[str]:
    fabric = instead[0].fabric
    others = [
        one.role
        for one in project.chosen
        if str(one.row.fabric_id) == fabric and one.role not in going
    ]
    roles = " and ".join(dict.fromkeys(others))
    return [f"The same fabric is chosen for {roles} already."] if others else []


def _do(stash: Stash, name: str, going: dict[str, tuple[str, ...]], coming: Sequence[str]) -> str:
    """Keep the replacement; return what to tell."""
    with stash.deed("replace") as deed:
        row = project_named(deed.session, name)
        pieces = pieces_by_codes(deed.session, coming)
        chosen: list[tuple[str, int | None, Piece]] = []
        done = set[str]()
        for one in pieces_of_project(deed.session, row):
            each = Need(one.role, None, set_number=one.set_number).name
            if one.piece.code not in going.get(each, ()):
                chosen.append((one.role, one.set_number, one.piece))
            elif each not in done:
                done.add(each)
                chosen += [(one.role, one.set_number, piece) for piece in pieces]
        choose_pieces(deed, row, chosen)
        out = ", ".join(dict.fromkeys(code for codes in going.values() for code in codes))
        told = f"Replaced {out} by {', '.join(coming)} in project “{row.name}”."
        deed.summary = told
    return told
