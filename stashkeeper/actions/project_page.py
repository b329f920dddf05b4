"""A project as its page shows it: its quilt in greys, its roles with their cloth, its values."""

import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from sqlmodel import Session

from stashkeeper.actions.choice_answer import told_contrast
from stashkeeper.actions.history import DeedView, deeds_of_project
from stashkeeper.actions.laid_rule import OnRule, laid_rule
from stashkeeper.actions.making import Wish
from stashkeeper.actions.project_view import ChosenPiece, ProjectView, RoleView
from stashkeeper.actions.projects import LoadedProject, load_project
from stashkeeper.actions.quilt_subject import WISHED
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.choosing.needs import role_and_set
from stashkeeper.cloth.reading import Doubt, Method, Reading
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import Contrast, Entry, Verdict, judge
from stashkeeper.pictures.quilt_sketch import Sketch, sketch
from stashkeeper.pictures.web_rule import WebRule, css_grey

UNWISHED = 52.0
"""The lightness that stands for a role of any value without a fabric yet (ours)."""


@dataclass(frozen=True, slots=True)
class RoleFabric:
    """A fabric chosen for a role.

    Attributes:
        role: set included.
        codes: its pieces.
        name, place: of the fabric, and where its first piece lies.
        shown: its lightness as it is written; empty where nobody knows it.
        provisional: whether only a photo without a reference speaks for it.
        elsewhere: other projects that reserve it.
        ended: how it ended; empty while it is on the shelf.
    """

    role: str
    codes: tuple[str, ...]
    name: str
    place: str
    shown: str
    provisional: bool
    elsewhere: tuple[str, ...]
    ended: str

    @property
    def code(self) -> str:
        """The first of its pieces."""
        return self.codes[0]


@dataclass(frozen=True, slots=True)
class RoleCard:
    """A role: what it needs, in words, and the fabrics it has.

    Attributes:
        view: the role.
        value, fabrics, bolt: in words.
        cuts: the size and count of each, and what it is for.
        chosen: its fabrics, from light to dark.
    """

    view: RoleView
    value: str
    fabrics: str
    bolt: str
    cuts: tuple[tuple[str, str], ...]
    chosen: tuple[RoleFabric, ...]


