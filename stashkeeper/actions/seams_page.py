"""The seams of a project as their page shows them, and what may be replaced there."""

from collections.abc import Iterator
from dataclasses import dataclass

from stashkeeper.actions.history import DeedView, deeds_of_project
from stashkeeper.actions.project_page import (
    DrawnQuilt,
    RoleFabric,
    drawn_quilt,
    fabrics_of_roles,
)
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.replacing import Replaced, replace_fabric
from stashkeeper.actions.seam_view import SHOWN, SeamsAnswer, SeamView
from stashkeeper.actions.seams import seams
from stashkeeper.actions.stash import Stash
from stashkeeper.choosing.seam_cures import SeamCure


@dataclass(frozen=True, slots=True)
class CureLink:
    """What would cure a seam, in a sentence, and the words that show what it changes."""

    sentence: str
    old: str
    new: str
    role: str


@dataclass(frozen=True, slots=True)
class SeamRow:
    """A seam: its judgement, its length and gap in words, whether it is marked, its cures."""

    view: SeamView
    length: str
    gap: str
    marked: bool
    cures: tuple[CureLink, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The two fabrics that come closest, the lighter one first; none for no fabric."""
        return tuple(code for code in (self.view.lighter, self.view.darker) if code)


@dataclass(frozen=True, slots=True)
class SeamsPage:
    """What the page of a project's seams shows.

    Attributes:
        answer: the judgement on every seam.
        headline: how they hold together.
        rows: the worst of them first.
        quilt: the quilt in greys, its weak seams marked; None where it is too large.
        fabrics: what may be replaced.
        last: the newest deed that can be taken back; None for none.
        ended: whether the project is ended.
    """

    answer: SeamsAnswer
    headline: str
    rows: tuple[SeamRow, ...]
    quilt: DrawnQuilt | None
    fabrics: tuple[RoleFabric, ...]
    last: DeedView | None
    ended: bool

    @property
    def codes(self) -> tuple[str, ...]:
        """The pieces whose looks are shown."""
        seen = [code for row in self.rows for code in row.codes]
        cures = [cure.new for row in self.rows for cure in row.cures]
        return tuple(dict.fromkeys((*seen, *cures, *(one.code for one in self.fabrics))))

    @property
    def rest(self) -> int:
        """How many seams are not shown."""
        return len(self.answer.seams) - len(self.rows)

    def cures_of(self, old: str) -> tuple[CureLink, ...]:
        """Return the cures that replace a fabric, by the code of any of its pieces."""
        alike = {code for one in self.fabrics if old in one.codes for code in one.codes}
        cures = (cure for row in self.rows for cure in row.cures if cure.old in alike)
        return tuple(dict.fromkeys(cures))


def seams_page(stash: Stash, name: str) -> SeamsPage:
    """Judge every seam of a project, ready to be shown.

    Raises:
        NotFoundError: there is no such project.
    """
    answer = seams(stash, name)
    with stash.reading() as session:
        project = load_project(stash, session, name)
        deeds = deeds_of_project(session, name)
    return SeamsPage(
        answer,
        answer.sentences[0] if answer.sentences else "",
        tuple(_rows(answer)),
        drawn_quilt(project, [(one.one, one.other) for one in answer.weak]),
        fabrics_of_roles(project.chosen),
        next((deed for deed in deeds if not deed.undone), None),
        project.ended,
    )


@dataclass(frozen=True, slots=True)
class ReplacePage:
    """What a page of a replacement shows.

    Attributes:
        seams: the page of the project's seams.
        cures: proposals for the fabric that goes.
        found: what would change; None until it is said what comes.
    """

    seams: SeamsPage
    cures: tuple[CureLink, ...]
    found: Replaced | None

    @property
    def codes(self) -> tuple[str, ...]:
        """The pieces whose looks are shown."""
        more = (*self.found.out, *self.found.instead) if self.found else ()
        return (*self.seams.codes, *more)


def replace_page(stash: Stash, name: str, old: str, new: str, role: str) -> ReplacePage:
    """Return what a replacement would change, or proposals where nothing is named that comes.

    Raises:
        StashkeeperError: as `replace_fabric`.
    """
    found = replace_fabric(stash, name, old, new, role=role) if new.strip() else None
    shown = seams_page(stash, name)
    return ReplacePage(shown, shown.cures_of(old.strip().upper()), found)


def _rows(answer: SeamsAnswer) -> Iterator[SeamRow]:
    for one, row in zip(answer.seams[:SHOWN], answer.rows(), strict=True):
        cures = tuple(_cure(answer, cure) for cure in one.cures)
        yield SeamRow(one, row[1], row[3], one.weak and not one.alike, cures)


def _cure(answer: SeamsAnswer, cure: SeamCure) -> CureLink:
    return CureLink(answer.told_cure(cure), cure.leave_out, cure.instead, cure.role)
