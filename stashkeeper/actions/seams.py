"""Seams: whether the fabrics of a project stay apart wherever they meet."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from stashkeeper.actions.choosing_shelf import ChoosingShelf, choosing_shelf
from stashkeeper.actions.project_needs import needs_of_project
from stashkeeper.actions.projects import LoadedProject, load_project
from stashkeeper.actions.seam_view import SeamsAnswer, SeamView, seam_view
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.choosing.cures import Clearing, clearing
from stashkeeper.choosing.needs import FROM_DARK, CutKey, Need
from stashkeeper.choosing.quilt_needs import role_name, seams_of
from stashkeeper.choosing.seam_contrast import Cast, RoleSeam, SeamContrast, judge_seams
from stashkeeper.choosing.seam_cures import SeamCure, meant_alike, seam_cures
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import Entry, Verdict, judge
from stashkeeper.quilts.layout import Role, roles
from stashkeeper.quilts.quilt_patches import quilt_meetings

MOST_CURED = 12
"""Cures are looked for at so many of the worst seams (ours)."""


@dataclass(frozen=True, slots=True)
class Joined:
    """The seams of a project, and the fabrics at them.

    Attributes:
        project: the project.
        seams: which roles meet along what length.
        counts: how many seams there are between two roles.
        cast: the fabrics of each role that have a lightness.
        order: how light a role is meant to be, by its name.
        unmeasured: codes of chosen pieces without a lightness.
    """

    project: LoadedProject
    seams: tuple[RoleSeam, ...]
    counts: Mapping[tuple[str, str], int]
    cast: Cast
    order: Mapping[str, int]
    unmeasured: tuple[str, ...]

    def judged(self, cast: Cast | None = None) -> tuple[SeamContrast, ...]:
        """Return the judgement on every seam, with these fabrics or others."""
        return judge_seams(self.seams, self.cast if cast is None else cast)

    def view(
        self,
        one: SeamContrast,
        cures: Sequence[SeamCure] = (),
        clearing: Clearing | None = None,
    ) -> SeamView:
        """Return a judgement as faces show it."""
        count = self.counts[one.seam.one, one.seam.other]
        return seam_view(one, count, meant_alike(one.seam, self.order), cures, clearing)


def seams(stash: Stash, name: str) -> SeamsAnswer:
    """Judge every seam between different roles of a project, and propose cures.

    Raises:
        NotFoundError: there is no such project.
    """
    with stash.reading() as session:
        joined = joined_seams(stash, session, name)
        shelf = choosing_shelf(stash, session, Search(), joined.project.name, free=True)
    judged = joined.judged()
    spare = Spare(joined.project, needs_of_project(joined.project), shelf)
    views = list[SeamView]()
    for number, one in enumerate(judged):
        ill = one.verdict in {Verdict.WEAK, Verdict.CANNOT_TELL}
        cures, cleared = tuple[SeamCure, ...](), None
        if ill and number < MOST_CURED and not meant_alike(one.seam, joined.order):
            cures = seam_cures(one, joined.seams, joined.cast, spare, joined.order)
            cleared = _cleared(one, joined, spare)
        views.append(joined.view(one, cures, cleared))
    chosen = {one.row.code: one.row.name for one in joined.project.chosen}
    names = shelf.names() | chosen
    return SeamsAnswer(joined.project.name, tuple(views), joined.unmeasured, names, stash.measure)


def joined_seams(stash: Stash, session: Session, name: str) -> Joined:
    """Return the seams of a project with the fabrics at them.

    Raises:
        NotFoundError: there is no such project.
    """
    project = load_project(stash, session, name)
    meetings = quilt_meetings(project.quilt)
    rows = [one.row for one in project.chosen]
    readings = readings_of(session, {row.fabric_id for row in rows})
    cast: dict[str, list[Entry]] = {}
    for one in project.chosen:
        reading = readings.get(one.row.fabric_id)
        if reading is not None:
            entry = Entry(one.row.code, reading, str(one.row.fabric_id))
            cast.setdefault(one.role, []).append(entry)
    met = seams_of(meetings)
    counts = {
        (seam.one, seam.other): meeting.count for seam, meeting in zip(met, meetings, strict=True)
    }
    unread = tuple(row.code for row in rows if row.fabric_id not in readings)
    return Joined(project, met, counts, cast, _order(project), unread)


def _cleared(one: SeamContrast, joined: Joined, spare: "Spare") -> Clearing | None:
    """Return the fewest fabrics to leave out at a weak seam, if the rest gives enough cloth."""
    roles = one.lighter_role, one.seam.other_than(one.lighter_role)
    light, dark = (joined.cast.get(role, ()) for role in roles)
    judged = judge(light, dark, (Value.LIGHT, Value.DARK))
    found = clearing({Value.LIGHT: light, Value.DARK: dark}, judged)
    if found is None:
        return None
    for role in roles:
        gone = {one.fabric for one in joined.cast[role] if one.code in found.leave_out}
        rest = [one.code for one in joined.cast[role] if one.fabric not in gone]
        if gone and spare.lacking(role, rest):
            return None
    return found


class Spare:
    """What could take the place of a fabric: pieces that give what the role then lacks."""

    def __init__(self, project: LoadedProject, needs: Iterable[Need], shelf: ChoosingShelf) -> None:
        self._needs = {need.name: need for need in needs}
        self._rows = project.cast()
        self._shelf = shelf
        self._gives = shelf.gives(list(self._needs.values()))
        self._place = {one.code: at for at, one in enumerate(shelf.candidates)}

    def __call__(self, role: str, out: str) -> Sequence[Entry]:
        """Return the pieces that could take the place of a fabric in a role."""
        able = [True] * len(self._shelf.candidates)
        need = self._needs.get(role)
        stay = self._staying(role, out)
        for cut in need.cuts if need else ():
            gives = self._gives[cut.key]
            short = cut.count - sum(gives[self._place[row.code]] for row in stay)
            able = [ok and given >= short for ok, given in zip(able, gives, strict=True)]
        area = need.area - sum(self._area(row) for row in stay) if need and need.area else 0
        return [
            Entry(one.code, one.reading, one.fabric)
            for one, ok in zip(self._shelf.candidates, able, strict=True)
            if ok and one.area >= area
        ]

    def lacking(self, role: str, codes: Sequence[str]) -> tuple[tuple[CutKey, int, int], ...]:
        """Return each size of which these pieces give less than a role wants: size, has, wants."""
        need = self._needs.get(role)
        found = []
        for cut in need.cuts if need else ():
            given = sum(
                self._gives[cut.key][self._place[one]] for one in codes if one in self._place
            )
            if given < cut.count:
                found.append((cut.key, given, cut.count))
        return tuple(found)

    def _staying(self, role: str, out: str) -> list[PieceRow]:
        rows = self._rows.get(role, ())
        going = {row.fabric_id for row in rows if row.code == out}
        return [row for row in rows if row.fabric_id not in going and row.code in self._place]

    def _area(self, row: PieceRow) -> int:
        return self._shelf.candidates[self._place[row.code]].area


def _order(project: LoadedProject) -> dict[str, int]:
    """Return how light the roles of a project are meant to be, by their names in a choice."""
    borders = [Role(border.role) for border in project.quilt.borders]
    found = {}
    for role in (*roles(project.quilt.layout), *borders):
        value = project.wishes[role.name].value
        if value is not None:
            found[role_name(role)] = FROM_DARK.index(value)
    return found