@dataclass(frozen=True, slots=True)
class DrawnQuilt:
    """A quilt in small, each role in the grey of its fabrics, or of the value wished for it."""

    drawn: Sketch
    greys: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class ProjectPage:
    """What the page of a project shows.

    Attributes:
        view: the project.
        roles: what each role needs and has.
        rule: its fabrics on the value rule; None while there are none.
        verdicts: the gaps between light, medium and dark, a sentence each, and whether it is weak.
        quilt: the quilt in greys; None where it is too large to be drawn small.
        deeds: what happened to it, newest first.
    """

    view: ProjectView
    roles: tuple[RoleCard, ...]
    rule: WebRule | None
    verdicts: tuple[tuple[str, bool], ...]
    quilt: DrawnQuilt | None
    deeds: tuple[DeedView, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The pieces whose looks are shown."""
        return tuple(one.code for role in self.roles for one in role.chosen)

    @property
    def last(self) -> DeedView | None:
        """The newest deed that can be taken back or done again."""
        return next((deed for deed in self.deeds if not deed.undone), None)


def project_page(stash: Stash, name: str) -> ProjectPage:
    """Return a project as its page shows it.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.reading() as session:
        project = load_project(stash, session, name)
        deeds = deeds_of_project(session, project.name)
        judged = _judged(session, project)
    view = project.view(stash.measure)
    fabrics = fabrics_of_roles(project.chosen)
    rows = [one for one in project.chosen if one.row.lightness is not None]
    beads = {(one.role, one.row.fabric_id): _on_rule(one, project.wishes) for one in rows}
    return ProjectPage(
        view,
        tuple(_cards(view, fabrics)),
        laid_rule(beads.values(), judged) if beads else None,
        tuple(
            (told_contrast(one)[0], one.verdict is Verdict.WEAK)
            for one in judged
            if one.gap is not None
        ),
        drawn_quilt(project),
        deeds,
    )


def fabrics_of_roles(chosen: Sequence[ChosenPiece]) -> tuple[RoleFabric, ...]:
    """Return the fabrics chosen, role by role, from light to dark; pieces of one fabric as one."""
    together: dict[tuple[str, object], list[ChosenPiece]] = {}
    for one in chosen:
        together.setdefault((one.role, one.row.fabric_id), []).append(one)
    made = [(some[0].row.lightness, _fabric(some)) for some in together.values()]
    roles = list(dict.fromkeys(one.role for one in chosen))
    made.sort(key=lambda it: (roles.index(it[1].role), -(it[0] if it[0] is not None else -1)))
    return tuple(one for _, one in made)


def drawn_quilt(
    project: LoadedProject, marked: Sequence[tuple[str, str]] = ()
) -> DrawnQuilt | None:
    """Return a project's quilt in greys; None where it is too large to be drawn small.

    Args:
        project: the project.
        marked: pairs of roles whose seams stand out.
    """
    drawn = sketch(project.quilt, marked)
    if drawn is None:
        return None
    known: dict[str, list[float]] = {}
    for one in project.chosen:
        if one.row.lightness is not None:
            known.setdefault(one.role, []).append(one.row.lightness)
    greys = {}
    for role, _ in drawn.shapes:
        some = known.get(role)
        greys[role] = css_grey(sum(some) / len(some) if some else _wished(project.wishes, role))
    return DrawnQuilt(drawn, greys)


def _wished(wishes: Mapping[str, Wish], role: str) -> float:
    value = _value(wishes, role)
    return UNWISHED if value is None else WISHED[value]


def _value(wishes: Mapping[str, Wish], role: str) -> Value | None:
    wish = wishes.get(role_and_set(role)[0])
    return wish.value if wish else None


def _on_rule(one: ChosenPiece, wishes: Mapping[str, Wish]) -> OnRule:
    assert one.row.lightness is not None, "only measured pieces lie on the rule"
    return OnRule(_value(wishes, one.role), one.row.lightness, _provisional(one))


def _provisional(one: ChosenPiece) -> bool:
    return one.row.method == Method.PHOTO or Doubt.NO_REFERENCE in one.row.doubts


def _judged(session: Session, project: LoadedProject) -> tuple[Contrast, ...]:
    """Return the judgement between the groups that have fabrics, lighter ones first."""
    readings = readings_of(session, {one.row.fabric_id for one in project.chosen})
    groups = {value: list(_entries(project, readings, value)) for value in Value}
    there = [value for value in Value if groups[value]]
    return tuple(
        judge(groups[lighter], groups[darker], (lighter, darker))
        for lighter, darker in pairwise(there)
    )


def _entries(
    project: LoadedProject, readings: Mapping[uuid.UUID, Reading], value: Value
) -> Iterator[Entry]:
    for one in project.chosen:
        reading = readings.get(one.row.fabric_id)
        if reading is not None and _value(project.wishes, one.role) is value:
            yield Entry(one.row.code, reading, str(one.row.fabric_id))


def _fabric(some: Sequence[ChosenPiece]) -> RoleFabric:
    first = some[0]
    light = first.row.lightness
    return RoleFabric(
        first.role,
        tuple(one.row.code for one in some),
        first.row.name,
        first.row.place,
        "" if light is None else shown_lightness(light, _provisional(first)),
        _provisional(first),
        tuple(dict.fromkeys(name for one in some for name in one.elsewhere)),
        str(first.row.ended or ""),
    )


def _cards(view: ProjectView, fabrics: Sequence[RoleFabric]) -> Iterator[RoleCard]:
    for role in view.roles:
        rows = list(view.role_rows(role))
        codes = set(role.chosen)
        chosen = tuple(
            one
            for one in fabrics
            if role_and_set(one.role)[0] == role.role and codes.issuperset(one.codes)
        )
        _, value, many, _, _, bolt, _ = rows[0]
        yield RoleCard(role, value, many, bolt, tuple((row[3], row[4]) for row in rows), chosen)
